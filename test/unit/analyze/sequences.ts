import type { Name, Vocabulary } from '../../../server/src/placeholders/vocabulary.ts';
import type { Role } from '../../../server/src/syntax/role.ts';
import type { Random } from './random.ts';

// Random sequences that a person could have written, and many that nobody would: expressions over the vocabulary in any
// word, sections round lines, commands, words and parts of a value, every mode and most effects.

type Kind = 'temperature' | 'length' | 'count';

/** A random number expression. */
export function expression(random: Random, names: readonly Name[], depth: number): string {
  const again = (): string => expression(random, names, depth - 1);
  const what = depth <= 0 ? random.next() * 0.35 : random.next();
  if (what < 0.12) return String(random.decimal(0, 60, random.whole(0, 2)));
  if (what < 0.35) return random.pick(names).name;
  if (what < 0.55) return `${again()} ${random.pick(['+', '-'])} ${again()}`;
  if (what < 0.65)
    return `${again()} ${random.pick(['*', '/', '%'])} ${random.pick([again(), String(random.whole(1, 9))])}`;
  if (what < 0.78) return `${random.pick(['min', 'max'])}(${again()}, ${again()})`;
  if (what < 0.86) return `${random.pick(['abs', 'round', 'floor', 'ceil'])}(${again()})`;
  if (what < 0.89) return `-${random.pick(['(', ' ('])}${again()})`;
  if (what < 0.92) return `(${again()}) ${random.pick(['&&', '||'])} (${again()})`;
  return `(${condition(random, names, depth - 1)} ? ${again()} : ${again()})`;
}

/** A random condition. */
export function condition(random: Random, names: readonly Name[], depth: number): string {
  const what = random.next();
  const value = (): string => expression(random, names, Math.min(depth, 1));
  if (what < 0.55) return `${value()} ${random.pick(['<', '<=', '>', '>=', '==', '!='])} ${value()}`;
  if (what < 0.7) return `filament.kind ${random.pick(['==', '!='])} "${random.pick(['PLA', 'ABS'])}"`;
  if (what < 0.8) return `!(${condition(random, names, depth - 1)})`;
  if (what < 0.9)
    return `${condition(random, names, depth - 1)} ${random.pick(['&&', '||'])} ${condition(random, names, depth - 1)}`;
  return random.pick(names).name;
}

/**
 * A whole random sequence for this role.
 * @param more Whether it may hold the own names of a list's elements, and one in four what few would write: values that
 * are no numbers, codes that are filled in, commands that sections choose.
 */
export function sequence(random: Random, vocabulary: Vocabulary, role: Role, more = false): string {
  const odd = more && random.chance(0.25);
  const names = [...vocabulary.names.values()].filter(
    (n) => !n.hidden && n.range !== null && n.kind !== 'list' && (n.roles === undefined || n.roles.includes(role)),
  );
  const ofKind = (kind: Kind): readonly Name[] => {
    const found = names.filter((n) => n.kind === kind);
    return found.length > 0 ? found : names;
  };
  // Few conditions, so that the same one often comes back.
  const conditions = Array.from({ length: 3 }, () => condition(random, names, 2));
  const tag = (kind: Kind): string => {
    const pool = random.chance(0.8) ? ofKind(kind) : names;
    return `{{ ${random.chance(0.02) ? '1 / (heat.bed.first - 40)' : expression(random, pool, random.whole(0, 2))} }}`;
  };
  /** A value that may turn out to be no number, or nothing. */
  const oddValue = (kind: Kind): string =>
    random.pick([
      `+${tag(kind)}`,
      `${tag('count')}.5`,
      `${tag(kind)}${tag('count')}`,
      `{{# ${random.pick(conditions)} }}${tag(kind)}{{/}}`,
      '{{ filament.kind }}',
      `{{ ${condition(random, names, 1)} }}`,
      '{{ filament.kind == "ABS" ? "12" : "x" }}',
    ]);
  const number = (kind: Kind, lo: number, hi: number): string => {
    const what = random.next();
    if (what < 0.5) return String(random.decimal(lo, hi, 1));
    if (odd && what >= 0.9 && what < 0.92) return oddValue(kind);
    if (what < 0.92) return tag(kind);
    if (what < 0.94) return `-${tag(kind)}`;
    if (what < 0.96) return `1${tag('count')}`;
    const c = random.pick(conditions);
    return `{{# ${c} }}${random.decimal(lo, hi, 1)}{{/}}{{^ ${c} }}${random.pick([String(random.decimal(lo, hi, 1)), tag(kind)])}{{/}}`;
  };
  /** A word that may stand in a section of its own. */
  const word = (text: string): string => {
    if (!random.chance(0.06)) return text;
    return `{{${random.pick(['#', '^'])} ${random.pick(conditions)} }}${text}{{/}}`;
  };
  const axisWords = (share: number): string =>
    [
      random.chance(share) ? word(`X${number('length', -20, 220)}`) : '',
      random.chance(share) ? word(`Y${number('length', -20, 220)}`) : '',
      random.chance(share * 0.6) ? word(`Z${number('length', 0, 60)}`) : '',
    ]
      .filter((w) => w !== '')
      .join(' ');
  const feed = (): string =>
    random.chance(0.5) ? ` F${random.pick(['600', '3000', '9000', number('count', 100, 9000)])}` : '';
  /** What few would write: codes that are filled in, commands chosen by sections, words without a command. */
  const oddLine = (): string => {
    const c = random.pick(conditions);
    return random.pick([
      `{{# ${c} }}G0{{/}}{{^ ${c} }}G1{{/}} ${axisWords(0.7)} F3000`,
      `{{# ${c} }}G1{{/}} ${axisWords(0.7)}`,
      `{{# ${c} }}M104 S200{{/}} T${number('count', 0, 1)}`,
      `G${tag('count')} ${axisWords(0.5)}`,
      `M10{{ tool.number }} S${number('count', 0, 255)}`,
      '{{ filament.kind }}',
      'G1 {{ filament.kind }}',
      `{{# ${c} }}; left out {{/}}M190 S60`,
      `X${number('length', 0, 200)} Y${number('length', 0, 200)}`,
      `E${number('length', 0, 9)}`,
      `G53 G1 X${number('length', 0, 200)} F3000`,
      `G28 G1 X${number('length', 0, 200)}`,
      `G91 G1 Z${number('length', 0, 9)}`,
      `(a comment) G1 X${number('length', 0, 200)} ; {{ filament.kind }}`,
      `G10 L2 P${number('count', 1, 9)} Y${number('length', -3, 3)} Z${number('length', -3, 3)}`,
      `G10 L${number('count', 1, 2)} P1 X5`,
      `M204 S${number('count', -5, 5000)}`,
      `M203 Z${number('count', -5, 20)}`,
      `M106 P1 S${number('count', 0, 300)}`,
      `M900 K${number('count', -1, 1)}`,
      `M600`,
      `M420 S${number('count', 0, 1)}`,
      random.pick(['M109', 'M190', 'M191', 'M104', 'M140', 'G92 X', 'G4', 'T']),
    ]);
  };
  /** A line over a list's elements, with their own names. */
  const elementLine = (): string =>
    random.pick([
      'T{{ number }}',
      'M104 S{{ temperature.first }} T{{ number }}',
      'M109 S{{ temperature.later }} T{{ number + 1 }}',
      'M104 S0 T{{ number }}',
      'G1 X{{ number * 10 }} E{{ temperature.first - 200 }}',
      '{{# number == tool.number }}M109 S{{ temperature.first - 300 }}{{/}}',
    ]);
  const line = (): string => {
    const what = random.next();
    if (what < 0.28) {
      const e = random.chance(0.4) ? ` ${word(`E${number('length', -5, 12)}`)}` : '';
      const axes = axisWords(e === '' ? 0.6 : 0.4);
      return `${random.pick(['G0', 'G1', 'G1'])} ${axes}${e}${feed()}`;
    }
    if (what < 0.36) {
      const form = random.chance(0.3)
        ? `R${number('length', 5, 80)}`
        : `I${number('length', -20, 20)}${random.chance(0.7) ? ` J${number('length', -20, 20)}` : ''}`;
      return `${random.pick(['G2', 'G3'])} ${axisWords(0.5)} ${form}${feed()}`;
    }
    if (what < 0.44) return random.pick(['G90', 'G91', 'M82', 'M83', 'G90', 'M83']);
    if (what < 0.47) return random.pick(['G20', 'G21', 'G17', 'G18', 'G19', 'G93', 'G94']);
    if (what < 0.53) return `G28${random.pick(['', '', ' X', ' X Y', ` ${word('Z')}`])}`;
    if (what < 0.59)
      return `G92 ${random.pick(['E0', 'X0 Y0', `X${number('length', -5, 5)}`, `Z${number('length', -1, 1)}`, ''])}`;
    if (what < 0.61)
      return random.pick(['G92.1', 'G54', 'G55', `G10 L2 P${number('count', 1, 2)} X${number('length', -3, 3)}`]);
    if (what < 0.76) {
      const code = random.pick(['M104', 'M109', 'M109', 'M140', 'M190', 'M141', 'M191']);
      const tool = code < 'M110' && random.chance(0.2) ? ` T${number('count', 0, 2)}` : '';
      return `${code} ${word(`${random.chance(0.1) && code.endsWith('9') ? 'R' : 'S'}${random.chance(0.15) ? '0' : number('temperature', 0, 230)}`)}${tool}`;
    }
    if (what < 0.78) return `T${number('count', 0, 2)}`;
    if (what < 0.81) return random.pick(['M106', 'M107', `M106 S${number('count', 0, 255)}`]);
    if (what < 0.84) return random.pick(['M84', 'M84 X', 'M17', 'M116', 'M400', 'G29', 'M18 S30']);
    if (what < 0.87)
      return `${random.pick(['M220', 'M220', 'M221'])} ${word(`S${random.chance(0.3) ? '100' : number('count', 50, 150)}`)}`;
    if (what < 0.89)
      return random.pick(['G10', 'G11', 'M302 S0', `M302 P${number('count', 0, 1)}`, `M302 S${number('count', 0, 1)}`]);
    if (what < 0.92) return `G4 ${random.pick(['P', 'S'])}${number('count', 0, 50)}`;
    if (what < 0.94)
      return random.pick(['DUST_OFF_IT', 'PUSH_OUT', 'M117 hello {{ layer.first }}', 'NO_SUCH_THING A=1']);
    if (what < 0.95)
      return random.pick([
        '{{ heat.bed.first }}',
        'G1 {{ layer.first }}',
        'M999',
        'M500',
        'M303 S200',
        `M211 S${number('count', 0, 1)}`,
        `M564 H${number('count', 0, 1)}`,
        'X10',
        'F1200',
        '; {{ part.top }}',
      ]);
    if (odd && random.chance(0.3)) return oddLine();
    if (what < 0.96) return random.pick(['M2', 'M2', 'M30', 'M112']);
    return '; nothing';
  };
  const block = (depth: number, inList = false): string[] => {
    const what = random.next();
    if (more && inList && random.chance(0.3)) return [elementLine()];
    if (depth <= 0 || what < 0.72) return [line()];
    const body = (list = inList): string[] =>
      Array.from({ length: random.whole(1, 3) }, () => block(depth - 1, list)).flat();
    if (what < 0.78 && !inList) return ['{{# tools }}', ...body(true), '{{/ tools }}'];
    const c = random.pick(conditions);
    if (what < 0.9)
      return [`{{# ${c} }}`, ...body(), '{{/}}', ...(random.chance(0.5) ? [`{{^ ${c} }}`, ...body(), '{{/}}'] : [])];
    if (what < 0.95) return [`{{^ ${c} }}`, ...body(), '{{/}}'];
    return [`{{# ${c} }}${line()}{{/}}${random.chance(0.5) ? ` {{^ ${c} }}${line()}{{/}}` : ''}`];
  };
  const head =
    role === 'start' && random.chance(0.8)
      ? [
          'G21',
          'G90',
          ...(random.chance(0.5) ? ['M83'] : ['M82']),
          ...(random.chance(0.9) ? ['G28'] : []),
          ...(random.chance(0.5) ? [`M109 S${number('temperature', 190, 230)}`] : []),
        ]
      : [];
  return [...head, ...Array.from({ length: random.whole(4, 14) }, () => block(2)).flat()].join('\n');
}
