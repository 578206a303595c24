import type { HeaterKind } from '../machine/effect.ts';
import { exact, type Known } from '../placeholders/bounds.ts';
import type { State } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { Word } from '../syntax/nodes.ts';
import { slice } from '../text/span.ts';
import { noMachine, unknownIn } from './blind.ts';
import { commandAt, withValue, wordOf } from './edits.ts';
import type { Rule } from './rule.ts';
import { num, onMachine, range } from './say.ts';

/** A heater set above what the machine bears. */
export const tooHot: Rule = {
  id: 'too-hot',
  severity: 'error',
  title: 'A temperature above what the machine bears',
  why: 'Above its limit a hot end, bed or chamber is damaged, gives off fumes or can start a fire; the plastic liner in many hot ends breaks down from 240 to 260 °C on (common practice, no source). Stay below the maker’s limit in the machine’s manual; the machine file repeats it under `heat`.',
  bad: { role: 'start', text: 'G28\nM109 S999\n' },
  good: { role: 'start', text: 'G28\nM109 S210\n' },
  check(view, report) {
    const { machine } = view;
    if (!machine) return;
    for (const step of view.trace.settings) {
      for (const effect of step.command.record?.effects ?? []) {
        if (effect.do !== 'heat') continue;
        const max = machine.heat[effect.heater]?.max ?? null;
        if (max === null) continue;
        const word =
          step.command.words.find((w) => w.key === (effect.key ?? 'S')) ??
          step.command.words.find((w) => w.key === effect.coolKey);
        const target = word && targetSet(step, word, effect.heater);
        if (!word || !target || target.hi <= max) continue;
        report({
          span: word.span,
          step,
          certain: target.lo > max,
          message: `${range(target)} °C is ${num(target.hi - max)} °C above the most that the ${effect.heater} bears (${num(max)})${onMachine(machine)}. Set ${num(max)} or less; the machine’s manual has the last word.`,
        });
      }
    }
  },
  blind: (view) =>
    noMachine(view) ??
    unknownIn(
      view,
      ({ command, after }) =>
        (command.record?.effects.some((e) => e.do === 'heat') ?? false) &&
        (after.bed.target === null || after.chamber.target === null || after.nozzles.some((n) => n.target === null)),
      'a temperature that is set is not known',
    ),
  fix(view, finding) {
    const word = wordOf(view, finding);
    const heater = commandAt(view, finding.span.start)?.record?.effects.find((e) => e.do === 'heat')?.heater;
    const max = heater && view.machine?.heat[heater]?.max;
    if (!word || typeof max !== 'number') return [];
    const [part, more] = word.value?.type === 'filled' ? word.value.parts : [];
    const tag = part && !more && 'type' in part ? part : null;
    const limit = `min(${tag ? slice(view.tree.text, tag.inner) : ''}, ${num(max)})`;
    if (!tag && word.value?.type !== 'number') return [];
    const edit = tag ? { span: tag.inner, text: limit } : withValue(word, num(max));
    return [{ title: `Set no more than ${num(max)} °C`, edits: [edit], safe: false, preferred: true }];
  },
};

/** The target that this step sets: the word's own number, or what the heaters that it changes are set to. */
function targetSet(step: Step, word: Word, kind: HeaterKind): Known {
  if (word.value?.type === 'number') return exact(word.value.number);
  const [before, after] = [heaters(step.before, kind), heaters(step.after, kind)];
  return after.find((heater, i) => heater !== before[i])?.target ?? null;
}

const heaters = (state: State, kind: HeaterKind) => (kind === 'nozzle' ? state.nozzles : [state[kind]]);
