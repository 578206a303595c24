import type { BoundCommand } from '../commands/bind.ts';
import { hasWordFor } from '../commands/wordFor.ts';
import type { Machine } from '../machine/machine.ts';
import { type Bounds, isExact, join, type Known, multiply } from '../placeholders/bounds.ts';
import { beadWidth } from '../simulate/bead.ts';
import type { Step } from '../simulate/trace.ts';
import { noMachine, unknownIn } from './blind.ts';
import { ownMove, volumeOf } from './extrudes.ts';
import { both, either, isAbove, isBelow, type Jobs, ratio } from './jobs.ts';
import type { Report, Rule, View } from './rule.ts';
import { num, onMachine, wordSpan } from './say.ts';

/** A bead this many nozzle diameters wide piles up; thinner than this share of one it tears. Common practice, no source. */
const WIDEST = 3;
/** Up to this many, purge lines are often this fat on purpose. Common practice, no source. */
const ON_PURPOSE = 6;
const THINNEST = 0.5;

/** Higher than this many nozzle diameters over the bed no bead is laid down. Common practice, no source. */
const HIGHEST = 1.5;

/** Shorter than this it is no line, mm. Common practice, no source. */
const SHORT = 5;

/** A start sequence lays a purge line or two. Where it draws a whole pattern, that many lines tell enough of it. */
const MOST_LINES = 12;

/** A purge line whose bead is far too wide or too thin. */
export const beadSize: Rule = {
  id: 'bead-size',
  severity: 'info',
  title: 'A line far wider or thinner than the nozzle',
  scope: 'line',
  check(view, report) {
    const { machine } = view;
    if (!machine || view.role !== 'start') return;
    const nozzle = machine.nozzle.diameter;
    const judged = new Set(linesIn(view, MOST_LINES));
    for (const step of view.trace.steps) {
      const line = judged.has(step.command) ? lineOf(view, step, machine) : null;
      if (!line || line.is === 'none' || !line.width) continue;
      const [wide, thin] = [isAbove(line.width, WIDEST * nozzle), isBelow(line.width, THINNEST * nozzle)];
      const happens = both(line.is, either(wide, thin));
      if (happens === 'none') continue;
      report({
        span: wordSpan(step, 'filament'),
        step,
        certain: happens === 'all',
        // A thick line only wastes filament and leaves a burr; a thin one does not fill the nozzle.
        ...severityOf(wide, isAbove(line.width, ON_PURPOSE * nozzle)),
        message: message(line, wide !== 'none', machine),
      });
    }
  },
  blind: (view) =>
    view.role === 'start'
      ? (noMachine(view) ??
        (linesIn(view, MOST_LINES + 1).length > MOST_LINES
          ? `only the first ${MOST_LINES} lines are measured`
          : null) ??
        unknownIn(
          view,
          (step) => {
            const line = view.machine && lineOf(view, step, view.machine);
            return line !== null && line.is !== 'none' && !line.width;
          },
          'how wide a line gets is not known',
        ))
      : null,
};

/** The first commands of the text that may lay a line, whether a job runs them or not. */
function linesIn({ commands }: View, most: number): BoundCommand[] {
  const found: BoundCommand[] = [];
  for (const command of commands) {
    if (found.length === most) break;
    const { record } = command;
    if (!record?.effects.some((e) => e.do === 'line' || e.do === 'arc' || e.do === 'curve' || e.do === 'extrude'))
      continue;
    if (hasWordFor(command, 'filament') && hasWordFor(command, 'place x', 'place y')) found.push(command);
  }
  return found;
}

function severityOf(wide: Jobs, veryWide: Jobs): Pick<Report, 'severity'> {
  if (wide === 'none') return { severity: 'warning' };
  return veryWide === 'none' ? { severity: 'hint' } : {};
}

interface Line {
  /** In how many jobs it is one: long enough, and as low as a layer. */
  readonly is: Jobs;
  /** mm; null: not known. */
  readonly width: Known;
  readonly length: Known;
  readonly height: Known;
  /** mm of filament, the flow factor counted. */
  readonly fed: Known;
}

/** The line that a step lays on the bed; null where it lays none. */
function lineOf(view: View, step: Step, { nozzle }: Machine): Line | null {
  const move = ownMove(step);
  if (!move || !(move.moves.x || move.moves.y) || (move.pushed && move.pushed.hi <= 0)) return null;
  const { from, to, length, pushed } = move;
  // A line that rises or falls has no one height.
  if (move.moves.z && isExact(from.z) && isExact(to.z) && from.z.lo !== to.z.lo) return null;
  const height = move.moves.z ? join(from.z, to.z) : to.z;
  const flat: Jobs = move.moves.z ? 'some' : 'all';
  const low = both(isBelow(height, HIGHEST * nozzle.diameter + 1e-9), isAbove(height, 1e-9));
  const is = both(both(flat, low), both(isAbove(length, SHORT), isAbove(pushed, 0)));
  const fed = multiply(pushed, step.before.flowFactor);
  const section = ratio(volumeOf(view, fed), length);
  return { is, width: section && widthOf(section, height), length, height, fed };
}

/** It grows with the section; with the height one of its two parts grows and the other shrinks. */
function widthOf(section: Bounds, height: Known): Known {
  if (!height || height.hi <= 0 || section.lo < 0) return null;
  if (isExact(height) && isExact(section)) {
    const width = beadWidth(section.lo, height.lo);
    return { lo: width, hi: width };
  }
  const rounded = beadWidth(0, 1);
  return {
    lo: section.lo / height.hi + rounded * Math.max(0, height.lo),
    hi: height.lo > 0 ? section.hi / height.lo + rounded * height.hi : Number.POSITIVE_INFINITY,
  };
}

function message({ width, length, height, fed }: Line, wide: boolean, machine: Machine): string {
  if (!width || !isExact(width) || !length || !height || !fed)
    return `This line may get wider than ${WIDEST} nozzles, or thinner than half of one.`;
  const nozzle = machine.nozzle.diameter;
  const is = `${num(fed.lo)} mm of filament over ${num(length.lo)} mm at Z ${num(height.lo)} make a line ${num(Math.max(0, Math.round(width.lo * 100) / 100))} mm wide`;
  return wide
    ? `${is}: more than ${WIDEST} times the nozzle (${num(nozzle)})${onMachine(machine)}, so it may well up round the tip. Feed less, or make the line longer.`
    : `${is}: less than half the nozzle (${num(nozzle)})${onMachine(machine)}, so it tears and does not stick. Feed more, or make the line shorter.`;
}
