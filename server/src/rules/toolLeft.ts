import { wordFor } from '../commands/wordFor.ts';
import { exact, type Known, subtract } from '../placeholders/bounds.ts';
import { asNumber } from '../placeholders/evaluate.ts';
import type { Step } from '../simulate/trace.ts';
import { noMachine, notFollowed } from './blind.ts';
import { commandAt, withValue } from './edits.ts';
import { does, tellLeft } from './handOver.ts';
import { isOff } from './jobs.ts';
import { tagOf } from './lines.ts';
import type { Rule, View } from './rule.ts';
import { range } from './say.ts';
import { numberOf } from './settings.ts';

/** A start that hands over with another tool than the job begins with. */
export const toolLeft: Rule = {
  id: 'tool-left',
  severity: 'hint',
  title: 'Handed over with another tool than the job begins with',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    const first = firstTool(view);
    if (!first) return;
    const { tool } = view.trace.end;
    const tag = tagOf(view, 'tool.number');
    tellLeft(
      view,
      {
        sets: (step) => does(step, 'select-tool') && picked(step) !== undefined,
        leaves: (step) => (isJobsFirst(view, step) ? 'none' : isOff(subtract(picked(step) ?? null, first))),
        end: tool === null ? 'some' : isOff(subtract(exact(tool), first)),
        say: (step) => ({
          names: [view.vocabulary.standIns?.get('tool.number') ?? 'tool.number'],
          message: `The start sequence hands over with tool ${sayTool(picked(step))}, and the job begins with tool ${range(first)}. End with the job’s own tool${tag ? `: T${tag}` : ''}.`,
        }),
      },
      report,
    );
  },
  blind(view) {
    if (view.role !== 'start') return null;
    return noMachine(view) ?? (firstTool(view) ? notFollowed(view) : 'which tool a job begins with is not known');
  },
  fix(view, { span }) {
    const tag = tagOf(view, 'tool.number');
    const command = commandAt(view, span.start);
    const word = command && wordFor(command, 'tool');
    if (!tag || !word) return [];
    return [{ title: `Pick the job’s own tool: T${tag}`, edits: [withValue(word, tag)], safe: false, preferred: true }];
  },
};

/** The number of the tool that the job begins with; null where that says nothing here, or is not known. */
function firstTool({ role, machine, trace, vocabulary }: View): Known {
  if (role !== 'start' || !machine) return null;
  const value = trace.env(vocabulary.standIns?.get('tool.number') ?? 'tool.number');
  return value ? asNumber(value) : null;
}

/** Whether a step picks by the name of the tool that the job begins with: that is the right one in every job. */
function isJobsFirst({ expressions, vocabulary }: View, { command }: Step): boolean {
  const value = wordFor(command, 'tool')?.value;
  const [part, more] = value?.type === 'filled' ? value.parts : [];
  const expr = part && !more && 'type' in part ? expressions.get(part)?.expr : null;
  return expr?.type === 'name' && expr.name === (vocabulary.standIns?.get('tool.first') ?? 'tool.first');
}

/** The number of the tool that a step picks; undefined where it picks none. */
function picked(step: Step): Known | undefined {
  const effect = step.command.record?.effects.find((e) => e.do === 'select-tool');
  if (effect?.do !== 'select-tool') return undefined;
  const number = numberOf(step, effect.key);
  // Inside a list only the run knows it.
  return number === null && step.after.tool !== null ? exact(step.after.tool) : number;
}

const sayTool = (tool: Known | undefined): string => (tool ? range(tool) : 'of another number');
