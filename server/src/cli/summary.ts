import type { Extension, ProgramExtent, ProgramReport } from '../program/report.ts';
import { massText } from '../program/totals.ts';
import { isMachineName, isVocabularyName } from '../service/machineSearch.ts';
import { roleOfName } from '../syntax/role.ts';
import type { SummaryRequest } from './arguments.ts';
import { countOf } from './choose.ts';
import { chooseProgram } from './chosenProgram.ts';
import { cannot, type ExitCode, type Io, type Refusal } from './io.ts';
import { programJson } from './json.ts';
import { RULE_LEVELS } from './levels.ts';
import { makeFinder } from './machines.ts';
import { inputText, LONGEST_TEXT, reasonOf, withFile } from './opened.ts';
import { grouped, plain, plural } from './plain.ts';
import { checkStream } from './programText.ts';
import { counting, progressOf, timeText } from './progress.ts';
import { type FileReport, nameOf } from './report.ts';
import type { Summary } from './summaryOf.ts';

/** Prints what a program or a sequence does, in numbers. */
export async function summaryFile(request: SummaryRequest, io: Io): Promise<ExitCode> {
  const { file, machine } = request;
  const pick = machine === null ? null : io.resolve(machine);
  if (pick !== null) {
    const bytes = await io.readFile(pick);
    if ('reason' in bytes) return cannot(io, `machine file ${machine}`, bytes.reason, 'read');
  }
  const isInput = file === '-';
  if (isMachineName(file) || isVocabularyName(file))
    return cannot(io, file, 'it is no program and no sequence; "bookend check" tells what is wrong in it', 'sum up');
  const path = isInput ? (request.name ?? '-') : file;
  const place = io.resolve(isInput && request.name === null ? 'standard input' : path);
  const looked = isInput ? { reason: '' } : await io.look(place);
  const progress = progressOf(io, 'reason' in looked ? null : looked.size, false);
  const counted = counting(io, progress.read);
  const own = request.role ?? roleOfName(io.name(place));
  const tell = async (bytes: AsyncIterable<Uint8Array>, entry: string | null): Promise<FileReport> => {
    const role = entry === null ? own : (request.role ?? 'program');
    const found = await makeFinder(io).find(place, pick);
    const { material } = request;
    return checkStream(bytes, { path, entry, role, withFixes: false, longest: LONGEST_TEXT, material }, found);
  };
  const fromInput = async (): Promise<FileReport | Refusal> => {
    const bytes = await inputText(counted, own);
    return 'reason' in bytes ? bytes : tell(bytes, null);
  };
  const made: FileReport | Refusal = isInput
    ? await fromInput().catch((error: unknown) => ({ reason: reasonOf(error) }))
    : await withFile<FileReport | Refusal>(counted, place, async (open) => {
        const program = await chooseProgram(open, path, request.entry, request.limits, io);
        if ('reason' in program) return program;
        const told = await tell(program.bytes, program.entry);
        const changed = await open.changed();
        return changed === null ? told : { reason: changed };
      });
  progress.clear();
  if ('reason' in made) return cannot(io, file, made.reason, 'read');
  io.write(request.format === 'json' ? summaryJson(made) : summaryText(made));
  return 0;
}

function summaryJson({ path, entry, role, machine, summary, program }: FileReport): string {
  const body = program ? { program: programJson(program) } : { summary };
  return `${JSON.stringify({ version: 2, path, entry, role, machine, ...body }, null, 2)}\n`;
}

type Row = readonly [name: string, value: string | null];

/** Two columns; rows without a value are left out. */
function summaryText(told: FileReport): string {
  const counts = RULE_LEVELS.map((level) => [countOf(told, level), level] as const).filter(([count]) => count > 0);
  const rows: Row[] = [
    ['file', plain(nameOf(told))],
    ['role', told.role],
    ['machine', told.machine === null ? null : plain(told.machine)],
    ...(told.program ? programRows(told.program) : told.summary ? sequenceRows(told.summary) : []),
    ['findings', counts.map(([count, level]) => plural(count, level, `${level}s`)).join(', ') || 'none'],
  ];
  const shown = rows.filter((row): row is readonly [string, string] => row[1] !== null);
  const widest = Math.max(...shown.map(([name]) => name.length));
  const note = told.note ? `note: ${plain(told.note)}\n` : '';
  return `${shown.map(([name, value]) => `${name.padEnd(widest)}  ${value}\n`).join('')}${note}`;
}

function programRows({ lines, bytes, totals, start, end }: ProgramReport): Row[] {
  const { layers, hottest } = totals;
  return [
    ['size', `${plural(bytes, 'byte', 'bytes')}, ${linesText(lines, totals.moves)}`],
    ['longest line', `${grouped(totals.longestLine.length)} bytes, line ${grouped(totals.longestLine.line)}`],
    ['travel within', extentText(totals.extent)],
    ['extrusion within', extentText(totals.extruded)],
    ['moves of unknown place', totals.unplaced > 0 ? grouped(totals.unplaced) : null],
    ['way', wayText(totals.travel, totals.extruding)],
    ['layers', layersText(layers)],
    ['time', totals.seconds === null ? null : `${timeText(totals.seconds)}, without heating and homing`],
    ['filament', filamentText(totals)],
    ['hottest', heatText(hottest)],
    ['tools', totals.tools.map(({ tool, filament }) => `T${tool} ${length(filament)}`).join(', ') || null],
    ['lacking', lackingText(totals.lacking)],
    ['start', partText(start)],
    ['end', partText(end)],
  ];
}

function sequenceRows(summary: Summary): Row[] {
  const { extent, extruded } = summary;
  return [
    ['size', linesText(summary.lines, summary.moves)],
    ['travel within', extentText(extent)],
    ['extrusion within', extruded && extentText(extruded)],
    ['time', known(summary.seconds, (s) => timeText(s))],
    ['filament', known(summary.filament, length)],
    ['hottest nozzle', heated(summary.hottest.nozzle)],
    ['hottest bed', heated(summary.hottest.bed)],
    [
      'rules',
      `${summary.verdict.holds} hold for every job, ${summary.verdict.fails} fail, ${summary.verdict.undecided.length} undecided`,
    ],
  ];
}

/** What differs from job to job is told from its least to its greatest. */
function known(value: Summary['seconds'], say: (n: number) => string): string | null {
  if (value === null) return null;
  if (typeof value === 'number') return say(value);
  const [lo, hi] = value;
  if (lo === null || lo === undefined || hi === null || hi === undefined) return null;
  return `${say(lo)} to ${say(hi)}`;
}

/** What is never set is left out. */
const heated = (target: Summary['seconds']): string | null => (target === 0 ? null : known(target, (t) => `${t} °C`));

const linesText = (lines: number, moves: number): string =>
  `${plural(lines, 'line', 'lines')}, ${plural(moves, 'move', 'moves')}`;

const mm = (n: number): string => String(Math.round(n * 100) / 100 + 0);
const length = (n: number): string => (Math.abs(n) < 1000 ? `${mm(n)} mm` : `${mm(n / 1000)} m`);

function extentText(
  extent: { readonly [axis in keyof ProgramExtent]: Extension | readonly (number | null)[] | null },
): string | null {
  const axes = (['x', 'y', 'z'] as const).flatMap((axis) => {
    const range = extent[axis];
    if (!range) return [];
    const [lo, hi] = range;
    const end = (n: number | null | undefined): string => (n === null || n === undefined ? '?' : mm(n));
    return `${axis.toUpperCase()} ${end(lo)} to ${end(hi)}`;
  });
  return axes.length === 0 ? null : `${axes.join(', ')} mm`;
}

function wayText(travel: number | null, extruding: number | null): string | null {
  if (travel === null && extruding === null) return null;
  const say = (n: number | null): string => (n === null ? 'unknown' : length(n));
  return `${say(extruding)} with filament, ${say(travel)} without`;
}

function layersText({ count, first, top, typical, rising }: ProgramReport['totals']['layers']): string | null {
  if (count === 0 && rising === 0) return null;
  const heights = [
    first === null ? null : `first at ${mm(first)} mm`,
    typical === null ? null : `${mm(typical)} mm apart`,
    top === null ? null : `top at ${mm(top)} mm`,
    rising === 0 ? null : `${grouped(rising)} moves that extrude while rising or falling`,
  ].filter((one) => one !== null);
  return [grouped(count), ...heights].join(', ');
}

function filamentText(totals: ProgramReport['totals']): string | null {
  if (totals.filament === null) return null;
  const mass = massText(totals);
  if (mass === null) return length(totals.filament);
  // Of several materials none was named.
  const more = (totals.mass?.length ?? 0) > 1 ? '; --material names another' : '';
  return `${length(totals.filament)} ${mass}${more}`;
}

function heatText({ nozzle, bed, chamber }: ProgramReport['totals']['hottest']): string | null {
  const set = Object.entries({ nozzle, bed, chamber }).flatMap(([name, t]) => (t ? [`${name} ${mm(t)} °C`] : []));
  return set.join(', ') || null;
}

const lackingText = (lacking: ProgramReport['totals']['lacking']): string | null =>
  lacking
    .map((one) => `${plain(one.feature)} (${grouped(one.count)}, first at line ${grouped(one.line)})`)
    .join(', ') || null;

const partText = (part: ProgramReport['start']): string | null =>
  part && `lines ${grouped(part.from)} to ${grouped(part.to)}: ${plain(part.reason)}`;
