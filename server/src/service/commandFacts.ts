import { hasWordFor, wordFor } from '../commands/wordFor.ts';
import type { Axis, Effect } from '../machine/effect.ts';
import { type Known, scale } from '../placeholders/bounds.ts';
import type { Tri } from '../simulate/state.ts';
import type { Step } from '../simulate/trace.ts';
import type { Analysis } from './analyze.ts';
import { axisFacts, homedAt, originFact } from './axisFacts.ts';
import { amount, capital, figure } from './phrase.ts';
import { common, over, type Ran } from './steps.ts';
import { fanFacts, feedFacts, filamentFacts, heatFacts } from './wordFacts.ts';

const AXES: readonly Axis[] = ['x', 'y', 'z'];

/** What a command does where it stands, for every job: one sentence per line. Markdown. */
export function commandFacts(a: Analysis, ran: Ran): string[] {
  const { record } = ran.command;
  if (!record) return [];
  if (ran.steps.length === 0) return [`It never runs here: ${neverBecause(ran)}.`];
  const lines = record.effects.flatMap((effect) => effectFacts(a, ran, effect));
  if (ran.steps.length > 1) lines.push('It can run more than once or in several ways: the figures cover them all.');
  else if (!ran.steps[0]?.certain) lines.push('It runs in some jobs only.');
  return lines;
}

/** Why a command has no step, as a half sentence. */
export const neverBecause = ({ command }: Ran): string =>
  command.node.section ? 'no job fills its section in, or the run ends before it' : 'the run ends before it';

function effectFacts(a: Analysis, ran: Ran, effect: Effect): string[] {
  const { steps, command } = ran;
  const before = <T>(of: (s: Step['before']) => T): T | null => common(steps, (s) => of(s.before));
  const was = (is: Tri, yes: string, no: string): string =>
    `Before it: ${is === null ? 'not known here' : is ? yes : no}.`;
  switch (effect.do) {
    case 'line':
    case 'arc':
    case 'curve':
      return moveFacts(a, ran);
    case 'move-to':
      return AXES.filter((axis) => effect[axis] !== undefined).flatMap((axis) => axisFacts(a, ran, axis));
    case 'extrude':
      return [filament(effect.length)];
    case 'home':
      return homeFacts(a, ran);
    case 'heat':
      return heatFacts(a, ran, effect);
    case 'dwell':
      return [
        `Waits ${amount(
          over(steps, (s) => s.seconds),
          's',
        )}.`,
      ];
    case 'fan':
      return effect.on ? fanFacts(a, ran, wordFor(command, 'fan share')) : [];
    case 'units':
      return [
        was(
          before((s) => s.inches),
          'inches',
          'mm',
        ),
      ];
    case 'distance':
      return [
        was(
          before((s) => s.relative),
          'relative',
          'absolute',
        ),
      ];
    case 'extrusion-mode':
      return [
        was(
          before((s) => s.relativeE),
          'E relative',
          'E absolute',
        ),
      ];
    case 'plane': {
      const plane = before((s) => s.plane);
      return [`Before it: ${plane === null ? 'not known here' : `the ${plane.toUpperCase()} plane`}.`];
    }
    case 'set-position':
      return [...AXES, 'e' as const].map((axis) => originFact(ran, axis)).filter((line) => line !== '');
    case 'select-tool': {
      const [from, to] = [before((s) => s.tool), common(steps, (s) => s.after.tool)];
      return [`Tool: ${from ?? 'not known here'} → ${to ?? 'not known here'}.`];
    }
    case 'speed-factor':
      return factorFacts(
        'Speed',
        over(steps, (s) => s.before.speedFactor),
        over(steps, (s) => s.after.speedFactor),
      );
    case 'flow-factor':
      return factorFacts(
        'Flow',
        over(steps, (s) => s.before.flowFactor),
        over(steps, (s) => s.after.flowFactor),
      );
    case 'unretract':
      return [
        `Pulled back before it: ${amount(
          over(steps, (s) => s.before.retracted),
          'mm',
        )} of filament.`,
      ];
    case 'stop':
      return ['Nothing behind it runs.'];
    default:
      return [];
  }
}

const filament = (length: number): string =>
  `${length < 0 ? 'Pulls back' : 'Pushes'} ${figure(Math.abs(length))} mm of filament.`;

const factorFacts = (what: string, before: Known, after: Known): string[] => [
  `${what}: ${amount(scale(before, 100), '%')} → ${amount(scale(after, 100), '%')} of what is written.`,
];

/** Where a move goes, how far, how fast, how long, and how much filament it pushes. */
function moveFacts(a: Analysis, ran: Ran): string[] {
  const { steps, command } = ran;
  const fault = common(steps, (s) => s.move?.arcFault ?? null);
  if (fault !== null) return [fault];
  const moved = AXES.filter((axis) => steps.some((s) => s.move?.moves[axis]));
  const lines = moved.flatMap((axis) => axisFacts(a, ran, axis));
  if (hasWordFor(command, 'filament')) lines.push(...filamentFacts(ran));
  const feed = over(steps, (s) => s.move?.feed ?? null);
  if (hasWordFor(command, 'feed') && lines.length === 0) return feedFacts(a, ran);
  const length = over(steps, (s) => s.move?.length ?? null);
  const way: string[] = [];
  if (length && length.hi > 0) way.push(amount(length, 'mm'));
  if (feed) way.push(`at ${amount(scale(feed, 1 / 60), 'mm/s')}`);
  const seconds = over(steps, (s) => s.seconds);
  if (seconds && seconds.hi > 0) way.push(`in ${amount(seconds, 's')}`);
  if (way.length > 0) lines.push(`${capital(way.join(' '))}.`);
  if (!feed && lines.length > 0 && !common(steps, (s) => s.before.inverseFeed))
    lines.push('How fast is not known here: no F stands before it.');
  return lines;
}

function homeFacts(a: Analysis, ran: Ran): string[] {
  const axes = AXES.filter((axis) => ran.steps.some((s) => s.move?.moves[axis]));
  return axes.map((axis) => `${axis.toUpperCase()}: homed, then at ${homedAt(a, ran, axis)}.`);
}
