import { readFileSync } from 'node:fs';
import type { Static } from '@sinclair/typebox';
import { Check } from '@sinclair/typebox/value';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, expectTypeOf, it } from 'vitest';
import type { Effect } from '../../../server/src/machine/effect.ts';
import type { EffectSchema } from '../../../server/src/machineFile/effectSchema.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { MachineFileSchema } from '../../../server/src/machineFile/schema.ts';
import { editorSchemaText, machineSchemaText } from '../../../server/src/service/jsonSchema.ts';

const committed = readFileSync(new URL('../../../schemas/machine.schema.json', import.meta.url), 'utf8');
const schema = JSON.parse(committed);
// JSON Schema 2020-12; keywords that only editors know (allowComments) are let through.
const accepts = new Ajv2020({ strict: false, allErrors: true }).compile(schema);

/** Every property's schema below a schema, with its path. */
function* properties(at: Record<string, unknown>, path: string): Generator<[string, Record<string, unknown>]> {
  for (const [name, one] of Object.entries((at.properties ?? {}) as Record<string, Record<string, unknown>>)) {
    yield [`${path}.${name}`, one];
    yield* properties(one, `${path}.${name}`);
  }
  if (typeof at.items === 'object') yield* properties(at.items as Record<string, unknown>, `${path}[]`);
  for (const one of Object.values((at.patternProperties ?? {}) as Record<string, Record<string, unknown>>))
    yield* properties(one, `${path}{}`);
  for (const option of (at.anyOf ?? []) as Record<string, unknown>[]) yield* properties(option, path);
}

describe('schemas/machine.schema.json', () => {
  it('is what the schema gives (run node scripts/write-schemas.mjs)', () => {
    expect(committed.replaceAll('\r\n', '\n')).toBe(machineSchemaText());
  });

  it('has a form for editors that names the same properties and rejects less', () => {
    const text = readFileSync(new URL('../../../schemas/machine.editor.schema.json', import.meta.url), 'utf8');
    expect(text.replaceAll('\r\n', '\n')).toBe(editorSchemaText());
    const editor = JSON.parse(text);
    expect([...properties(editor, '')].map(([path]) => path)).toEqual(
      [...properties(schema, '')].map(([path]) => path),
    );
    const fits = new Ajv2020({ strict: false }).compile(editor);
    expect(fits({ nozzle: { diameter: -1 }, extra: 1 })).toBe(true);
    expect(accepts({ nozzle: { diameter: -1 }, extra: 1 })).toBe(false);
  });

  it('is valid JSON Schema 2020-12', () => {
    expect(new Ajv2020({ strict: false }).validateSchema(schema)).toBe(true);
  });

  it('says for every property what it is, with an example', () => {
    const all = [...properties(schema, '')];
    expect(all.length).toBeGreaterThan(90);
    for (const [path, one] of all) {
      expect(one.title, path).toBeTypeOf('string');
      expect((one.description as string).length, path).toBeGreaterThan(5);
      expect(one.examples, path).toBeInstanceOf(Array);
    }
  });

  it('gives examples and defaults that fit', () => {
    for (const [path, one] of properties(schema, '')) {
      const fits = new Ajv2020({ strict: false }).compile({ ...one });
      for (const example of one.examples as unknown[])
        expect(fits(example), `${path} ${JSON.stringify(example)}`).toBe(true);
      if ('default' in one) expect(fits(one.default), `${path} default`).toBe(true);
    }
  });

  it('documents what holds for every value that may be left out', () => {
    const optional = [...properties(schema, '')].filter(([path, one]) => {
      const parent = path.slice(0, path.lastIndexOf('.'));
      return one.default !== undefined && parent !== '';
    });
    expect(optional.length).toBeGreaterThan(10);
    for (const [path, one] of optional) expect(one.description, path).toMatch(/Left out: /);
  });
});

describe('the schema, its JSON form and the reader agree', () => {
  const bed = { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 };
  const whole = {
    name: 'A',
    bed,
    reach: {
      shape: 'polygon',
      points: [
        [-9, -9],
        [300, -9],
        [0, 300],
      ],
      top: 9,
    },
    keepOut: [{ name: 'a', left: 0, right: 1, front: 0, back: 1, bottom: 0, top: 1 }],
    home: { x: 0, y: 0, z: 0 },
    nozzle: { diameter: 0.4 },
    heat: { nozzle: { max: 250, minExtrude: 170 }, chamber: {} },
    speed: { x: 9 },
    tools: 1,
    controller: { dwell: 's', arcs: true, missing: ['G29'] },
    commands: [
      {
        name: 'A',
        meaning: 'b',
        words: [{ key: 'K', meaning: 'c', default: 2, min: 1, max: 3 }],
        effects: [{ do: 'heat', heater: 'bed', wait: true, key: 'K' }],
      },
    ],
    sequences: { start: ['a.start.gcode'], end: 'b.end.gcode' },
    placeholders: 'a.placeholders.json',
    rules: { 'heat-left-on': 'off' },
  };
  /** Paths of all values below a value. */
  function* paths(value: unknown, path: readonly (string | number)[] = []): Generator<readonly (string | number)[]> {
    if (path.length > 0) yield path;
    if (typeof value !== 'object' || value === null) return;
    for (const [key, one] of Object.entries(value))
      yield* paths(one, [...path, Array.isArray(value) ? Number(key) : key]);
  }
  function changed(path: readonly (string | number)[], value: unknown): unknown {
    const copy = structuredClone(whole);
    let at = copy as unknown as Record<string | number, unknown>;
    for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
    at[path.at(-1) ?? ''] = value;
    return JSON.parse(JSON.stringify(copy)); // undefined: left out
  }

  it('on a good file', () => {
    expect(accepts(whole)).toBe(true);
    expect(Check(MachineFileSchema, whole)).toBe(true);
    expect(readMachine(JSON.stringify(whole)).problems.filter((p) => p.severity === 'error')).toEqual([]);
  });

  it('on a file with any one value changed: what the schema rejects, the reader reports', () => {
    const any = fc.oneof(fc.jsonValue({ maxDepth: 2 }), fc.constantFrom(undefined, -1, 0, 1.5, 1e6, '', 'x', [], {}));
    let rejected = 0;
    let accepted = 0;
    fc.assert(
      fc.property(fc.constantFrom(...paths(whole)), any, (path, value) => {
        const file = changed(path, value);
        const fits = accepts(file) as boolean;
        expect(Check(MachineFileSchema, file), JSON.stringify([path, value])).toBe(fits);
        const errors = readMachine(JSON.stringify(file)).problems.filter((p) => p.severity === 'error');
        // The reader also looks at values together (left < right), so it may reject more, never less.
        if (!fits) expect(errors.length, JSON.stringify([path, value])).toBeGreaterThan(0);
        else if (errors.length > 0)
          expect(errors[0]?.message).toMatch(
            /must be more than|twice|no sequence|no vocabulary|above the hottest|above its most|below 170|outline/i,
          );
        if (fits) accepted++;
        else rejected++;
      }),
      { seed: 5, numRuns: 3000 },
    );
    expect(rejected).toBeGreaterThan(500);
    expect(accepted).toBeGreaterThan(100);
  });
});

// Held by the type check, which npm test runs too.
it('every effect that a machine file may declare is one that the simulator knows', () => {
  expectTypeOf<Static<typeof EffectSchema>>().toExtend<Effect>();
});
