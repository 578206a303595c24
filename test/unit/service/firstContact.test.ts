import { describe, expect, it } from 'vitest';
import { readMachine } from '../../../server/src/machineFile/load.ts';
import { analyze } from '../../../server/src/service/analyze.ts';
import { readVocabulary } from '../../../server/src/vocabulary/read.ts';
import { vocabularyFor } from '../../../server/src/vocabulary/vocabulary.ts';

const { machine } = readMachine(
  JSON.stringify({
    name: 'Wagtail 204',
    bed: { shape: 'rectangle', left: 0, right: 204, front: 0, back: 188 },
    reach: { shape: 'rectangle', left: -3, right: 209, front: -3, back: 193, bottom: 0, top: 226 },
    heat: { nozzle: { max: 275, minExtrude: 172 }, bed: { max: 105 } },
    nozzle: { diameter: 0.4 },
  }),
);
const check = (text: string, file: object | null = null) => {
  const vocabulary = vocabularyFor(machine, file && readVocabulary(JSON.stringify(file)).vocabulary);
  return analyze(text, 'start', machine, vocabulary);
};
const told = (text: string, file: object | null = null): string[] =>
  check(text, file).findings.map(({ rule, span }) => `${rule}: ${text.slice(span.start, span.end)}`);

/**
 * A start sequence that is right for every job, in a language of which only this is given: how it writes a value, and
 * how a section. Without sections only the plain line is there.
 */
const sequence = (
  value: (name: 'bed' | 'tip' | 'x') => string,
  section?: { readonly open: string; readonly other?: string; readonly end: string },
): string =>
  [
    'G21',
    'G90',
    'M82',
    `M140 S${value('bed')}`,
    'G28',
    `M190 S${value('bed')}`,
    `M109 S${value('tip')}`,
    ...(section
      ? [section.open, `M117 tip ${value('tip')}`, ...(section.other ? [section.other, 'M117 plain'] : []), section.end]
      : []),
    'G92 E0',
    'G1 Z5 F600',
    `G1 X${value('x')} Y20 F6000`,
    'G1 Z0.3 F600',
    'G92 E0',
    '',
  ].join('\n');

describe('a text in a language that no vocabulary describes', () => {
  const NAMES = { bed: 'slab_heat', tip: 'quill_heat', x: 'nook' } as const;
  const between =
    (open: string, close: string, names: Readonly<Record<'bed' | 'tip' | 'x', string>> = NAMES) =>
    (name: 'bed' | 'tip' | 'x'): string =>
      `${open}${names[name]}${close}`;
  const DOLLAR = '$' + '{';
  const languages: [string, string, string][] = [
    ['guillemets', sequence(between('«', '»')), '« »'],
    ['braces', sequence(between('{', '}')), '{ }'],
    ['brackets', sequence(between('[', ']')), '[ ]'],
    ['double brackets', sequence(between('[[', ']]')), '[[ ]]'],
    ['dollar and braces', sequence(between(DOLLAR, '}')), `${DOLLAR} }`],
    ['hash and braces', sequence(between('#{', '}')), '#{ }'],
    ['angle signs', sequence(between('<', '>')), '< >'],
    [
      'angle percent',
      sequence(between('<%= ', ' %>'), { open: '<% if (brisk) { %>', other: '<% } else { %>', end: '<% } %>' }),
      '<%= %>',
    ],
    ['equal ends, percent', sequence(between('%', '%')), '% %'],
    ['equal ends, at', sequence(between('@', '@')), '@ @'],
    ['equal ends, bars', sequence(between('|', '|')), '| |'],
    ['bare names', sequence(between('$', '')), 'behind $'],
    ['a number format', sequence(between('%(', ')d')), '%( )'],
    ['curly quotes of another trade', sequence(between('⟦', '⟧')), '⟦ ⟧'],
    ['our delimiters, other names', sequence(between('{{', '}}')), '{{ }}'],
    [
      'our delimiters with marks',
      sequence(between('{{', '}}'), { open: '{{#if brisk}}', other: '{{else}}', end: '{{/if}}' }),
      '{{ }}',
    ],
    [
      'our delimiters, names that begin as ours do',
      sequence(between('{{', '}}', { bed: 'job.slabHeat', tip: 'job.quillHeat', x: 'part.nook' })),
      '{{ }}',
    ],
    ['our delimiters with filters', sequence((name) => `{{ ${NAMES[name]} | round(1) }}`), '{{ }}'],
    [
      'percent statements beside values',
      sequence(between('{{', '}}'), { open: '{% if brisk %}', other: '{% else %}', end: '{% endif %}' }),
      '{{ }}',
    ],
    [
      'invented words',
      sequence(between('«', '»'), { open: '«falls brisk»', other: '«sonst»', end: '«fertig»' }),
      '« »',
    ],
    ['an each', sequence(between('{', '}'), { open: '{each bead in beads}', end: '{/each}' }), '{ }'],
    [
      'line statements',
      sequence(between(DOLLAR, '}'), { open: '@if brisk', other: '@else', end: '@end' }),
      `${DOLLAR} }`,
    ],
    ['hash statements', sequence(between('$', ''), { open: '#if($brisk)', other: '#else', end: '#end' }), 'behind $'],
    ['calls with semicolons', sequence((name) => `{=IF(brisk;${NAMES[name]};20)}`), '{ }'],
    ['choices and texts', sequence((name) => `[${NAMES[name]} if mood == "calm" else 20]`), '[ ]'],
    [
      'names with spaces',
      sequence(between('{', '}', { bed: 'slab heat', tip: 'quill heat', x: 'nook at left' })),
      '{ }',
    ],
    [
      'names with hyphens and digits',
      sequence(between('<', '>', { bed: 'slab-heat', tip: '2nd-quill', x: 'n1' })),
      '< >',
    ],
    ['indexes', sequence((name) => `{${NAMES[name]}[0]}`), '{ }'],
    ['comments of its own', sequence(between('{', '}')).replace('G28', '{# home it; all axes #}\nG28'), '{ }'],
    ['parts of numbers', sequence((name) => (name === 'x' ? '1{nook}.5' : `{${NAMES[name]}}`)), '{ }'],
    [
      'a section in a word',
      sequence((name) => (name === 'x' ? '{if brisk}40{else}60{endif}' : `{${NAMES[name]}}`)),
      '{ }',
    ],
    ['a checksum behind it', sequence(between('{', '}')).replace('M190 S{slab_heat}', 'M190 S{slab_heat}*71'), '{ }'],
  ];
  it.each(languages)('%s: one finding, at the first tag', (_, text, ends) => {
    const { findings } = check(text);
    expect(
      findings.map(({ rule, message, span }) => `${rule} ${text.slice(span.start, span.end)} ${message}`),
    ).toHaveLength(1);
    expect(findings[0]?.rule).toBe('unknown-language');
    expect(findings[0]?.message).toContain(ends);
    // The first tag stands on the first line that has one.
    expect(text.slice(0, findings[0]?.span.start).split('\n').length).toBeLessThanOrEqual(5);
  });

  it('counts the tags, and says whether there are sections', () => {
    const [finding] = check(sequence(between('«', '»'), { open: '«when brisk»', end: '«end»' })).findings;
    expect(finding?.message).toMatch(/placeholders in « » 7 times, with sections/);
  });

  it('what does not hang on a tag is still checked', () => {
    const text = sequence(between('«', '»')).replace('G28\n', '');
    expect(told(text).join('\n')).toMatch(/not-homed/);
    const high = sequence(between('«', '»')).replace('Y20', 'Y300');
    expect(told(high).join('\n')).toMatch(/beyond-reach: .*Y300/);
  });

  it('a section may be left out, so what stands in it is not relied upon', () => {
    const text = sequence(between('«', '»'), { open: '«when brisk»', end: '«end»' })
      .replace('G28\n', '')
      .replace('M117 tip', 'G28 ;');
    const { findings, open, verdict } = check(text);
    expect(findings.map(({ rule }) => rule)).toContain('unknown-language');
    expect([...open, ...verdict.undecided].map(({ rule }) => rule)).toContain('not-homed');
  });

  it('goes away with the vocabulary that describes it', () => {
    const file = {
      delimiters: [['«', '»']],
      names: {
        slab_heat: { standsFor: 'heat.bed.first' },
        quill_heat: { standsFor: 'heat.nozzle.first' },
        nook: { standsFor: 'part.left' },
      },
    };
    expect(told(sequence(between('«', '»')), file)).toEqual([]);
    expect(told(sequence(between('[', ']')), file).every((one) => one.startsWith('unknown-language'))).toBe(true);
  });

  it('the text of the tree is the text, so that features see what is written', () => {
    const text = sequence(between('«', '»'));
    expect(check(text).tree.text).toBe(text);
  });
});

describe('a text that only looks like one with tags', () => {
  const plain = sequence((name) => ({ bed: '60', tip: '215', x: '40' })[name]);
  const rows: [string, string][] = [
    ['braces in a comment', plain.replace('G28', 'G28 ; {was 55} and [old] <tag> «x»')],
    ['JSON in a comment', `; {"bed": 60, "tip": 215}\n${plain}`],
    ['an arrow and a comparison in a comment', `; x < 40 and y > 5 <- here\n${plain}`],
    ['percentages in a message', plain.replace('G28', 'M117 50% and 100%\nG28')],
    ['braces in a message', plain.replace('G28', 'M117 {calm} [mood] %soft%\nG28')],
    ['an address in a comment', `; a@b.example and c@d.example\n${plain}`],
    [
      'our own tags',
      sequence((name) => ({ bed: '{{ heat.bed.first }}', tip: '{{ heat.nozzle.first }}', x: '{{ part.left }}' })[name]),
    ],
    ['a checksum', plain.replace('M190 S60', 'M190 S60*71').replace('G28', 'G28*18')],
  ];
  it.each(rows)('%s: no notice', (_, text) => {
    expect(check(text).findings.map(({ rule }) => rule)).not.toContain('unknown-language');
  });

  const rs274: [string, string][] = [
    ['parameters', '#1=5\nG1 X#1 Y[#1+5] F600\n'],
    ['named parameters', '#<nook>=5\nG1 X#<nook> Y[#<nook> + 2] F600\n'],
    ['functions', 'G1 X[SIN[30]*2] Y[ATAN[1]/[2]] F600\n'],
    ['sums', 'G1 X[2+3] Y[10/4] F600\n'],
    ['program marks', '%\nG1 X5 F600\n%\n'],
    ['a text in quotes', 'M117 "{calm}"\nG4 P5\n'],
  ];
  it.each(rs274)('RS-274: %s: no notice (NISTIR 6556 3.3.2)', (_, text) => {
    expect(check(text).findings.map(({ rule }) => rule)).not.toContain('unknown-language');
  });

  it('one name that is not known is a slip, and told as that', () => {
    expect(told('G28\nM109 S{{ heat.nozle.first }}\nM190 S{{ heat.bde.first }}\n').join()).toMatch(
      /unknown-placeholder/,
    );
  });
});
