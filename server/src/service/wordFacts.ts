import type { BoundCommand } from '../commands/bind.ts';
import { axisOf, isTarget, targetKeys } from '../commands/quantity.ts';
import { findRecordWord, writtenKey } from '../commands/record.ts';
import type { WordUnit } from '../commands/unit.ts';
import type { Axis, Effect, HeaterKind } from '../machine/effect.ts';
import type { Machine } from '../machine/machine.ts';
import { absolute, type Known, monotone, scale, subtract } from '../placeholders/bounds.ts';
import type { AxisE, Heater, State } from '../simulate/state.ts';
import type { Word } from '../syntax/nodes.ts';
import type { Analysis } from './analyze.ts';
import { axisWordFacts, homedAt, originFact, unitFacts } from './axisFacts.ts';
import { amount, capital, figure, looksSame, plain } from './phrase.ts';
import { common, numberOf, over, type Ran } from './steps.ts';

type Heat = Extract<Effect, { do: 'heat' }>;

/** What the number behind a word means where it stands, for every job: one sentence per line. Markdown. */
export function wordFacts(a: Analysis, ran: Ran, word: Word): string[] {
  const { record } = ran.command;
  const known = record && findRecordWord(record, word.key);
  if (!record || !known) return [];
  const { quantity, unit } = known;
  const units = (): string[] => unitFacts(ran.steps, numberOf(a, ran, word));
  const axis = word.key.toLowerCase() as AxisE;
  if (quantity.startsWith('axis to home') && axis !== 'e')
    return [`${writtenKey(record, word.key)}: homed, then at ${homedAt(a, ran, axis)}.`];
  if (quantity.startsWith('reading ')) return [originFact(ran, axis), ...units()].filter((line) => line !== '');
  if (!word.value) return [];
  const along = axisOf(quantity);
  if (along)
    return quantity.startsWith('place ') ? axisWordFacts(a, ran, along, word) : centreFacts(a, ran, along, word);
  if (isTarget(quantity)) {
    const effect = record.effects.find((e): e is Heat => e.do === 'heat');
    return effect ? heatFacts(a, ran, effect) : [];
  }
  switch (quantity) {
    case 'filament':
      return [...filamentFacts(ran), ...units()];
    case 'feed':
      return feedFacts(a, ran);
    case 'wait':
      return dwellFacts(a, ran, word);
    case 'fan share':
      return fanFacts(a, ran, word);
    default:
      return plainFacts(a, ran, word, unit);
  }
}

/** How a unit is written behind a number; '' for pure numbers. */
function unitLabel(unit: WordUnit, machine: Machine | null): string {
  const label = LABELS[unit];
  return unit === 'dwell' ? (machine?.controller.dwell ?? 'ms or s') : (label ?? unit);
}

const LABELS: Readonly<Partial<Record<WordUnit, string>>> = {
  length: 'mm',
  'length/min': 'mm/min',
  'mm/s2': 'mm/s²',
  mm3: 'mm³',
  percent: '%',
  fan: '',
  count: '',
  index: '',
  switch: '',
  number: '',
};

/** The value of a word whose unit is all that is known of it. */
function plainFacts(a: Analysis, ran: Ran, word: Word, unit: WordUnit): string[] {
  const value = numberOf(a, ran, word);
  if (unit === 'text' || unit === 'none' || word.value?.type === 'string') return [];
  const lines = [`${writtenKey(ran.command.record, word.key)}: ${amount(value, unitLabel(unit, a.machine))}.`];
  return unit === 'length' ? [...lines.filter(() => !inInches(ran)), ...unitFacts(ran.steps, value)] : lines;
}

const inInches = ({ steps }: Ran): boolean => common(steps, (s) => s.before.inches) === true;

/** Filament that a move feeds, and in which mode E is read. */
export function filamentFacts({ steps }: Ran): string[] {
  const relative = common(steps, (s) => s.before.relativeE);
  const e = over(steps, (s) => s.move?.e ?? null);
  const pushed = over(steps, (s) => s.move?.pushed ?? null);
  const lines: string[] = [];
  if (!e) {
    const why =
      relative === null
        ? 'it is not stated before it whether E is absolute or relative (M82 or M83)'
        : relative
          ? 'its value is not known'
          : 'what E reads before it is not known (G92 E0 states it)';
    lines.push(`E: how far the filament moves is not known here, since ${why}.`);
  } else if (e.lo >= 0) lines.push(`E: pushes ${amount(e, 'mm')} of filament.`);
  else if (e.hi <= 0) lines.push(`E: pulls back ${amount(absolute(e), 'mm')} of filament.`);
  else lines.push(`E: moves the filament by ${amount(e, 'mm')}; below 0 is pulled back.`);
  if (e && e.hi > 0 && pushed && !looksSame(e, pushed))
    lines.push(`Of that, ${amount(pushed, 'mm')} leaves the nozzle; the rest makes good what was pulled back.`);
  if (relative !== null)
    lines.push(relative ? 'E is relative (M83): it counts from here.' : 'E is absolute (M82): it counts from zero.');
  return lines;
}

/** F in both usual units, and what this machine makes of it. */
export function feedFacts(a: Analysis, { steps }: Ran): string[] {
  const feed = over(steps, (s) => s.after.feed);
  if (common(steps, (s) => s.before.inverseFeed))
    return [`Inverse time (G93): the move takes one ${amount(feed, 'th')} of a minute.`];
  const lines = [
    `F: ${amount(feed, 'mm/min')}${feed ? ` = ${amount(scale(feed, 1 / 60), 'mm/s')}` : ''}, until the next F.`,
  ];
  const runs = over(steps, (s) => s.move?.feed ?? null);
  if (feed && runs && !looksSame(feed, runs)) {
    const slower = a.machine ? ` on ${plain(a.machine.name)}` : '';
    lines.push(
      `This move runs at ${amount(scale(runs, 1 / 60), 'mm/s')}${slower}: axis limits and the speed factor count.`,
    );
  }
  return lines;
}

/** The centre of an arc in machine coordinates. */
function centreFacts(a: Analysis, ran: Ran, axis: Axis, word: Word): string[] {
  const { steps } = ran;
  const centre = over(steps, (s) => {
    const arc = s.move?.arc;
    const at = arc ? arc.plane.indexOf(axis) : -1;
    const value = arc?.centre[at];
    return value === undefined ? null : { lo: value, hi: value };
  });
  const along = axis.toUpperCase();
  const lines = unitFacts(steps, numberOf(a, ran, word));
  const radius = over(steps, (s) => (s.move?.arc ? { lo: s.move.arc.radius, hi: s.move.arc.radius } : null));
  if (centre)
    lines.unshift(`Centre of the arc: ${along} ${amount(centre, 'mm')} (machine); radius ${amount(radius, 'mm')}.`);
  else lines.unshift(common(steps, (s) => s.move?.arcFault ?? null) ?? 'Where the centre is, is not known here.');
  return lines;
}

/** P in the controller's unit, S in seconds. */
function dwellFacts(a: Analysis, { steps }: Ran, word: Word): string[] {
  const lines = [
    `Waits ${amount(
      over(steps, (s) => s.seconds),
      's',
    )}.`,
  ];
  if (word.key === 'P') {
    const unit = a.machine?.controller.dwell ?? null;
    const named = { ms: 'milliseconds', s: 'seconds' };
    const where = a.machine ? `on ${plain(a.machine.name)}` : '; no machine is chosen';
    lines.push(
      unit === null
        ? `Whether P counts milliseconds or seconds ${a.machine ? `${where} its machine file does not say` : `depends on the machine${where}`}.`
        : `P counts ${named[unit]} ${where}.`,
    );
  }
  return lines;
}

/** The share of full speed that a fan's S asks for. Without S: full speed. */
export function fanFacts(a: Analysis, ran: Ran, word: Word | undefined): string[] {
  if (!a.machine) return ['Which number means full speed depends on the machine; none is chosen.'];
  const full = a.machine.controller.fanFull;
  if (full === null)
    return [`Which number means full speed on ${plain(a.machine.name)} (255, 100 or 1) its machine file does not say.`];
  if (!word?.value) return ['Fan: full speed.'];
  const share = monotone(scale(numberOf(a, ran, word), 100 / full), (n) => Math.round(n * 10) / 10);
  return [`Fan: ${amount(share, '%')} of full speed (${figure(full)} is full on ${plain(a.machine.name)}).`];
}

/** The temperature that a heater is set to, against this machine's limits. */
export function heatFacts(a: Analysis, ran: Ran, effect: Heat): string[] {
  const word = givenWord(ran.command, effect);
  if (!word) return [];
  const { steps } = ran;
  const value = numberOf(a, ran, word);
  const name = capital(effect.heater);
  if (value && value.lo === 0 && value.hi === 0) return [`${name}: off.`];
  const before = over(steps, (s) => heaterOf(s.before, effect.heater)?.target ?? null);
  const off = before !== null && before.lo === 0 && before.hi === 0;
  const from = before ? `${off ? 'off' : amount(before, 'degrees C')} → ` : '';
  const lines = [
    `${name}: ${from}${amount(value, 'degrees C')}${effect.wait ? ', and waits until it is reached' : ', without a wait'}.`,
  ];
  return [...lines, ...heatLimits(a.machine, effect.heater, value)];
}

function givenWord({ words }: BoundCommand, effect: Heat): Word | undefined {
  const given = targetKeys(effect).map((key) => words.find((w) => w.key === key && w.value));
  return given.find((word) => word !== undefined);
}

/** The heater as far as the text tells which one: the only nozzle, or the one in use. */
function heaterOf(state: State, kind: HeaterKind): Heater | null {
  if (kind !== 'nozzle') return state[kind];
  return state.nozzles.length === 1 ? (state.nozzles[0] ?? null) : null;
}

function heatLimits(machine: Machine | null, kind: HeaterKind, value: Known): string[] {
  if (!machine) return [];
  const name = plain(machine.name);
  const lines: string[] = [];
  if (kind === 'chamber' && !machine.heat.chamber) return [`${name} states no chamber heater.`];
  const max = (kind === 'chamber' ? machine.heat.chamber?.max : machine.heat[kind].max) ?? null;
  if (max === 0) return [`${name} has no ${kind} heater, as its machine file says.`];
  if (max !== null) {
    const beyond = subtract(value, { lo: max, hi: max });
    const over =
      beyond && beyond.hi > 0
        ? `; this is ${beyond.lo === beyond.hi ? '' : 'up to '}${figure(beyond.hi)} above it`
        : '';
    lines.push(`The highest on ${name} is ${figure(max)} °C${over}.`);
  }
  if (kind === 'nozzle' && value && value.lo > 0 && value.lo < machine.heat.nozzle.minExtrude)
    lines.push(`Filament may be fed from ${figure(machine.heat.nozzle.minExtrude)} °C on.`);
  return lines;
}
