import { type Random, randomOf } from '../unit/analyze/random.ts';

// A writer of finished programs for tests and benchmarks: our own, seeded, of any size. What it writes is what a person
// walks to a machine: a start, layers of rims, hatching, arcs and spirals, tool changes, an end. One G code a line.

/** Mistakes that can be put in on request. */
export type Mistake =
  | 'off-bed'
  | 'beyond-reach'
  | 'too-hot'
  | 'cold'
  | 'not-homed'
  | 'bad-number'
  | 'unknown-command'
  | 'bad-arc'
  | 'flow'
  | 'keep-out'
  | 'no-end';

/** A machine as far as the writer has to know it; lengths mm. */
export interface Place {
  readonly left: number;
  readonly right: number;
  readonly front: number;
  readonly back: number;
  readonly tools: number;
  readonly filament: number;
}

/** Corner origin, and centre origin with two tools. Both invented. */
export const PLACES = {
  corner: { left: 10, right: 210, front: 10, back: 195, tools: 1, filament: 1.75 },
  centre: { left: -90, right: 90, front: -90, back: 90, tools: 1, filament: 1.75 },
  twin: { left: 20, right: 200, front: 20, back: 190, tools: 2, filament: 1.75 },
} as const satisfies Record<string, Place>;

export interface Wanted {
  readonly seed: number;
  /** The program ends at about this size, never before its first layer. */
  readonly bytes: number;
  readonly place?: Place;
  /** M83; else M82 with G92 E0 at each layer. */
  readonly relativeE?: boolean;
  /** G2 and G3 among the rims. */
  readonly arcs?: boolean;
  /** Rims that rise all the way. */
  readonly spiral?: boolean;
  readonly comments?: boolean;
  readonly mistakes?: readonly Mistake[];
  /** How often a mistake comes, of the moves; default one in 200. */
  readonly rate?: number;
  readonly eol?: string;
  readonly layer?: number;
}

const CHUNK = 1 << 16;

interface Pen {
  readonly random: Random;
  readonly wanted: Wanted;
  readonly place: Place;
  readonly out: string[];
  size: number;
  total: number;
  x: number;
  y: number;
  z: number;
  e: number;
  feed: number;
  tool: number;
}

/** The program in chunks of about 64 kB. The same wishes give the same bytes. */
export function* programText(wanted: Wanted): Generator<string> {
  const place = wanted.place ?? PLACES.corner;
  const pen: Pen = {
    random: randomOf(wanted.seed),
    wanted,
    place,
    out: [],
    size: 0,
    total: 0,
    x: 0,
    y: 0,
    z: 0,
    e: 0,
    feed: 0,
    tool: 0,
  };
  start(pen);
  const height = wanted.layer ?? 0.19;
  // At most 1,000 layers, so that a large program is not taller than the machine.
  const perLayer = Math.max(2000, wanted.bytes / 1000);
  for (let layer = 1; layer === 1 || (pen.total < wanted.bytes && layer <= 1200); layer++) {
    const until = pen.total + perLayer;
    begin(pen, layer, height);
    do {
      part(pen, height);
      if (pen.size > CHUNK) yield taken(pen);
    } while (pen.total < until && pen.total < wanted.bytes);
  }
  end(pen);
  yield taken(pen);
}

/** The whole program as one text. */
export const wholeProgram = (wanted: Wanted): string => [...programText(wanted)].join('');

function taken(pen: Pen): string {
  const text = pen.out.join('');
  pen.out.length = 0;
  pen.size = 0;
  return text;
}

function row(pen: Pen, text: string): void {
  const line = text + (pen.wanted.eol ?? '\n');
  pen.out.push(line);
  pen.size += line.length;
  pen.total += line.length;
}

const has = (pen: Pen, mistake: Mistake): boolean => pen.wanted.mistakes?.includes(mistake) ?? false;
const now = (pen: Pen, mistake: Mistake): boolean => has(pen, mistake) && pen.random.chance(pen.wanted.rate ?? 0.005);

function start(pen: Pen): void {
  const { place } = pen;
  row(pen, '; a program for tests');
  for (const line of ['G21', 'G90', pen.wanted.relativeE ? 'M83' : 'M82']) row(pen, line);
  row(pen, 'M140 S57');
  if (!has(pen, 'not-homed')) row(pen, 'G28');
  row(pen, has(pen, 'too-hot') ? 'M190 S160' : 'M190 S57');
  if (place.tools > 1) row(pen, 'T0');
  if (!has(pen, 'cold'))
    for (let tool = place.tools - 1; tool >= 0; tool--) row(pen, place.tools > 1 ? `M109 T${tool} S208` : 'M109 S208');
  row(pen, 'G92 E0');
  row(pen, 'G1 Z5 F900');
  row(pen, `G1 X${place.left} Y${place.front} F9000`);
  row(pen, 'G1 Z0.32 F900');
  row(pen, `G1 X${place.left + 70} Y${place.front} E7.6 F1260`);
  row(pen, 'G1 Z2 F900');
  row(pen, 'G92 E0');
  pen.x = place.left + 70;
  pen.y = place.front;
  pen.z = 2;
  pen.feed = 900;
}

function begin(pen: Pen, layer: number, height: number): void {
  const { random, wanted } = pen;
  if (wanted.comments ?? true) row(pen, `; storey ${layer}`);
  if (!wanted.relativeE) {
    row(pen, 'G92 E0');
    pen.e = 0;
  }
  if (layer === 2) row(pen, 'M106 S255');
  if (pen.place.tools > 1 && layer > 1 && layer % 3 === 0) {
    pen.tool = 1 - pen.tool;
    row(pen, `T${pen.tool}`);
  }
  pen.z = Math.round(layer * height * 1000) / 1000;
  row(pen, `G1 Z${pen.z} F900`);
  pen.feed = 900;
  if (now(pen, 'unknown-command')) row(pen, random.pick(['M7777 S1', 'G1234', 'FROBNICATE SPEED=3']));
}

const fixed = (n: number, places: number): string => {
  const text = n.toFixed(places);
  return text.startsWith('-') && Number(text) === 0 ? text.slice(1) : text;
};

function feedWord(pen: Pen, feed: number): string {
  if (pen.feed === feed) return '';
  pen.feed = feed;
  return ` F${feed}`;
}

/** The E word for so much filament, mm. */
function eWord(pen: Pen, length: number): string {
  if (pen.wanted.relativeE) return ` E${fixed(length, 5)}`;
  pen.e = Number((pen.e + length).toFixed(5));
  return ` E${fixed(pen.e, 5)}`;
}

function travel(pen: Pen, x: number, y: number): void {
  row(pen, `G1${eWord(pen, -0.8)}${feedWord(pen, 2400)}`);
  if (now(pen, 'beyond-reach')) row(pen, `G0 X${fixed(pen.place.right + 900, 3)} Y${fixed(y, 3)}`);
  row(pen, `G0 X${fixed(x, 3)} Y${fixed(y, 3)}${feedWord(pen, 9000)}`);
  if (now(pen, 'keep-out')) {
    row(pen, 'G0 X110 Y190');
    row(pen, 'G0 X110 Y228');
    row(pen, `G0 X${fixed(x, 3)} Y${fixed(y, 3)}`);
  }
  row(pen, `G1${eWord(pen, 0.8)}${feedWord(pen, 2400)}`);
  pen.x = Number(fixed(x, 3));
  pen.y = Number(fixed(y, 3));
}

function line(pen: Pen, x: number, y: number, height: number, feed: number, rise = 0): void {
  const length = Math.hypot(x - pen.x, y - pen.y);
  const area = (Math.PI * pen.place.filament * pen.place.filament) / 4;
  const thick = now(pen, 'flow') ? 12 : 1;
  pen.z += rise;
  const z = rise > 0 ? ` Z${fixed(pen.z, 3)}` : '';
  const far = now(pen, 'off-bed') ? 400 : 0;
  const bad = now(pen, 'bad-number') ? `X${fixed(x, 1).replace('.', ',')}` : `X${fixed(x + far, 3)}`;
  row(
    pen,
    `G1 ${bad} Y${fixed(y, 3)}${z}${eWord(pen, ((0.47 * height * length) / area) * thick)}${feedWord(pen, feed)}`,
  );
  pen.x = Number(fixed(x + far, 3));
  pen.y = Number(fixed(y, 3));
}

/** One piece of a layer: a rim, a stretch of hatching, a ring of arcs. */
function part(pen: Pen, height: number): void {
  const { random, place, wanted } = pen;
  const radius = random.decimal(6, 25, 2);
  const cx = random.decimal(place.left + radius + 3, place.right - radius - 3, 2);
  const cy = random.decimal(place.front + radius + 3, place.back - radius - 3, 2);
  const kind = random.next();
  if (wanted.arcs && kind < 0.4) {
    arcRing(pen, cx, cy, radius, height);
  } else if (kind < 0.7) {
    const corners = random.pick([24, 48, 96]);
    travel(pen, cx + radius, cy);
    if (wanted.comments ?? true) row(pen, '; rim');
    for (let i = 1; i <= corners; i++) {
      const angle = (2 * Math.PI * i) / corners;
      const rise = wanted.spiral ? 0.19 / corners : 0;
      line(pen, cx + radius * Math.cos(angle), cy + radius * Math.sin(angle), height, 3000, rise);
    }
  } else {
    travel(pen, cx - radius, cy - radius);
    if (wanted.comments ?? true) row(pen, '; hatch');
    for (let i = 0; i < 40; i++) {
      const y = cy - radius + (2 * radius * Math.floor(i / 2)) / 20;
      line(pen, cx + (((i + 1) >> 1) % 2 === 0 ? -radius : radius), y, height, 4800);
    }
  }
}

function arcRing(pen: Pen, cx: number, cy: number, radius: number, height: number): void {
  const { random } = pen;
  travel(pen, cx + radius, cy);
  const area = (Math.PI * pen.place.filament * pen.place.filament) / 4;
  for (let ring = 0; ring < 4; ring++) {
    const code = random.pick(['G2', 'G3']);
    const i = cx - pen.x;
    const length = Math.PI * radius;
    const x = pen.x + 2 * i;
    const off = now(pen, 'bad-arc') ? 0.5 : 0;
    row(
      pen,
      `${code} X${fixed(x, 3)} Y${fixed(pen.y, 3)} I${fixed(i + off, 3)} J0${eWord(pen, (0.47 * height * length) / area)}${feedWord(pen, 3000)}`,
    );
    pen.x = Number(fixed(x, 3));
  }
}

function end(pen: Pen): void {
  row(pen, `G1${eWord(pen, -1)}${feedWord(pen, 2400)}`);
  row(pen, `G1 Z${fixed(pen.z + 5, 3)} F900`);
  if (has(pen, 'no-end')) return;
  for (const text of ['M104 S0', 'M140 S0', 'M107', `G0 X${pen.place.left} Y${pen.place.back} F6000`, 'M84'])
    row(pen, text);
}
