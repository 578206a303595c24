import { shownCode } from '../commands/bind.ts';
import { targetKeys } from '../commands/quantity.ts';
import type { HeaterKind } from '../machine/effect.ts';
import type { Step } from '../simulate/trace.ts';
import { Pace } from '../text/pieces.ts';
import { notFollowed } from './blind.ts';
import { commandAt, withWord } from './edits.ts';
import { beginsCold, heatsOf, isZero, mayDoAnything, targetIsZero, targetWord, waitsFor } from './heatSteps.ts';
import { inPieces } from './inPieces.ts';
import { either, type Jobs, not, turned } from './jobs.ts';
import { hasAll, tagOf } from './lines.ts';
import type { Fix, Rule } from './rule.ts';

const GO_ON: ReadonlyMap<string, string> = new Map([
  ['M109', 'M104'],
  ['M190', 'M140'],
  ['M191', 'M141'],
]);
const KINDS: readonly HeaterKind[] = ['nozzle', 'bed', 'chamber'];

/** A wait for heat that nothing has asked for. */
export const waitWithoutTarget: Rule = inPieces({
  id: 'wait-without-target',
  severity: 'warning',
  title: 'A wait for a heater that is off',
  scope: 'whole',
  *check(view, report) {
    const pace = new Pace();
    // Whether something has set each heater: at the beginning of an end sequence the job has.
    const begin: Jobs = beginsCold(view) ? 'none' : 'all';
    const set: Record<HeaterKind, Jobs> = { nozzle: begin, bed: begin, chamber: begin };
    /** Heaters whose temperature a job may have given. */
    const byJob = new Set<HeaterKind>();
    for (const step of view.trace.settings) {
      if (pace.due()) yield;
      if (mayDoAnything(step)) for (const kind of KINDS) set[kind] = either(set[kind], 'some');
      let waits = waitsFor(step);
      if (heatsOf(step).length === 0 && waits.length === 0) continue;
      for (const effect of heatsOf(step)) {
        const word = targetWord(step, effect);
        if (!word) continue;
        set[effect.heater] = turned(set[effect.heater], step, not(targetIsZero(step, word)));
        if (word.value?.type === 'filled') byJob.add(effect.heater);
        waits = waits.filter((kind) => kind !== effect.heater);
        // R0 waits for cooling, and never ends. A job that leaves a heater off is no slip of whoever wrote the text.
        if (isZero(word) && effect.wait && word.key === targetKeys(effect)[0]) report(offAndOn(step, effect.heater));
      }
      if (waits.length === 0 || isIncomplete(step)) continue;
      const nothing = not(waits.map((kind) => set[kind]).reduce(either));
      if (nothing === 'none') continue;
      const [kind] = waits;
      if (kind && waits.length === 1 && byJob.has(kind))
        report({
          span: step.command.node.codeSpan,
          step,
          severity: 'info',
          certain: nothing === 'all',
          message: `${shownCode(step.command)} waits for the ${kind}, which is off: most controllers go on at once. Leave the line out where the ${kind} is off, by a section over its temperature.`,
        });
      else
        report({
          span: step.command.node.codeSpan,
          step,
          certain: nothing === 'all',
          message: `${shownCode(step.command)} waits for the ${waits.length > 1 ? 'heaters' : waits[0]}, and nothing has set a temperature before: it goes on at once, cold. ${waits.length > 1 ? 'Set one first' : 'Add S with the temperature'}.`,
        });
    }
  },
  blind: notFollowed,
  fix(view, { span }) {
    const wait = commandAt(view, span.start);
    const kind = wait?.record?.effects.find((e) => e.do === 'heat')?.heater;
    if (!wait || !kind) return [];
    const instead = GO_ON.get(wait.code);
    if (wait.words.some(isZero))
      return instead && hasAll(view, [instead])
        ? [
            {
              title: `Write ${instead}, which does not wait`,
              edits: [{ span: wait.node.codeSpan, text: instead }],
              safe: true,
            },
          ]
        : [];
    const tag = tagOf(
      view,
      kind === 'chamber' ? 'heat.chamber' : `heat.${kind}.${beginsCold(view) ? 'first' : 'later'}`,
    );
    const fix: Fix[] = tag ? [{ title: `Add S${tag}`, edits: [withWord(wait, `S${tag}`)], safe: false }] : [];
    return fix;
  },
});

/** A command that is refused without its temperature is told by `missing-word`. */
const isIncomplete = (step: Step): boolean =>
  heatsOf(step).some((heat) => {
    const [key = ''] = targetKeys(heat);
    const { words, oneOf } = step.command.record ?? {};
    return oneOf?.includes(key) || words?.some((w) => w.key === key && w.required === true);
  });

const offAndOn = (step: Step, kind: HeaterKind) => ({
  span: step.command.node.codeSpan,
  step,
  about: 'zero',
  severity: 'info' as const,
  message: `${shownCode(step.command)} S0 switches the ${kind} off and waits for nothing. ${GO_ON.get(step.command.code) ?? 'A command without a wait'} says that plainly; to wait while it cools, give R with a temperature instead.`,
});
