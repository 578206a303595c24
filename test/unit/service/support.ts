import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import type { Machine } from '../../../server/src/machine/machine.ts';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { type Analysis, analyze } from '../../../server/src/service/analyze.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

// An invented machine: corner origin, a reach that is a little larger than the bed, limits on every axis.
export const HERON = machine({
  name: 'Heron 228',
  bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
  reach: { shape: 'rectangle', left: -5, right: 234, front: -7, back: 217, bottom: 0, top: 232 },
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 } },
  speed: { x: 215, y: 185, z: 11, e: 38 },
  acceleration: 1150,
  controller: { dwell: 'ms', fanFull: 255, commandsPerLine: 'one', missing: ['M600'], namedCommands: { joins: '=' } },
  commands: [
    {
      name: 'DUST_THE_TIP',
      meaning: 'Draws the nozzle over the brush.',
      words: [
        { key: 'STROKES', meaning: 'how many strokes', unit: 'count', required: true },
        { key: 'SPEED', meaning: 'how fast', unit: 'mm/s', required: false },
      ],
      effects: [{ do: 'move-to', x: -4, y: 100 }],
    },
  ],
});

/** Centre origin, dwell in seconds, several commands a line, two tools. */
export const PLOVER = machine({
  name: 'Plover',
  bed: { shape: 'circle', centre: { x: 0, y: 0 }, radius: 83 },
  home: { x: 0, y: 0, z: 187 },
  tools: 2,
  controller: { dwell: 's', fanFull: 1, commandsPerLine: 'many' },
});

const MACHINES: Readonly<Record<string, Machine | null>> = { heron: HERON, plover: PLOVER, none: null };

function machine(facts: object): Machine {
  const { machine: read, problems } = readMachine(JSON.stringify(facts));
  if (!read || problems.length > 0) throw new Error(JSON.stringify(problems));
  return read;
}

export const analysed = (text: string, role: Role = 'start', on: Machine | null = HERON): Analysis =>
  analyze(text, role, on, vocabularyFor(on));

/** One case of a fixture file. `▮` in its text is the cursor. */
export interface Case {
  readonly title: string;
  readonly role: Role;
  readonly machine: Machine | null;
  readonly text: string;
  readonly offset: number;
  readonly analysis: Analysis;
}

/**
 * Reads a fixture file, and gives for each case what it expects and what `show` makes of it. With UPDATE=1 the file is
 * written anew. A case is `=== title | role | machine`, the text, `---`, and what is expected.
 */
export function runFixture(name: string, show: (one: Case) => string): { title: string; want: string; got: string }[] {
  const path = new URL(`../../fixtures/service/${name}.txt`, import.meta.url);
  if (!existsSync(path)) throw new Error(`no fixture ${path}`);
  const [head = '', ...cases] = readFileSync(path, 'utf8').split(/^=== /m);
  const results = cases.map((source) => {
    const [first = '', ...rows] = source.split('\n');
    const rule = rows.indexOf('---');
    const marked = rows
      .slice(0, rule < 0 ? undefined : rule)
      .join('\n')
      .trimEnd();
    const want =
      rule < 0
        ? ''
        : rows
            .slice(rule + 1)
            .join('\n')
            .trim();
    const [title = '', role = 'start', on = 'heron'] = first.split('|').map((part) => part.trim());
    const offset = marked.indexOf('▮');
    const text = marked.replace('▮', '');
    const picked = MACHINES[on] ?? null;
    const got = show({
      title,
      role: role as Role,
      machine: picked,
      text,
      offset,
      analysis: analysed(text, role as Role, picked),
    }).trim();
    return { title, want, got, written: `=== ${first}\n${marked}\n---\n${got}\n\n` };
  });
  if (process.env.UPDATE)
    writeFileSync(
      path,
      `${head}${results
        .map((r) => r.written)
        .join('')
        .trimEnd()}\n`,
    );
  return results;
}
