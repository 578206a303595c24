import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { check } from '../../../server/src/check/check.ts';
import { judging } from '../../../server/src/check/verdict.ts';
import { catalogFor } from '../../../server/src/commands/catalog.ts';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { RULES } from '../../../server/src/rules/all.ts';
import type { Rule } from '../../../server/src/rules/rule.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import { ROLES, type Role } from '../../../server/src/syntax/role.ts';
import { decode } from '../../../server/src/text/decode.ts';
import { finish } from '../../../server/src/text/pieces.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';
import { MACHINES, machineOf } from './machines.ts';

// `npm run fuzz` asks for so many random texts and edits to be checked in all, half of each, from another seed on.
const TEXTS = Number(process.env.BOOKEND_CHECKED ?? 0);
const SEED = { seed: 20250 + Number(process.env.BOOKEND_FIRST ?? 0), numRuns: TEXTS > 0 ? Math.ceil(TEXTS / 6) : 120 };
const several = (numRuns: number, share: number): number => (TEXTS > 0 ? Math.ceil(TEXTS * share) : numRuns);

/** An invented start sequence with something of everything. */
const SEQUENCE = `; Bittern, from cold
N10 G21*33
G90
M82
M140 S{{ heat.bed.first }}
M117 Warming for {{ filament.kind }}
G28 ; all axes
{{# heat.chamber > 0 }}
M191 S{{ heat.chamber }}
{{/ heat.chamber > 0 }}
{{^ heat.chamber > 0 }}
M106 S0
{{/}}
M109 S{{ max(heat.nozzle.first, 200) }}
M190 S{{ heat.bed.first }}
{{# tools }}
T0
{{/ tools }}
G92 E0
G1 X{{ part.left - 5 }} Y{{ bed.front + 3 }} Z{{ layer.first }} F6000
G3 X60 Y3 I20 J0 E4.5 F1200
G1 X{{# tool.number }}10{{/}}{{^ tool.number }}20{{/}} E{{ 8 * layer.first }} (short)
G91
G1 Z{{ min(5, reach.top) }}
G90
`;

/** What must hold of an analysis, whatever the text. */
function checkAnalysis(a: Analysis, text: string): void {
  let last = 0;
  for (const { span, message, rule, severity, when } of a.findings) {
    expect(rule).not.toBe('rule-failed');
    expect(span.start).toBeGreaterThanOrEqual(last);
    expect(span.end).toBeGreaterThanOrEqual(span.start);
    expect(span.end).toBeLessThanOrEqual(text.length);
    last = span.start;
    expect(message).not.toMatch(/undefined|NaN|\[object|Infinity/);
    expect(message.trim()).toMatch(/[.!?”)}]$/);
    expect(['error', 'warning', 'info', 'hint']).toContain(severity);
    expect(when === null || Object.keys(when).length >= 0).toBe(true);
  }
  for (const { span } of a.open) expect(span.end).toBeLessThanOrEqual(text.length);
}

function run(text: string, role: Role, machine: Machine | null): Analysis {
  const a = analyze(text, role, machine, vocabularyFor(machine));
  checkAnalysis(a, text);
  return a;
}

const role = fc.constantFrom(...ROLES);
const machine = fc.constantFrom(...MACHINES);

/** Numbers as they stand in a machine file, odd ones among them. */
const oddNumber = fc.oneof(
  fc.integer({ min: -300, max: 300 }),
  fc.double({ noNaN: true }),
  fc.constantFrom(0, -0, 1e-9, 1e12),
);
const area = fc.oneof(
  fc.record({ shape: fc.constant('rectangle'), left: oddNumber, right: oddNumber, front: oddNumber, back: oddNumber }),
  fc.record({ shape: fc.constant('circle'), centre: fc.record({ x: oddNumber, y: oddNumber }), radius: oddNumber }),
  fc.record({ shape: fc.constant('polygon'), points: fc.array(fc.tuple(oddNumber, oddNumber), { maxLength: 6 }) }),
);
const box = fc.record({
  name: fc.string({ maxLength: 8 }),
  left: oddNumber,
  right: oddNumber,
  front: oddNumber,
  back: oddNumber,
  bottom: oddNumber,
  top: oddNumber,
});
/** Machine files that are mostly wrong somewhere: what can be used of them is used. */
const machineFile = fc.record(
  {
    name: fc.string({ maxLength: 12 }),
    bed: area,
    reach: area.chain((a) => fc.record({ bottom: oddNumber, top: oddNumber }).map((z) => ({ ...a, ...z }))),
    keepOut: fc.array(box, { maxLength: 3 }),
    home: fc.record({ x: oddNumber, y: oddNumber, z: oddNumber }),
    nozzle: fc.record({ diameter: oddNumber }),
    filament: fc.record({ diameter: oddNumber }),
    heat: fc.record({
      nozzle: fc.record({ max: oddNumber, minExtrude: oddNumber }),
      bed: fc.record({ max: oddNumber }),
    }),
    speed: fc.record({ x: oddNumber, y: oddNumber, z: oddNumber, e: oddNumber }),
    acceleration: oddNumber,
    tools: fc.integer({ min: -2, max: 40 }),
  },
  { requiredKeys: [] },
);

describe('analyze takes any text', () => {
  it('any bytes, decoded as the editor would', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), role, machine, (bytes, r, m) => {
        run(decode(bytes).text, r, m);
      }),
      SEED,
    );
  });

  it('any Unicode text, lone surrogates included', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), role, machine, (text, r, m) => {
        run(text, r, m);
      }),
      SEED,
    );
  });

  it('any mixture of the pieces that sequences are made of', () => {
    const piece = fc.constantFrom(
      ...[
        'G1',
        'G2',
        'G28',
        'G92',
        'G10',
        'L2',
        'M104',
        'M109',
        'M302',
        'T',
        'X',
        'Y10',
        'Z-3',
        'E',
        'E5',
        'I3',
        'R',
        'R9',
      ],
      ...[
        'S200',
        'F1200',
        'P1',
        '{{',
        '}}',
        '{{#',
        '{{^',
        '{{/}}',
        '{{ part.top }}',
        '{{# tools }}',
        '{{ 1/0 }}',
        '{{=<% %>=}}',
      ],
      ...[
        '<%',
        '{{ a.b }}',
        '{{.}}',
        '(',
        ')',
        ';',
        '"',
        '*',
        'N',
        '\n',
        '\n',
        '\n',
        '\r',
        ' ',
        ' ',
        '\t',
        '%',
        '-',
        '.',
        '=',
      ],
      ...[
        'DUST_OFF_IT',
        'PUSH_OUT',
        'KEY=',
        '\u2212',
        '\u00a0',
        '\ud83d\ude42',
        '1e3',
        '1,5',
        '99999999999999999999',
        'G90',
        'G91',
        'G20',
        'M2',
      ],
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 60 }), role, machine, (pieces, r, m) => {
        run(pieces.join(''), r, m);
        run(pieces.join(' '), r, m);
      }),
      { ...SEED, numRuns: several(200, 1 / 12) },
    );
  });

  it('random edits of a real sequence', () => {
    const edit = fc.record({ at: fc.nat(SEQUENCE.length), remove: fc.nat(6), insert: fc.string({ maxLength: 4 }) });
    fc.assert(
      fc.property(fc.array(edit, { maxLength: 5 }), role, machine, (edits, r, m) => {
        let text = SEQUENCE;
        for (const { at, remove, insert } of edits) text = text.slice(0, at) + insert + text.slice(at + remove);
        run(text, r, m);
      }),
      { ...SEED, numRuns: several(60, 1 / 2) },
    );
  });

  it('every place where the sequence could be cut off', () => {
    for (let end = 0; end <= SEQUENCE.length; end += 7) run(SEQUENCE.slice(0, end), 'start', MACHINES[1] ?? null);
  });

  it('any machine file, sound or not', () => {
    fc.assert(
      fc.property(machineFile, role, (facts, r) => {
        const { machine: read } = readMachine(JSON.stringify(facts));
        run(SEQUENCE, r, read);
        run('G28\nG1 X10 Y10 Z5 F3000\nG2 X20 Y10 I5\nM109 S200\nG1 E5\nG1 X{{ part.right + 5 }} E2\n', r, read);
      }),
      SEED,
    );
  });

  it('the same input gives the same result', () => {
    fc.assert(
      fc.property(fc.nat(SEQUENCE.length), role, machine, (at, r, m) => {
        const text = SEQUENCE.slice(at) + SEQUENCE.slice(0, at);
        const once = run(text, r, m);
        const again = run(text, r, m);
        expect(again.findings).toEqual(once.findings);
        expect(again.open).toEqual(once.open);
        expect(again.trace.totals).toEqual(once.trace.totals);
        expect(again.trace.end).toEqual(once.trace.end);
      }),
      { ...SEED, numRuns: 20 },
    );
  });

  it('sees through what it is given: the sequence as it stands has findings on a small bed and runs on the right one', () => {
    const small = machineOf({ name: 'Wren 40', bed: { shape: 'rectangle', left: 0, right: 40, front: 0, back: 40 } });
    expect(run(SEQUENCE, 'start', small).findings.map((f) => f.rule)).toContain('off-bed');
    expect(run(SEQUENCE, 'start', MACHINES[1] ?? null).trace.steps.length).toBeGreaterThan(15);
  });
});

describe('a crash inside a rule', () => {
  const crashing: Rule = {
    id: 'made-to-crash',
    severity: 'error',
    title: 'Crashes',
    scope: 'line',
    check(_, report) {
      report({ span: { start: 0, end: 1 }, message: 'Told before the crash.' });
      throw new RangeError('made up');
    },
  };
  const text = 'G1 X10\nM1049 S200\n';
  const view = analyze(text, 'start', null, vocabularyFor(null));

  it('is a finding that names the rule; the other rules’ findings are all there', () => {
    const alone = check(view, RULES).findings;
    const { findings } = check(view, [RULES[0] as Rule, crashing, ...RULES.slice(1)]);
    const failed = findings.filter((f) => f.rule === 'rule-failed');
    expect(failed).toHaveLength(1);
    expect(failed[0]?.message).toContain('made-to-crash');
    expect(failed[0]?.message).toContain('made up');
    expect(alone.length).toBeGreaterThan(1);
    for (const f of alone) expect(findings).toContainEqual(f);
    expect(findings.map((f) => f.message)).toContain('Told before the crash.');
  });

  it('does not stop the search for jobs that show the other findings', () => {
    const seen = analyze(
      'G28\nG1 X{{ part.right + 400 }}\n',
      'start',
      MACHINES[1] ?? null,
      vocabularyFor(MACHINES[1] ?? null),
    );
    const onlyExact: Rule = {
      ...crashing,
      check(v, report) {
        // Uncertain over all jobs, and a crash in each exact one.
        if (v.trace === seen.trace) report({ span: { start: 0, end: 1 }, message: 'Perhaps.', certain: false });
        else throw new Error('in an exact job');
      },
    };
    const { findings, open } = check(seen, [onlyExact, ...RULES]);
    expect(findings.map((f) => f.rule)).toContain('beyond-reach');
    expect(open.map((o) => o.rule)).toContain('made-to-crash');
    // The crash is told, once, though the rule crashes in each job, and says that it was in an exact one.
    const failed = findings.filter((f) => f.rule === 'rule-failed');
    expect(failed).toHaveLength(1);
    expect(failed[0]?.message).toContain('made-to-crash');
    expect(failed[0]?.message).toContain('one of the jobs that were tried');
    expect(failed[0]?.message).toContain('in an exact job');
  });

  it('in one exact job alone is a finding with that job; the verdict counts the rule as undecided, and no other', () => {
    const plover = machineOf({
      name: 'Plover 204',
      bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    });
    const seen = analyze('G28\nG1 X{{ part.right + 90 }}\n', 'start', plover, vocabularyFor(plover));
    const rare: Rule = {
      ...crashing,
      check(v, report) {
        const x = v.trace.end.at.x;
        if (v.trace === seen.trace) report({ span: { start: 0, end: 1 }, message: 'Perhaps.', certain: false });
        else if (x && x.lo === x.hi && x.lo > 250) throw new Error('far out');
      },
    };
    const { findings, open } = check(seen, [rare, ...RULES]);
    const [failed, more] = findings.filter((f) => f.rule === 'rule-failed');
    expect(more).toBeUndefined();
    expect(failed?.when?.['part.right']).toBeGreaterThan(160);
    const { verdict } = finish(judging(seen, [rare, ...RULES], findings, open));
    expect(verdict.undecided.map(({ rule }) => rule)).toContain('made-to-crash');
    expect(verdict.holds).toBe(seen.verdict.holds);
  });

  it('when it is asked why it is silent is a finding too', () => {
    const mute: Rule = {
      ...crashing,
      check() {},
      blind() {
        throw new Error('dumbstruck');
      },
    };
    const { verdict, crashes } = finish(judging(view, [mute], [], []));
    expect(crashes.map(({ rule, about }) => [rule, about])).toEqual([['rule-failed', 'made-to-crash']]);
    expect(verdict).toEqual({
      holds: 0,
      fails: 0,
      undecided: [{ rule: 'made-to-crash', reason: 'the rule failed on this text' }],
      unasked: [],
    });
  });

  it('the catalog is built anew for every machine: nothing is kept between runs', () => {
    const own = machineOf({
      name: 'Own',
      bed: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 50 },
      commands: [{ name: 'SING', meaning: 'Sings.', words: [], effects: [] }],
    });
    expect(catalogFor(own).find('SING')).not.toBeNull();
    expect(catalogFor(null).find('SING')).toBeNull();
    run('SING\n', 'start', own);
    expect(run('SING\n', 'start', null).findings.map((f) => f.rule)).toContain('unknown-command');
  });
});
