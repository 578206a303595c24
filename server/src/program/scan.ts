import { arcPath, arcTolerance } from './arcPath.ts';
import { CONTINUES, LIFT } from './body.ts';
import type { FastState } from './fastState.ts';
import type { Limits } from './limits.ts';
import { commentEnd } from './marks.ts';
import { longNumber, POWERS } from './numbers.ts';
import { countHeight, type Sums } from './sums.ts';

const [X, Y, Z, E, F, I, J] = [1, 2, 4, 8, 16, 32, 64] as const;
const CODES = ['G0', 'G1', 'G2', 'G3'] as const;
const BITS = new Uint8Array(256);
for (const [letter, bit] of Object.entries({ X, Y, Z, E, F, I, J })) BITS[letter.charCodeAt(0)] = bit;
const [LF, CR, BLANK, SEMICOLON] = [10, 13, 32, 59] as const;

/**
 * The fast path: plain lines (G0 and G1 with X Y Z E F, G2 and G3 with a centre, comments behind `;`, blank lines) with all state in numbers.
 * It stops in front of the first line that is anything else, or that may break a rule, and returns where that begins;
 * nothing of that line has been counted. Long, since every call and every object would cost more than the work itself.
 * @param buf Whole lines from `from` to `end`, the last one with its end.
 * @param base Bytes of the program in front of `buf`.
 */
export function scanMoves(
  fast: FastState,
  sums: Sums,
  limits: Limits,
  marks: Uint8Array,
  mostChars: number,
  buf: Uint8Array,
  from: number,
  end: number,
  base: number,
): number {
  const { arcs, unit, relative, relativeE, extrudes, speedFactor, ox, oy, oz } = fast;
  const { box, extruded, layers } = sums;
  let {
    x,
    y,
    z,
    e,
    feed,
    retracted,
    line,
    longest,
    longestLine,
    pushLine,
    pushStart,
    group,
    groupLine,
    groupStart,
    groupZ,
  } = fast;
  let { moves, travel, extruding, seconds, rising } = sums;
  let filament = 0;
  let speed = (feed / 60) * speedFactor;
  let inverse = 1 / speed;
  let ramp = speed / limits.acceleration;
  let square = speed * speed;
  let motion = -1;
  const [left, right, front, back, bottom, top] = shifted(limits.reach, ox, oy, oz);
  const [bedLeft, bedRight, bedFront, bedBack] = shifted(limits.bed, ox, oy, 0);
  const [outLeft, outRight, outFront, outBack, , outTop] = shifted(limits.keepOut, ox, oy, oz);
  const hasKeepOut = outRight > outLeft;
  const { x: topX, y: topY, z: topZ, e: topE } = limits.speed;
  const slowest = Math.min(topX, topY);
  const sluggish = 1 / limits.acceleration;
  const flowTop = limits.fastest / fast.flowFactor;
  let layerZ = layers.last - oz;
  // Where the nozzle has been within its reach, and has extruded on the bed: no wider than what is allowed.
  let x0 = Math.max((box[0] as number) - ox, left);
  let x1 = Math.min((box[1] as number) - ox, right);
  let y0 = Math.max((box[2] as number) - oy, front);
  let y1 = Math.min((box[3] as number) - oy, back);
  let z0 = Math.max((box[4] as number) - oz, bottom);
  let z1 = Math.min((box[5] as number) - oz, top);
  let ex0 = Math.max((extruded[0] as number) - ox, x0, bedLeft);
  let ex1 = Math.min((extruded[1] as number) - ox, x1, bedRight);
  let ey0 = Math.max((extruded[2] as number) - oy, y0, bedFront);
  let ey1 = Math.min((extruded[3] as number) - oy, y1, bedBack);
  let ez0 = Math.max((extruded[4] as number) - oz, z0);
  let ez1 = Math.min((extruded[5] as number) - oz, z1);
  const hull = new Float64Array(4);
  const tolerance = arcTolerance(fast.modes.inches === true);
  let wentBefore = false;
  let pushedBefore = false;
  let laid = false;
  const firstLine = line;
  let p = from;
  lines: while (p < end) {
    const start = p;
    let c = buf[p] as number;
    if (c === 71) {
      const g = (buf[p + 1] as number) - 48;
      if (g >>> 0 > (arcs ? 3 : 1)) break;
      p += 2;
      c = buf[p] as number;
      let mask = 0;
      let wx = 0;
      let wy = 0;
      let wz = 0;
      let we = 0;
      let wf = 0;
      let wi = 0;
      let wj = 0;
      while (c === BLANK) {
        c = buf[++p] as number;
        const bit = BITS[c] as number;
        if (bit === 0) {
          if (c === BLANK) continue;
          break;
        }
        if ((mask & bit) !== 0) {
          p = start;
          break lines;
        }
        mask |= bit;
        let d = (buf[++p] as number) - 48;
        const negative = d === -3;
        if (negative) d = (buf[++p] as number) - 48;
        const first = p;
        let digits = 0;
        while (d >>> 0 <= 9) {
          digits = (Math.imul(digits, 10) + d) | 0;
          d = (buf[++p] as number) - 48;
        }
        let value = digits;
        let length = p - first;
        if (d === -2) {
          d = (buf[++p] as number) - 48;
          while (d >>> 0 <= 9) {
            digits = (Math.imul(digits, 10) + d) | 0;
            d = (buf[++p] as number) - 48;
          }
          const places = p - first - length - 1;
          length += places;
          value = length <= 9 ? digits / (POWERS[places] as number) : longNumber(buf, first, p, places);
        } else if (length > 9) value = Number.NaN;
        c = d + 48;
        // No digit, or more of them than a number holds exactly.
        if (length === 0 || Number.isNaN(value)) {
          p = start;
          break lines;
        }
        if (negative) value = 0 - value;
        if (bit === X) wx = value;
        else if (bit === Y) wy = value;
        else if (bit === E) we = value;
        else if (bit === F) wf = value;
        else if (bit === Z) wz = value;
        else if (bit === I) wi = value;
        else wj = value;
      }
      if (c === SEMICOLON) {
        p = commentEnd(marks, buf, p);
        if (p < 0) {
          p = start;
          break;
        }
        c = buf[p] as number;
      }
      if ((c !== LF && c !== CR) || mask === 0 || p - start > mostChars) {
        p = start;
        break;
      }
      let nextFeed = feed;
      let nextSpeed = speed;
      if ((mask & F) !== 0) {
        nextFeed = wf * unit;
        nextSpeed = (nextFeed / 60) * speedFactor;
        // What is this slow sideways may have been meant in mm a second.
        if (!(wf > 0) || (nextFeed <= 250 && (mask & (X | Y | I | J)) !== 0)) {
          p = start;
          break;
        }
      }
      // An arc has a centre, and nothing else has.
      const curved = g > 1;
      if (curved !== (mask & (I | J)) > 0) {
        p = start;
        break;
      }
      if ((mask & (X | Y | Z | E | I | J)) !== 0) {
        let nx = x;
        let ny = y;
        let nz = z;
        let ne = e;
        let dx = 0;
        let dy = 0;
        let dz = 0;
        let de = 0;
        if ((mask & X) !== 0) {
          const w = wx * unit;
          nx = relative ? x + w : w;
          dx = relative ? w : w - x;
        }
        if ((mask & Y) !== 0) {
          const w = wy * unit;
          ny = relative ? y + w : w;
          dy = relative ? w : w - y;
        }
        if ((mask & Z) !== 0) {
          const w = wz * unit;
          nz = relative ? z + w : w;
          dz = relative ? w : w - z;
        }
        if ((mask & E) !== 0) {
          const w = we * unit;
          ne = relativeE ? e + w : w;
          de = relativeE ? w : w - e;
        }
        let pushed = 0;
        let back0 = retracted;
        if (de !== 0) {
          const rest = retracted - de;
          if (rest < 0) {
            pushed = -rest;
            back0 = 0;
          } else back0 = rest;
          // A long retraction, and filament that moves cold.
          if (!extrudes || (back0 > 10 && de < 0)) {
            p = start;
            break;
          }
        }
        let planar = 0;
        if (curved) {
          planar = arcPath(hull, x, y, nx, ny, wi * unit, wj * unit, g === 2, tolerance);
          if (planar < 0) {
            p = start;
            break;
          }
        }
        if (hasKeepOut && (z < outTop || nz < outTop)) {
          const west = curved ? (hull[0] as number) : Math.min(x, nx);
          const east = curved ? (hull[1] as number) : Math.max(x, nx);
          const south = curved ? (hull[2] as number) : Math.min(y, ny);
          const north = curved ? (hull[3] as number) : Math.max(y, ny);
          if (east >= outLeft && west <= outRight && north >= outFront && south <= outBack) {
            p = start;
            break;
          }
        }
        const goes = curved || dx !== 0 || dy !== 0 || dz !== 0;
        const length = curved
          ? Math.sqrt(planar * planar + dz * dz)
          : goes
            ? Math.sqrt(dx * dx + dy * dy + dz * dz)
            : 0;
        const path = goes ? length : Math.abs(de);
        // Seconds at the speed asked for, unless an axis has to slow the move down.
        let s = nextSpeed;
        if (s > slowest) {
          if (Math.abs(dx) * s > topX * path) s = (topX * path) / Math.abs(dx);
          if (Math.abs(dy) * s > topY * path) s = (topY * path) / Math.abs(dy);
        }
        if (dz !== 0 && Math.abs(dz) * s > topZ * path) s = (topZ * path) / Math.abs(dz);
        if (de !== 0 && Math.abs(de) * s > topE * path) s = (topE * path) / Math.abs(de);
        if (pushed > 0) {
          if (pushed * s > flowTop * path || (!goes && pushed > 10)) {
            p = start;
            break;
          }
          // Within what has been extruded over before there is nothing to look at, and nothing to widen.
          if (curved || !pushedBefore || nx < ex0 || nx > ex1 || ny < ey0 || ny > ey1 || nz < ez0 || nz > ez1) {
            const west = curved ? (hull[0] as number) : Math.min(x, nx);
            const east = curved ? (hull[1] as number) : Math.max(x, nx);
            const south = curved ? (hull[2] as number) : Math.min(y, ny);
            const north = curved ? (hull[3] as number) : Math.max(y, ny);
            const low = Math.min(z, nz);
            const high = Math.max(z, nz);
            const onBed = west >= bedLeft && east <= bedRight && south >= bedFront && north <= bedBack;
            const flat = west >= left && east <= right && south >= front && north <= back;
            const stands = goes || (x >= x0 && x <= x1 && y >= y0 && y <= y1 && z >= z0 && z <= z1);
            if (!onBed || !flat || low < bottom || high > top || !stands) {
              p = start;
              break;
            }
            ex0 = Math.min(ex0, west);
            ex1 = Math.max(ex1, east);
            ey0 = Math.min(ey0, south);
            ey1 = Math.max(ey1, north);
            ez0 = Math.min(ez0, low);
            ez1 = Math.max(ez1, high);
            if (goes) {
              x0 = Math.min(x0, west);
              x1 = Math.max(x1, east);
              y0 = Math.min(y0, south);
              y1 = Math.max(y1, north);
              z0 = Math.min(z0, low);
              z1 = Math.max(z1, high);
              wentBefore = true;
            }
          }
          pushedBefore = true;
          extruding += length;
          if (curved || dx !== 0 || dy !== 0) {
            if (dz !== 0) rising++;
            else if (nz !== layerZ) {
              countHeight(layers, nz + oz);
              layerZ = nz;
            }
            laid = true;
            pushLine = line;
            pushStart = start + base;
            if (group === 0) {
              groupLine = line;
              groupStart = start + base;
              groupZ = nz + oz;
            }
            group++;
          } else if (laid) {
            laid = false;
            savePush(fast, x, y, z, e, feed);
          }
        } else {
          if (laid) {
            laid = false;
            savePush(fast, x, y, z, e, feed);
          }
          if (goes && (curved || !wentBefore || nx < x0 || nx > x1 || ny < y0 || ny > y1 || nz < z0 || nz > z1)) {
            const west = curved ? (hull[0] as number) : Math.min(x, nx);
            const east = curved ? (hull[1] as number) : Math.max(x, nx);
            const south = curved ? (hull[2] as number) : Math.min(y, ny);
            const north = curved ? (hull[3] as number) : Math.max(y, ny);
            const low = Math.min(z, nz);
            const high = Math.max(z, nz);
            const flat = west >= left && east <= right && south >= front && north <= back;
            if (!flat || low < bottom || high > top) {
              p = start;
              break;
            }
            wentBefore = true;
            x0 = Math.min(x0, west);
            x1 = Math.max(x1, east);
            y0 = Math.min(y0, south);
            y1 = Math.max(y1, north);
            z0 = Math.min(z0, low);
            z1 = Math.max(z1, high);
          }
          pushedBefore = false;
          travel += length;
          if (dz >= LIFT && group < CONTINUES) group = 0;
        }
        if (s === speed) seconds += path < square * sluggish ? 2 * Math.sqrt(path * sluggish) : path * inverse + ramp;
        else if (path > 0)
          seconds += path < s * s * sluggish ? 2 * Math.sqrt(path * sluggish) : path / s + s * sluggish;
        moves++;
        filament += de;
        x = nx;
        y = ny;
        z = nz;
        e = ne;
        retracted = back0;
      }
      if (nextSpeed !== speed) {
        feed = nextFeed;
        speed = nextSpeed;
        inverse = 1 / speed;
        ramp = speed * sluggish;
        square = speed * speed;
      }
      motion = g;
    } else if (c === SEMICOLON) {
      p = commentEnd(marks, buf, p);
      if (p < 0 || p - start > mostChars) {
        p = start;
        break;
      }
      c = buf[p] as number;
    } else if (c !== LF && c !== CR) break;
    if (p - start > longest) {
      longest = p - start;
      longestLine = line;
    }
    p++;
    if (c === CR && buf[p] === LF) p++;
    line++;
  }
  if (laid) savePush(fast, x, y, z, e, feed);
  fast.x = x;
  fast.y = y;
  fast.z = z;
  fast.e = e;
  fast.feed = feed;
  fast.retracted = retracted;
  fast.fastLines += line - firstLine;
  fast.line = line;
  fast.longest = longest;
  fast.longestLine = longestLine;
  fast.filament += filament;
  fast.pushLine = pushLine;
  fast.pushStart = pushStart;
  fast.group = group;
  fast.groupLine = groupLine;
  fast.groupStart = groupStart;
  fast.groupZ = groupZ;
  if (motion >= 0) fast.motion = CODES[motion] as string;
  sums.moves = moves;
  sums.travel = travel;
  sums.extruding = extruding;
  sums.filament += filament;
  sums.seconds = seconds;
  sums.rising = rising;
  widen(box, [x0 + ox, x1 + ox, y0 + oy, y1 + oy, z0 + oz, z1 + oz]);
  widen(extruded, [ex0 + ox, ex1 + ox, ey0 + oy, ey1 + oy, ez0 + oz, ez1 + oz]);
  return p;
}

/** Takes in a box that may be empty on an axis. */
function widen(box: Float64Array, by: readonly number[]): void {
  for (let i = 0; i < 6; i += 2) {
    if ((by[i] as number) > (by[i + 1] as number)) continue;
    box[i] = Math.min(box[i] as number, by[i] as number);
    box[i + 1] = Math.max(box[i + 1] as number, by[i + 1] as number);
  }
}

function savePush(fast: FastState, x: number, y: number, z: number, e: number, feed: number): void {
  fast.px = x;
  fast.py = y;
  fast.pz = z;
  fast.pe = e;
  fast.pf = feed;
  fast.pushModes = fast.modes;
}

/** Limits in program coordinates. */
const shifted = (
  box: Limits['reach'],
  x: number,
  y: number,
  z: number,
): [number, number, number, number, number, number] => [
  box[0] - x,
  box[1] - x,
  box[2] - y,
  box[3] - y,
  box[4] - z,
  box[5] - z,
];
