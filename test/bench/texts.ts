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
