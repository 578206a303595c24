import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const heron = {
  name: 'Heron 228',
  bed: { shape: 'rectangle', left: 0, right: 228, front: 5, back: 206 },
  reach: { shape: 'rectangle', left: -4, right: 234, front: -6, back: 217, bottom: -1, top: 232 },
  home: { x: -4, y: -6, z: 0 },
  nozzle: { diameter: 0.6 },
  heat: { nozzle: { max: 268, minExtrude: 184 }, bed: { max: 98 } },
  tools: 2,
};
function names(facts: object | null) {
  const machine = facts && readMachine(JSON.stringify(facts)).machine;
  const all = vocabularyFor(machine).names;
  const range = (name: string) => {
    const found = all.get(name);
    if (!found) throw new Error(`no name ${name}`);
    return found.range && [found.range.lo, found.range.hi];
  };
  return { all, range };
}

describe('the built-in vocabulary', () => {
  it('has exactly the names of the design', () => {
    const visible = [...names(null).all.values()].filter((name) => !name.hidden).map((name) => name.name);
    expect(visible.sort()).toEqual(
      [
        'heat.nozzle.first heat.nozzle.later heat.bed.first heat.bed.later heat.chamber',
        'part.left part.right part.front part.back part.top base.left base.right base.front base.back',
        'layer.first layer.height layer.top layer.number layer.count',
        'filament.diameter filament.kind filament.length filament.mass nozzle.diameter',
        'tool.number tool.next tool.first tools',
        'job.name job.file job.date job.time job.duration job.objects',
        'speed.first speed.travel acceleration.first acceleration.travel',
        'extrusion.width extrusion.relative extrusion.flow retraction.length',
        'bed.left bed.right bed.front bed.back bed.centre.x bed.centre.y',
        'reach.left reach.right reach.front reach.back reach.top reach.bottom home.x home.y home.z',
      ]
        .flatMap((line) => line.split(' '))
        .sort(),
    );
    expect([...names(null).all.values()].filter((name) => name.hidden).map((name) => name.name)).toEqual([
      'last.x',
      'last.y',
      'tools[].number',
      'tools[].temperature.first',
      'tools[].temperature.later',
      'tools[].used.length',
      'tools[].used.mass',
    ]);
  });

  it('takes its ranges from the machine', () => {
    const { range } = names(heron);
    // A part is 3 mm wide at least.
    expect(range('part.left')).toEqual([0, 225]);
    expect(range('part.back')).toEqual([8, 206]);
    expect(range('last.x')).toEqual([0, 228]);
    expect(range('part.top')).toEqual([0.04, 232]);
    expect(range('heat.nozzle.first')).toEqual([184, 268]);
    expect(range('heat.bed.later')).toEqual([0, 98]);
    expect(range('heat.chamber')).toEqual([0, 0]);
    expect(range('layer.height')).toEqual([0.04, 0.48]);
    expect(range('tool.number')).toEqual([0, 1]);
    expect(range('bed.centre.y')).toEqual([105.5, 105.5]);
    expect(range('reach.bottom')).toEqual([-1, -1]);
    expect(range('home.y')).toEqual([-6, -6]);
    expect(range('nozzle.diameter')).toEqual([0.6, 0.6]);
    expect(range('layer.count')).toEqual([1, 5800]); // 232 mm in layers of 0.04
    expect(names({ ...heron, heat: { chamber: { max: 62 } } }).range('heat.chamber')).toEqual([0, 62]);
    expect(names({ ...heron, heat: { chamber: {} } }).range('heat.chamber')).toEqual([0, 100]);
  });

  it('lets a part lie anywhere on a round bed’s hull, and its reach be the bed where none is given', () => {
    const { range } = names({ name: 'A', bed: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 87 } });
    expect(range('part.left')).toEqual([-87, 84]);
    expect(range('reach.back')).toEqual([87, 87]);
    expect(range('reach.top')).toBeNull();
  });

  it('knows nothing of the machine’s own values without one', () => {
    const { all } = names(null);
    const own = [...all.values()].filter((name) => name.fromMachine);
    expect(own).toHaveLength(17);
    for (const name of own) expect(name.range, name.name).toBeNull();
    for (const name of all.values())
      if (!name.fromMachine && name.kind !== 'text' && name.kind !== 'flag')
        expect(name.range, name.name).not.toBeNull();
  });

  it('has samples within the ranges, in order, and relations to names that exist', () => {
    const flat = { ...heron, reach: { ...heron.reach, top: 0.01 }, nozzle: { diameter: 0.05 } };
    for (const facts of [
      null,
      heron,
      flat,
      { ...heron, reach: { ...heron.reach, bottom: -9, top: 0 } },
      { name: 'A', bed: { shape: 'circle', centre: { x: -500, y: 0 }, radius: 1 } },
      {},
    ]) {
      const { all } = names(facts);
      for (const name of all.values()) {
        expect(name.meaning.length).toBeGreaterThan(10);
        if (name.range) {
          expect(name.range.lo, name.name).toBeLessThanOrEqual(name.range.hi);
          if (typeof name.sample === 'number') {
            // Samples are rounded to two digits.
            expect(name.sample, name.name).toBeGreaterThanOrEqual(name.range.lo - 0.005);
            expect(name.sample, name.name).toBeLessThanOrEqual(name.range.hi + 0.005);
          }
        }
        for (const [other, sign] of [
          [name.atLeast, 1],
          [name.atMost, -1],
        ] as const) {
          if (other === undefined) continue;
          const its = all.get(other);
          expect(its, `${name.name} and ${other}`).toBeDefined();
          expect(
            sign * (Number(name.sample) - Number(its?.sample)),
            `${name.name} and ${other}`,
          ).toBeGreaterThanOrEqual(0);
        }
      }
    }
  });

  it('offers layer names only where a layer is being printed', () => {
    const { all } = names(heron);
    expect(all.get('layer.number')?.roles).toEqual(['layer', 'swap', 'pause']);
    expect(all.get('tool.next')?.roles).toEqual(['swap']);
    expect(all.get('part.top')?.roles).toBeUndefined();
    expect(all.get('last.x')).toMatchObject({ atLeast: 'part.left', atMost: 'part.right', hidden: true });
  });
});
