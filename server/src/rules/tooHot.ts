import { targetKeys } from '../commands/quantity.ts';
import { limited } from '../placeholders/limited.ts';
import { Pace } from '../text/pieces.ts';
import { noMachine, unknownIn } from './blind.ts';
import { ROUNDING } from './computedNumber.ts';
import { commandAt, withValue, wordOf } from './edits.ts';
import { heatsOf, targetWord } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import type { Rule } from './rule.ts';
import { num, onMachine, range } from './say.ts';
import { filledIn, numberOfWord, wordIn } from './words.ts';

/** A heater set above what the machine bears. */
export const tooHot: Rule = inPieces({
  id: 'too-hot',
  severity: 'error',
  title: 'A temperature above what the machine bears',
  scope: 'line',
  *check(view, report) {
    const pace = new Pace();
    const { machine } = view;
    if (!machine) return;
    for (const step of view.trace.settings) {
      if (pace.due()) yield;
      for (const effect of step.command.record?.effects ?? []) {
        if (effect.do !== 'heat') continue;
        const max = machine.heat[effect.heater]?.max ?? null;
        if (max === null) continue;
        const word = wordIn(step, ...targetKeys(effect));
        const target = word && numberOfWord(step, word);
        if (!word || !target || target.hi <= max + ROUNDING) continue;
        report({
          span: word.span,
          step,
          certain: target.lo > max + ROUNDING && filledIn(step, word)?.isEmpty !== null,
          message:
            max === 0
              ? `${machine.name} has no ${effect.heater} heater, as its machine file says, so this does nothing there, or is refused. Remove it, or correct heat.${effect.heater} in the machine file.`
              : `${range(target)} °C is ${num(target.hi - max)} °C above the most that the ${effect.heater} bears (${num(max)})${onMachine(machine)}. Set ${num(max)} or less; the machine’s manual has the last word.`,
        });
      }
    }
  },
  blind: (view) =>
    noMachine(view) ??
    unknownIn(
      view,
      (step) =>
        heatsOf(step).some((effect) => {
          const word = targetWord(step, effect);
          return word !== undefined && (word.key === '' || numberOfWord(step, word) === null);
        }),
      'a temperature that is set is not known',
    ),
  fix(view, finding) {
    const word = wordOf(view, finding);
    const heater = commandAt(view, finding.span.start)?.record?.effects.find((e) => e.do === 'heat')?.heater;
    const max = heater && view.machine?.heat[heater]?.max;
    if (!word || !max) return [];
    const [part, more] = word.value?.type === 'filled' ? word.value.parts : [];
    const tag = part && !more && 'type' in part ? part : null;
    const expr = tag ? view.expressions.get(tag)?.expr : null;
    const text = tag && expr ? limited(view.vocabulary, view.tree, tag, expr, { most: max }) : null;
    if (tag ? text === null : word.value?.type !== 'number') return [];
    const edit = tag && text !== null ? { span: tag.inner, text } : withValue(word, num(max));
    return [{ title: `Set no more than ${num(max)} °C`, edits: [edit], safe: false, preferred: true }];
  },
});
