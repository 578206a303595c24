import { describe, expect, it } from 'vitest';
import { add, anew, exact, isSame, subtract } from '../../../server/src/placeholders/bounds.ts';
import { whole } from '../../../server/src/simulate/afterMove.ts';
import { joinStates } from '../../../server/src/simulate/joinStates.ts';
import { anythingGoes } from '../../../server/src/simulate/start.ts';
import { insideOf } from '../analyze/inside.ts';
import { end, heat, place, run, show, THREE_TOOLS } from './support.ts';

const HOT = 'heat.bed.first > 50';

describe('sections', () => {
  it('a section that every job fills in is as if its tags were not there', () => {
    expect(place(end('{{# heat.nozzle.first > 0 }}\nG1 X10\n{{/}}'))).toBe('10 0 0');
    expect(run('{{# heat.nozzle.first > 0 }}\nG1 X10\n{{/}}').steps[0]?.certain).toBe(true);
  });
  it('a section that no job fills in does not run', () => {
    expect(run('{{# heat.nozzle.first < 0 }}\nG1 X10\n{{/}}').steps).toHaveLength(0);
    expect(run('{{^ heat.nozzle.first > 0 }}\nG1 X10\n{{/}}').steps).toHaveLength(0);
  });
  it('a section that some jobs fill in: both ends are joined, and its steps are not certain', () => {
    const trace = run(`G1 X4\n{{# ${HOT} }}\nG1 X10 F600\nM104 S200\n{{/}}\nG1 Y5`);
    expect(place(trace.end)).toBe('4..10 5 0');
    expect(heat(trace.end.nozzles[0])).toBe('0..200 null 5..200');
    expect(trace.steps.map((s) => s.certain)).toEqual([true, false, false, true]);
    expect(trace.end.feed).toBeNull();
  });
  it('a section and its opposite are one either-or', () => {
    expect(place(end(`G1 X400\n{{# ${HOT} }}\nG1 X10\n{{/}}\n{{^ ${HOT} }}\nG1 X20\n{{/}}`))).toBe('10..20 0 0');
    // Something between them: each on its own.
    expect(place(end(`G1 X400\n{{# ${HOT} }}\nG1 X10\n{{/}}\nG1 Y1\n{{^ ${HOT} }}\nG1 X20\n{{/}}`))).toBe(
      '10..400 1 0',
    );
  });
  it('in one job only the branch of that job runs', () => {
    const text = `{{# ${HOT} }}\nG1 X10\n{{/}}\n{{^ ${HOT} }}\nG1 X20\n{{/}}`;
    expect(place(end(text, { job: { 'heat.bed.first': 60 } }))).toBe('10 0 0');
    expect(place(end(text, { job: { 'heat.bed.first': 40 } }))).toBe('20 0 0');
    expect(run(text, { job: { 'heat.bed.first': 40 } }).steps.map((s) => s.certain)).toEqual([true]);
  });
  it('modes that differ between branches are not known', () => {
    const state = end(`{{# ${HOT} }}\nG91\nM83\nG18\nM106\nG93\nG55\nM84 X\n{{/}}`);
    expect([state.relative, state.relativeE, state.plane, state.fan, state.inverseFeed, state.workOffset]).toEqual([
      null,
      null,
      null,
      null,
      null,
      null,
    ]);
    expect(state.homed).toEqual({ x: null, y: true, z: true });
  });
  it('commands in sections on one line', () => {
    const text = `{{# ${HOT} }}G1 X10{{/}}{{^ ${HOT} }}G1 X20{{/}}`;
    expect(place(end(text, { job: { 'heat.bed.first': 60 } }))).toBe('10 0 0');
    expect(place(end(text))).toBe('0..20 0 0');
  });
  it('words in sections: every way in which they can turn out', () => {
    expect(place(end(`G1 {{# ${HOT} }}X10{{/}} Y5`))).toBe('0..10 5 0');
    const either = `M104 {{# ${HOT} }}S200{{/}}{{^ ${HOT} }}S230{{/}}`;
    expect(show(end(either).nozzles[0]?.target ?? null)).toBe('200..230');
    expect(show(end(either, { job: { 'heat.bed.first': 40 } }).nozzles[0]?.target ?? null)).toBe('230');
    expect(run(either).steps).toHaveLength(2);
    expect(place(end(`G28 {{# ${HOT} }}X{{/}}`))).toBe('-5 0..205 0..1');
  });
  it('sections in a value', () => {
    expect(place(end(`G1 X{{# ${HOT} }}1{{/}}{{^ ${HOT} }}2{{/}}`))).toBe('1..2 0 0');
  });
  it('deep nesting is followed as far as anybody writes it; beyond that anything goes', () => {
    const nested = (depth: number): string => `${`{{# ${HOT} }}\n`.repeat(depth)}G1 X10\n${'{{/}}\n'.repeat(depth)}`;
    expect(place(end(nested(20)))).toBe('0..10 0 0');
    expect(place(end(nested(500)))).toBe('? ? ?');
  });
});

describe('lists', () => {
  const relative = 'G91\n{{# tools }}\nG1 X1 F600\n{{/ tools }}';
  it('run once for each element: at least as often as the shortest, at most as the longest', () => {
    const trace = run(relative, { machine: THREE_TOOLS });
    expect(show(trace.end.at.x)).toBe('1..3');
    expect(trace.steps.filter((s) => s.move).map((s) => s.certain)).toEqual([true, false, false]);
    expect(show(trace.totals.travel)).toBe('1..3');
  });
  it('in one job exactly as often as it says', () => {
    const trace = run(relative, { machine: THREE_TOOLS, job: { tools: 2 } });
    expect(show(trace.end.at.x)).toBe('2');
    expect(trace.steps.filter((s) => s.move).map((s) => s.certain)).toEqual([true, true]);
  });
  it('inverted sections over a list run where it is empty', () => {
    expect(run('{{^ tools }}\nG1 X1\n{{/ tools }}', { machine: THREE_TOOLS }).steps).toHaveLength(0);
  });
  it('a list too long to run through leaves everything open, sums included', () => {
    const many = { ...THREE_TOOLS, tools: 40 };
    const trace = run(relative, { machine: many });
    expect(trace.end.at.x).toBeNull();
    expect([trace.totals.travel, trace.totals.seconds, trace.totals.filament]).toEqual([null, null, null]);
    expect(trace.totals.unplaced).toBeGreaterThan(0);
  });
  it('a list within a line leaves what it repeats open', () => {
    expect(end('G91\n{{# tools }}G1 X1 {{/ tools }}', { machine: THREE_TOOLS }).at.x).toBeNull();
  });
});

describe('joined states', () => {
  const { state: stateInside } = insideOf(new Map());
  const states = [
    end('G1 X5 Y5 F600\nM104 S200'),
    end('G28\nG91\nM83\nM140 S60\nG92 X3'),
    end('T0\nM109 S210\nG20\nM106\nM84\nG18\nM220 S50'),
    end('G10 L2 P2 X4\nG55\nM302 S0\nG10\nG93'),
    anythingGoes(end('G1 X1')),
  ];
  it('hold both of what was joined, in either order', () => {
    for (const a of states)
      for (const b of states) {
        const both = joinStates(a, b);
        expect(stateInside(both, a)).toBeNull();
        expect(stateInside(both, b)).toBeNull();
        expect(stateInside(joinStates(b, a), both)).toBeNull();
      }
  });
  it('a state joined with itself stays what it is', () => {
    for (const a of states) expect(joinStates(a, a)).toBe(a);
  });
  it('what can be anything holds every state', () => {
    for (const a of states) {
      const { stopped } = a;
      expect(stateInside({ ...anythingGoes(a), stopped }, a)).toBeNull();
    }
  });
  it('a height that one branch has set anew is not taken for the height of the beginning', () => {
    const begin = { ...whole(end('G1 Z5')), at: { ...end('G1 Z5').at, z: anew({ lo: 2, hi: 9 }) } };
    const other = { ...begin, at: { ...begin.at, z: anew({ lo: 2, hi: 9 }) } };
    expect(isSame(joinStates(begin, other).at.z, begin.at.z)).toBe(false);
    expect(isSame(joinStates(begin, { ...begin, fan: true }).at.z, begin.at.z)).toBe(true);
  });
  it('a number that is one of two is the same one from there on', () => {
    const { z } = joinStates(end('G1 Z5'), end('G1 Z7')).at;
    expect(subtract(add(z, exact(2)), z)?.lo).toBeCloseTo(2, 8);
    expect(subtract(add(z, exact(2)), z)?.hi).toBeCloseTo(2, 8);
  });
});
