import { countText, sizeText } from '../packages/entry.ts';
import type { Extension, ProgramExtent, ProgramReport } from '../program/report.ts';
import { massText } from '../program/totals.ts';

/** What a program does in all, as rows of a name and a value for people. */
export function totalsTable({ lines, bytes, totals }: ProgramReport): (readonly [name: string, value: string])[] {
  const { layers, hottest, tools, longestLine, lacking } = totals;
  return [
    ['Size', `${countText(lines)} lines, ${sizeText(bytes)}`],
    [
      'Moves',
      `${countText(totals.moves)}${totals.unplaced > 0 ? `, ${countText(totals.unplaced)} of them from or to a place that is not known` : ''}`,
    ],
    ['Nozzle goes', extentText(totals.extent)],
    ['Extrudes within', extentText(totals.extruded)],
    ['Path', `${lengthText(totals.extruding)} extruding, ${lengthText(totals.travel)} travelling`],
    ['Layers', layersText(layers)],
    [
      'Time',
      totals.seconds === null ? 'not known' : `${durationText(totals.seconds)}, without homing and waiting for heat`,
    ],
    ['Filament', [lengthText(totals.filament), massText(totals)].filter((text) => text !== null).join(' ')],
    [
      'Highest set points',
      ['nozzle', 'bed', 'chamber']
        .map((part) => heatText(part, hottest[part as keyof typeof hottest]))
        .filter(Boolean)
        .join(', ') || 'none',
    ],
    ['Tools', tools.map(({ tool, filament }) => `T${tool} ${lengthText(filament)}`).join(', ') || 'none extrudes'],
    ['Longest line', `${countText(longestLine.length)} bytes, line ${longestLine.line}`],
    ...lacking.map(({ feature, line, count }): [string, string] => [
      'Not on the machine',
      `${feature}: ${countText(count)} times, first at line ${line}`,
    ]),
  ];
}

function extentText({ x, y, z }: ProgramExtent): string {
  const rows = [axisText('X', x), axisText('Y', y), axisText('Z', z)].filter((text) => text !== null);
  return rows.length === 0 ? 'nowhere that is known' : `${rows.join(', ')} (mm)`;
}

const axisText = (axis: string, range: Extension | null): string | null =>
  range && `${axis} ${trimmed(range[0], 2)} to ${trimmed(range[1], 2)}`;

function layersText({ count, first, top, typical, rising }: ProgramReport['totals']['layers']): string {
  const heights = [
    first === null ? null : `the first at ${trimmed(first, 3)} mm`,
    top === null ? null : `the top at ${trimmed(top, 3)} mm`,
    typical === null ? null : `mostly ${trimmed(typical, 3)} mm high`,
    rising > 0 ? `${countText(rising)} moves extrude while they rise or fall` : null,
  ].filter((text) => text !== null);
  return [countText(count), ...heights].join(', ');
}

/** 0: never set; null: not known. */
const heatText = (part: string, degrees: number | null): string =>
  degrees === 0 ? '' : `${part} ${degrees === null ? 'not known' : `${trimmed(degrees, 1)} °C`}`;

function lengthText(mm: number | null): string {
  if (mm === null) return 'not known';
  if (Math.abs(mm) < 1000) return `${trimmed(mm, 1)} mm`;
  return Math.abs(mm) < 100_000 ? `${trimmed(mm / 1000, 2)} m` : `${countText(Math.round(mm / 1000))} m`;
}

/** "3 h 12 min", "4 min 10 s", "9 s". */
function durationText(seconds: number): string {
  const whole = Math.round(seconds);
  const minutes = Math.floor(whole / 60);
  if (minutes < 1) return `${whole} s`;
  if (minutes < 60) return `${minutes} min ${whole % 60} s`;
  return `${countText(Math.floor(minutes / 60))} h ${minutes % 60} min`;
}

const trimmed = (value: number, digits: number): string => String(Number(value.toFixed(digits)));
