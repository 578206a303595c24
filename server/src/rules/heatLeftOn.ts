import type { HeaterKind } from '../machine/effect.ts';
import type { Bounds } from '../placeholders/bounds.ts';
import { notFollowed } from './blind.ts';
import { hasAll, isPlain, rowsWhereItEnds } from './lines.ts';
import type { Rule, View } from './rule.ts';
import { range } from './say.ts';

const OFF: Record<HeaterKind, string> = { nozzle: 'M104 S0', bed: 'M140 S0', chamber: 'M141 S0' };

/** A heater that an end sequence leaves on. */
export const heatLeftOn: Rule = {
  id: 'heat-left-on',
  severity: 'error',
  title: 'A heater left on at the end',
  scope: 'whole',
  awaitsRest: true,
  check(view, report) {
    if (view.role !== 'end') return;
    const { end } = view.trace;
    const last = view.commands[view.commands.length - 1];
    const span = last?.node.span ?? { start: 0, end: 0 };
    const tell = (kind: HeaterKind, name: string, target: Bounds, off = OFF[kind]): void =>
      report({
        span,
        about: name,
        certain: target.lo > 0,
        names: [kind === 'chamber' ? 'heat.chamber' : `heat.${kind}.later`],
        message: `The end sequence leaves the ${name} on (${range(target)} °C). Switch it off: ${off}. A hot part left alone is a burn and fire risk.`,
      });
    const several = end.nozzles.length > 1;
    if (several && end.tool === null && end.nozzles.every(({ target }) => target && target.lo <= 0 && target.hi > 0)) {
      report({
        span,
        about: 'other tools',
        severity: 'warning',
        certain: isPlainlyOff(view),
        message: `The end sequence switches off the nozzle of the tool in use only; if the job has heated another one, that stays on. Name each: ${end.nozzles.map((_, i) => `M104 S0 T${i}`).join(', ')}.`,
      });
    } else {
      end.nozzles.forEach((heater, i) => {
        if (heater.target && heater.target.hi > 0)
          tell(
            'nozzle',
            several ? `nozzle of tool ${i}` : 'nozzle',
            heater.target,
            several ? `M104 S0 T${i}` : OFF.nozzle,
          );
      });
    }
    if (end.bed.target && end.bed.target.hi > 0) tell('bed', 'bed', end.bed.target);
    if (view.machine?.heat.chamber && end.chamber.target && end.chamber.target.hi > 0)
      tell('chamber', 'chamber heater', end.chamber.target);
  },
  blind({ role, trace, ...view }) {
    if (role !== 'end') return null;
    const { nozzles, bed } = trace.end;
    const unknown = bed.target === null || nozzles.some((n) => n.target === null);
    return unknown ? 'what a heater is set to at the end is not known' : notFollowed({ role, trace, ...view });
  },
  fix(view, { about = '' }) {
    const tool = /\d+$/.exec(about)?.[0];
    const rows =
      about === 'other tools'
        ? view.trace.end.nozzles.map((_, i) => `M104 S0 T${i}`)
        : [
            about === 'bed'
              ? OFF.bed
              : about === 'chamber heater'
                ? OFF.chamber
                : OFF.nozzle + (tool ? ` T${tool}` : ''),
          ];
    const edit = hasAll(view, [rows[0]?.slice(0, 4) ?? '']) ? rowsWhereItEnds(view, rows) : null;
    return edit ? [{ title: `Add ${rows.join(', ')}`, edits: [edit], safe: isPlain(view), preferred: true }] : [];
  },
};

/** Whether all that is said to nozzles is the same in every job, so that which of them is off does not depend on it. */
const isPlainlyOff = ({ trace }: View): boolean =>
  trace.start.nozzles.every(({ target }) => target && target.lo > 0) &&
  trace.settings.every(({ command: { record, words }, certain }) =>
    (record?.effects ?? []).every((e) =>
      e.do === 'heat' && e.heater === 'nozzle'
        ? certain && words.every(({ value, section }) => value?.type === 'number' && !section)
        : e.do !== 'select-tool',
    ),
  );
