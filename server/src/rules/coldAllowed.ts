import { isAbove, isBelow, type Jobs } from './jobs.ts';
import type { Rule, View } from './rule.ts';
import { num } from './say.ts';
import { aboutCommands, numberOf, type SettingTold } from './settings.ts';
import { wordsOf } from './words.ts';

/** Without a machine: colder than any usual filament flows. Common practice, no source. */
const COLDEST = 150;

/** From which heat on filament may move, degrees C. */
export const coldest = ({ machine }: View): number => machine?.heat.nozzle.minExtrude ?? COLDEST;

/** The guard against extruding cold taken away or set too low. */
export const coldAllowed: Rule = {
  id: 'cold-allowed',
  severity: 'warning',
  title: 'Cold extrusion allowed',
  why: 'Controllers refuse to move filament while the nozzle is cold, since the drive wheel then grinds the filament or the motor skips. M302 S0 takes that guard away, and on many controllers for the jobs that follow too: a heater that fails is then noticed only by the damage. Heat the nozzle instead (M109); if cold moves are really needed, set the limit again behind them. The machine’s manual says what its controller guards.',
  bad: { role: 'start', text: 'G21\nG90\nM83\nG28\nM302 S0\nM109 S210\n' },
  good: { role: 'start', text: 'G21\nG90\nM83\nG28\nM109 S210\n' },
  ...aboutCommands(
    {
      M302(step, view): SettingTold | null {
        const [s, p, min] = [numberOf(step, 'S'), numberOf(step, 'P'), coldest(view)];
        if (s === undefined && p === undefined) {
          if (wordsOf(step).length > 0) return null;
          return {
            happens: 'all',
            severity: 'info',
            message:
              'M302 alone only reports on some controllers and allows cold extrusion on others. Leave it out, or write S with the lowest temperature.',
          };
        }
        const happens: Jobs = s !== undefined ? isBelow(s, min) : isAbove(p ?? null, 0.5);
        const off = s === undefined || !s || s.hi <= 0;
        return {
          happens,
          message: off
            ? 'From here on the controller lets filament move through a cold nozzle, which grinds it or jams. Heat the nozzle instead (M109), or set the limit again behind the cold moves.'
            : `From here on filament may move at ${num(s.lo)} °C, and it needs at least ${num(min)} °C. Leave the limit where it is, or set ${num(min)} or more.`,
        };
      },
    },
    (view) => `M302 S${num(coldest(view))}`,
  ),
};
