import { targetKeys } from '../commands/quantity.ts';
import { findRecordWord } from '../commands/record.ts';
import { type HabitKey, habitOf } from '../machine/habits.ts';
import type { Step } from '../simulate/trace.ts';
import { Pace } from '../text/pieces.ts';
import type { Span } from '../text/span.ts';
import { notFollowed, unstated } from './blind.ts';
import { hasE } from './extrudes.ts';
import { does } from './handOver.ts';
import { heatsOf } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import type { Rule, View } from './rule.ts';
import { num, range } from './say.ts';
import { wordMeant, wordsOf } from './words.ts';

/** A fact about the controller that decides what a line does, and that the machine file does not state. */
export const unstatedHabit: Rule = inPieces({
  id: 'unstated-habit',
  severity: 'info',
  title: 'What this controller does here is not stated',
  scope: 'whole',
  *check(view, report) {
    const { machine } = view;
    // Without a machine there is no file to write the answer into, and checks of the machine are off anyway.
    if (!machine) return;
    const pace = new Pace();
    const open = ASKS.filter(({ key }) => machine.controller[key] === null);
    const asks = new Map(open.map(({ key, begin }) => [key, begin(view)]));
    // Of a program not every move is at hand, so there it is asked where the ways part.
    for (const step of view.role === 'program' ? view.trace.settings : view.trace.steps) {
      if (asks.size === 0) return;
      if (pace.due()) yield;
      for (const [key, ask] of asks) {
        const asked = ask(step);
        if (!asked) continue;
        asks.delete(key);
        report({
          span: asked.span,
          about: key,
          step: asked.step ?? step,
          certain: step.certain && asked.certain !== false,
          message: question(key, machine.name, asked.here),
        });
      }
    }
  },
  // Where it is silent, an answer may matter all the same: in some jobs, or at a place that is not known.
  blind(view) {
    const { machine } = view;
    const open = machine ? ASKS.find(({ key }) => machine.controller[key] === null) : undefined;
    return open
      ? unstated(`controller.${open.key}`, `the machine file does not say: ${habitOf(open.key).question}`)
      : notFollowed(view);
  },
});

/** Where it matters, and what hangs on it there, as a sentence. */
interface Asked {
  readonly span: Span;
  readonly here: string;
  /** Where it is not the step that was looked at. */
  readonly step?: Step;
  /** Whether it matters in every job that comes by. Default true. */
  readonly certain?: boolean;
}

/** Looks at the steps one behind the other for the first place where an answer matters. */
interface Ask {
  readonly key: HabitKey;
  begin(view: View): (step: Step) => Asked | null;
}

/** The word that means this, its number and its unit; null where the step has none, or it is not known. */
function meant(step: Step, quantity: Parameters<typeof wordMeant>[1]) {
  const word = wordMeant(step, quantity);
  const written = step.readings.find((reading) => reading.word === word)?.written ?? null;
  const { record } = step.command;
  const unit = word && record ? findRecordWord(record, word.key)?.unit : undefined;
  return word && written ? { span: word.span, written, unit } : null;
}

const ASKS: readonly Ask[] = [
  {
    key: 'distanceGovernsE',
    begin(view) {
      let parted: Step | null = null;
      return (step) => {
        if (does(step, 'extrusion-mode')) parted = null;
        // From here on E is in one mode or the other, as the controller has it.
        if (does(step, 'distance')) {
          const { relative, ownE } = step.after;
          parted = relative === ownE || ownE === null ? null : step;
        }
        if (!parted || !(view.role === 'program' ? step === parted : hasE(step))) return null;
        const { code, node } = parted.command;
        const follows =
          view.role === 'program' ? ' Until it is stated the program is followed as if they did not.' : '';
        return {
          span: node.codeSpan,
          step: parted,
          here: `Whether E is a step or a place behind this ${code} hangs on it.${follows}`,
        };
      };
    },
  },
  {
    key: 'dwell',
    begin: () => (step) => {
      const wait = does(step, 'dwell') ? meant(step, 'wait') : null;
      if (wait?.unit !== 'dwell' || wait.written.hi <= 0) return null;
      const { written } = wait;
      const inSeconds = range({ lo: written.lo / 1000, hi: written.hi / 1000 });
      return {
        span: wait.span,
        certain: written.lo > 0,
        here: `This waits ${inSeconds} or ${range(written)} seconds.`,
      };
    },
  },
  {
    key: 'fanFull',
    begin: () => (step) => {
      const fan = does(step, 'fan') ? meant(step, 'fan share') : null;
      if (!fan || fan.written.hi <= 0) return null;
      const may = habitOf('fanFull').answers.filter(({ value }) => fan.written.lo <= Number(value));
      if (may.length < 2) return null;
      const shares = may.map(({ value }) => `${num((fan.written.hi / Number(value)) * 100)} %`);
      const certain = fan.written.lo > 0 && may.filter(({ value }) => fan.written.hi <= Number(value)).length > 1;
      return { span: fan.span, certain, here: `This is ${shares.join(' or ')} of full speed.` };
    },
  },
  {
    key: 'waitsForCooling',
    begin: () => (step) => {
      const [heat] = heatsOf(step);
      if (!heat?.wait) return null;
      const [targetKey] = targetKeys(heat);
      const word = wordsOf(step).find(({ key }) => key === targetKey);
      const target = step.readings.find((reading) => reading.word === word)?.written ?? null;
      const heater = heat.heater === 'nozzle' ? step.before.nozzles[step.before.tool ?? 0] : step.before[heat.heater];
      const hot = heater?.target ?? null;
      if (!word || !target || target.hi <= 0 || !hot || hot.lo <= target.hi || heater?.awaited !== true) return null;
      return {
        span: word.span,
        certain: target.lo > 0,
        here: `The ${heat.heater} is at ${range(hot)} °C here, hotter than the ${range(target)} °C that are waited for.`,
      };
    },
  },
  {
    key: 'waitsByR',
    begin: () => (step) => {
      const [heat] = heatsOf(step);
      if (heat?.coolKey === undefined) return null;
      const [targetKey, coolKey] = targetKeys(heat);
      const words = wordsOf(step);
      const word = words.find(({ key }) => key === coolKey);
      return word && words.every(({ key }) => key !== targetKey)
        ? { span: word.span, here: `Otherwise the ${heat.heater} is not told any temperature here.` }
        : null;
    },
  },
  {
    key: 'g10',
    begin: () => (step) =>
      does(step, 'retract') && !wordsOf(step).some(({ key }) => key === 'L')
        ? { span: step.command.node.codeSpan, here: 'Whether filament is pulled back here hangs on it.' }
        : null,
  },
];

/** What is asked, what hangs on it, and where the answer is written. */
function question(key: HabitKey, machine: string, here: string): string {
  const { question, answers } = habitOf(key);
  const ways = answers
    .map(({ value, short }) => (String(value) === short ? short : `${JSON.stringify(value)} (${short})`))
    .join(' or ');
  return `${question} The machine file of ${machine} does not say. ${here} Write it there as controller.${key}: ${ways}.`;
}
