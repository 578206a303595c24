import type { Expr } from '../../../../server/src/placeholders/expression.ts';

/** An expression with every part in brackets, so that a test can say how it was read. */
export function shown(expr: Expr): string {
  switch (expr.type) {
    case 'number':
    case 'flag':
      return String(expr.value);
    case 'text':
      return JSON.stringify(expr.value);
    case 'nothing':
      return 'nothing';
    case 'name':
      return `<${expr.name}>`;
    case 'unary':
      return `(${expr.op} ${shown(expr.arg)})`;
    case 'binary':
      return `(${shown(expr.left)} ${expr.op} ${shown(expr.right)})`;
    case 'choice':
      return `(${shown(expr.test)} ? ${shown(expr.yes)} : ${shown(expr.no)})`;
    case 'call':
      return `${expr.name}(${expr.args.map(shown).join(', ')})`;
    case 'index':
      return `${shown(expr.list)}[${shown(expr.index)}]${expr.own ? `.${expr.own}` : ''}`;
    case 'format':
      return `${shown(expr.arg)}:${expr.whole ? 'whole' : expr.digits}`;
    case 'list':
      return `[${expr.items.map(shown).join(', ')}]`;
    case 'range':
      return `[${shown(expr.from)}..${shown(expr.to)}]`;
    case 'unclear':
      return `${expr.rule}${expr.sign ? '-' : ''}{${expr.parts.map(shown).join(` ${expr.ops.join()} `)}}`;
    case 'foreign':
      return `?${expr.gives?.is ?? ''}(${expr.args.map(shown).join(', ')})`;
  }
}
