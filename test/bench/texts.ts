/** Texts of a given size, always the same. Invented for the benchmarks. */

const NAMES = [
  'heat.nozzle.first',
  'heat.bed.first',
  'part.left',
  'part.right',
  'part.front',
  'part.back',
  'part.top',
  'layer.first',
  'layer.height',
  'bed.left',
  'bed.right',
  'bed.front',
  'bed.back',
  'reach.top',
  'home.x',
  'home.y',
  'filament.diameter',
  'nozzle.diameter',
  'heat.nozzle.later',
  'heat.bed.later',
];

/** A start sequence of `lines` lines in which `tags` tags stand, spread evenly. */
export function startSequence(lines: number, tags: number): string {
  const out = [
    '; warm up',
    'G21',
    'G90',
    'M83',
    'M140 S{{ heat.bed.first }}',
    'M104 S{{ heat.nozzle.first }}',
    'G28',
    'M190 S{{ heat.bed.first }}',
    'M109 S{{ heat.nozzle.first }}',
    '; purge',
  ];
  const every = Math.max(1, Math.floor((lines - out.length) / Math.max(1, tags - 4)));
  for (let i = 0; out.length < lines; i++) {
    if (i % every === every - 1) {
      const name = NAMES[i % NAMES.length] ?? 'part.top';
      out.push(`G1 X{{ min(max(${name}, bed.left + 5), bed.right - 5) }} F6000 ; along the front`);
    } else
      out.push(
        i % 7 === 0
          ? `; row ${i}`
          : `G1 X${10 + (i % 200)} Y${(5 + (i % 11) * 1.25).toFixed(2)} Z0.3 E${(0.4 + (i % 5) / 10).toFixed(3)} F1800`,
      );
  }
  return `${out.join('\n')}\n`;
}

/** The same, with `conditions` sections spread over it, each around a few lines and with an else-branch. */
export function conditionalSequence(lines: number, tags: number, conditions: number): string {
  const rows = startSequence(lines, tags).trimEnd().split('\n');
  const every = Math.max(2, Math.floor((rows.length - 12) / Math.max(1, conditions)));
  const out: string[] = [];
  rows.forEach((row, i) => {
    const n = Math.floor((i - 12) / every);
    const opens = i >= 12 && n < conditions && (i - 12) % every === 0;
    if (opens) out.push(`{{# ${NAMES[n % NAMES.length]} > ${20 + n} }}`);
    out.push(row);
    if (opens) out.push('{{/}}', `{{^ ${NAMES[n % NAMES.length]} > ${20 + n} }}`, `G1 X${30 + n} F6000`, '{{/}}');
  });
  return `${out.join('\n')}\n`;
}

/** A sequence of `size` characters in an invented placeholder language, with sections, comments and what is worked out. */
export function foreignSequence(size: number): string {
  const out: string[] = [];
  for (let i = 0, length = 0; length < size; i++) {
    const row = `M140 S«slab»\n«when hot > ${i} and not quick»\nM104 S«tip - ${i % 50}»\n«otherwise»\nG1 X«west» Y«south + 1» F6000 ; «who» ${i}\n«done»\nG1 X10.5 Y20.25 E0.33${i}`;
    out.push(row);
    length += row.length + 1;
  }
  return `${out.join('\n')}\n`;
}

/** A finished program of `lines` lines. */
export function program(lines: number): string {
  const out = ['G21', 'G90', 'M83', 'G28', 'M109 S210'];
  for (let i = 0; out.length < lines; i++) {
    const angle = (i * 2 * Math.PI) / 97;
    out.push(
      `G1 X${(110 + 60 * Math.cos(angle)).toFixed(3)} Y${(110 + 60 * Math.sin(angle)).toFixed(3)} E0.${(i % 900) + 100}`,
    );
    if (i % 500 === 0) out.push(`G1 Z${(0.2 + i / 2500).toFixed(2)} F600`);
  }
  return `${out.join('\n')}\n`;
}

/** A vocabulary with about all that one can describe, for `richSequence`: invented, like its language. */
export const RICH_VOCABULARY = JSON.stringify({
  delimiters: [
    ['«', '»', 'values'],
    ['‹', '›', 'statements'],
    ['‹#', '#›', 'comments'],
  ],
  keywords: {
    ...{ if: 'when', elseIf: 'or when', else: 'otherwise', unless: 'unless', end: 'done' },
    ...{ each: 'for ITEM in LIST', set: 'let NAME be VALUE', switch: 'by', case: 'is' },
  },
  expressions: {
    operators: { and: 'and', or: 'or', not: 'not', equal: ['=', 'is'], notEqual: '<>', join: '&', otherwise: 'else' },
    choice: ['YES if CONDITION otherwise NO'],
    functions: { least: 'min', most: 'max', near: 'round' },
    formats: [':.Nf'],
    names: { letters: '-', caseMatters: false },
    firstIndex: 1,
  },
  rules: {
    zeroHolds: false,
    emptyTextHolds: false,
    wholeDivision: false,
    rounding: 'up',
    andOr: 'and first',
    wholeAs: '3',
  },
  names: {
    'plate-first': { standsFor: 'heat.bed.first' },
    'tip-first': { standsFor: 'heat.nozzle.first' },
    'figure-left': { standsFor: 'part.left' },
    'figure-top': { standsFor: 'part.top' },
    material: { standsFor: 'filament.kind' },
    slow: { kind: 'flag' },
    strokes: { kind: 'list', items: 'length', range: [0, 4], itemRange: [20, 90] },
  },
});

/** A start sequence of about 300 lines in the language of `RICH_VOCABULARY`, with 40 tags of every kind. */
export function richSequence(): string {
  const plain = (from: number, count: number): string[] =>
    Array.from(
      { length: count },
      (_, i) => `G1 X${20 + ((from + i) % 150)} Y${(8 + (i % 9) * 1.5).toFixed(1)} E0.4 F1700`,
    );
  const block = (i: number): string[] => [
    `‹# stroke ${i} #›`,
    `‹let lift be least(figure-top + ${i}, 200)›`,
    '‹when plate-first > 60 and not slow›',
    'M190 S«plate-first»',
    '‹or when plate-first > 0›',
    'G4 S20',
    '‹otherwise›',
    'M117 «material & " on a cold bed"»',
    '‹done›',
    'G1 Z«lift:.2f» F600',
    '‹for way in strokes›',
    'G1 Y«most(way, 30)» F3000',
    '‹done›',
    `G1 X«figure-left + ${i} if figure-left < 100 otherwise 90» F6000`,
  ];
  const rows = ['G21', 'G90', 'M83', 'M140 S«plate-first»', 'G28', 'M109 S«tip-first»'];
  for (let i = 0; i < 3; i++) rows.push(...block(i), ...plain(i * 80, 84));
  return `${rows.join('\n')}\n`;
}
