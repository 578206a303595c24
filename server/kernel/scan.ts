import { CONTINUES, Flag, LIFT, Slot } from '../src/program/slots';
import { FEED, LENGTH, PUSHED, PUSHED_STANDING, RETRACTED } from './numbers';

// The fast path over a finished program, compiled to WebAssembly by AssemblyScript: see `server/src/program/scan.ts`, which
// tells what it does. A language of its own with TypeScript's grammar: i32 and f64 are machine numbers, memory is bytes.

/** Where the line ends whose comment begins at `from`; -1: it may mean something. */
declare function commentEnd(from: i32): i32;
/** The length of an arc; its extent is left in the slots of the hull; -1: there is no such arc. */
declare function arcPath(x: f64, y: f64, nx: f64, ny: f64, i: f64, j: f64, clockwise: i32): f64;
/** A level line at another height than the one before. */
declare function countHeight(z: f64): void;

/** Where the numbers of `slots.ts` begin, bytes. */
export const SLOTS: usize = memory.data(1024, 8);
const TENS: usize = memory.data<f64>([
  1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
]);

const X = 1;
const Y = 2;
const Z = 4;
const E = 8;
const F = 16;
const I = 32;
const J = 64;

const LF = 10;
const CR = 13;
const BLANK = 32;
const MINUS = 45;
const POINT = 46;
const SEMICOLON = 59;
const CAPITAL_G = 71;

/** So many digits a double holds, whatever they are. */
const DIGITS = 15;

const ZEROS: u64 = 0x3030303030303030;
const TOO_HIGH: u64 = 0x7676767676767676;
const TOP_BITS: u64 = 0x8080808080808080;

function bitOf(letter: i32): i32 {
  if (letter === 88) return X;
  if (letter === 89) return Y;
  if (letter === 69) return E;
  if (letter === 70) return F;
  if (letter === 90) return Z;
  if (letter === 73) return I;
  return letter === 74 ? J : 0;
}

function get(slot: i32): f64 {
  return load<f64>(SLOTS + (usize(slot) << 3));
}

function set(slot: i32, value: f64): void {
  store<f64>(SLOTS + (usize(slot) << 3), value);
}

function ten(places: i32): f64 {
  return load<f64>(TENS + (usize(places) << 3));
}

/** The number of eight digits, the first in the lowest byte, each 0 to 9. */
function eight(digits: u64): f64 {
  let d = (digits * 10 + (digits >> 8)) & 0x00ff00ff00ff00ff;
  d = (d * 100 + (d >> 16)) & 0x0000ffff0000ffff;
  return f64((d * 10000 + (d >> 32)) & 0xffffffff);
}

/** Behind the number that was read last; 0: none that a double holds exactly. */
let numberEnd: i32 = 0;

/** Bits of so many bytes. */
function bits(bytes: i32): u64 {
  return u64(bytes << 3);
}

/** The number at `p`: eight bytes at once tell where its digits end, what stands behind them, and their value. */
function readNumber(p: i32): f64 {
  const digits = load<u64>(p) ^ ZEROS;
  let others = ((digits + TOO_HIGH) | digits) & TOP_BITS;
  const whole = i32(ctz(others)) >> 3;
  if (others === 0) return readLong(p);
  if ((u32(digits >> bits(whole)) & 255) !== (POINT ^ 48)) {
    numberEnd = whole > 0 ? p + whole : 0;
    return eight(digits << bits(8 - whole));
  }
  others &= others - 1;
  const end = i32(ctz(others)) >> 3;
  if (others === 0 || end < 2) return readLong(p);
  numberEnd = p + end;
  const low = (u64(1) << bits(whole)) - 1;
  const joined = (digits & low) | ((digits >> 8) & ~low);
  return eight(joined << bits(9 - end)) / ten(end - whole - 1);
}

/** A number of any length, digit by digit. */
function readLong(from: i32): f64 {
  let p = from;
  let digits: i64 = 0;
  let count = 0;
  let places = 0;
  let c = i32(load<u8>(p));
  while (c >= 48 && c <= 57 && count <= DIGITS) {
    digits = digits * 10 + (c - 48);
    count++;
    c = i32(load<u8>(++p));
  }
  if (c === POINT) {
    c = i32(load<u8>(++p));
    while (c >= 48 && c <= 57 && count <= DIGITS) {
      digits = digits * 10 + (c - 48);
      count++;
      places++;
      c = i32(load<u8>(++p));
    }
  }
  numberEnd = count > 0 && count <= DIGITS ? p : 0;
  return f64(digits) / ten(places);
}

function savePush(x: f64, y: f64, z: f64, e: f64, feed: f64): void {
  set(Slot.px, x);
  set(Slot.py, y);
  set(Slot.pz, z);
  set(Slot.pe, e);
  set(Slot.pf, feed);
}

/** Takes in an extent that may be empty. */
function widen(slot: i32, low: f64, high: f64): void {
  if (low > high) return;
  set(slot, min(get(slot), low));
  set(slot + 1, max(get(slot + 1), high));
}

/**
 * Runs plain lines from `from` to `end`, both addresses, the last one with its end; returns where the first line begins
 * that is not plain. `base`: bytes of the program in front of address 0.
 *
 * One long function, since all state is in its local variables, which the compiler keeps in registers: cut into several it
 * would go through memory at each line, and this loop is run for each of millions.
 */
export function scan(from: i32, end: i32, base: f64, flags: i32, mostChars: i32): i32 {
  const relative = (flags & Flag.relative) !== 0;
  const relativeE = (flags & Flag.relativeE) !== 0;
  const extrudes = (flags & Flag.extrudes) !== 0;
  const highestG = (flags & Flag.arcs) !== 0 ? 3 : 1;
  const unit = get(Slot.unit);
  const ox = get(Slot.ox);
  const oy = get(Slot.oy);
  const oz = get(Slot.oz);
  let x = get(Slot.x);
  let y = get(Slot.y);
  let z = get(Slot.z);
  let e = get(Slot.e);
  let feed = get(Slot.feed);
  let retracted = get(Slot.retracted);
  let longest = i32(get(Slot.longest));
  let longestLine = -1;
  let pushLine = -1;
  let pushStart = 0;
  let group = i32(get(Slot.group));
  let groupLine = -1;
  let groupStart = 0;
  let groupZ: f64 = 0;
  let travel = get(Slot.travel);
  let extruding = get(Slot.extruding);
  let seconds = get(Slot.seconds);
  let filament: f64 = 0;
  let moves = 0;
  let rising = 0;

  const speedFactor = get(Slot.speedFactor);
  const acceleration = get(Slot.acceleration);
  const sluggish = 1 / acceleration;
  let speed = (feed / 60) * speedFactor;
  let inverse = 1 / speed;
  let ramp = speed * sluggish;
  let square = speed * speed * sluggish;
  let motion = -1;

  // Limits in program coordinates.
  const left = get(Slot.left) - ox;
  const right = get(Slot.right) - ox;
  const front = get(Slot.front) - oy;
  const back = get(Slot.back) - oy;
  const bottom = get(Slot.bottom) - oz;
  const top = get(Slot.top) - oz;
  const bedLeft = get(Slot.bedLeft) - ox;
  const bedRight = get(Slot.bedRight) - ox;
  const bedFront = get(Slot.bedFront) - oy;
  const bedBack = get(Slot.bedBack) - oy;
  const outLeft = get(Slot.outLeft) - ox;
  const outRight = get(Slot.outRight) - ox;
  const outFront = get(Slot.outFront) - oy;
  const outBack = get(Slot.outBack) - oy;
  const outTop = outRight > outLeft ? get(Slot.outTop) - oz : -Infinity;
  const topX = get(Slot.topX);
  const topY = get(Slot.topY);
  const topZ = get(Slot.topZ);
  const topE = get(Slot.topE);
  const slowest = min(topX, topY);
  const flowTop = get(Slot.fastest) / get(Slot.flowFactor);
  let layerZ = get(Slot.lastHeight) - oz;

  // Where the nozzle has been within its reach, and has extruded on the bed: no wider than what is allowed.
  let x0 = max(get(Slot.boxX0) - ox, left);
  let x1 = min(get(Slot.boxX1) - ox, right);
  let y0 = max(get(Slot.boxY0) - oy, front);
  let y1 = min(get(Slot.boxY1) - oy, back);
  let z0 = max(get(Slot.boxZ0) - oz, bottom);
  let z1 = min(get(Slot.boxZ1) - oz, top);
  let ex0 = max(max(get(Slot.extrudedX0) - ox, x0), bedLeft);
  let ex1 = min(min(get(Slot.extrudedX1) - ox, x1), bedRight);
  let ey0 = max(max(get(Slot.extrudedY0) - oy, y0), bedFront);
  let ey1 = min(min(get(Slot.extrudedY1) - oy, y1), bedBack);
  let ez0 = max(get(Slot.extrudedZ0) - oz, z0);
  let ez1 = min(get(Slot.extrudedZ1) - oz, z1);

  let wentBefore = false;
  let pushedBefore = false;
  let laid = false;
  let line = 0;
  let p = from;
  while (p < end) {
    const start = p;
    let c = i32(load<u8>(p));
    if (c === CAPITAL_G) {
      const g = i32(load<u8>(p, 1)) - 48;
      if (u32(g) > u32(highestG)) break;
      p += 2;
      c = i32(load<u8>(p));
      let mask = 0;
      let wx: f64 = 0;
      let wy: f64 = 0;
      let wz: f64 = 0;
      let we: f64 = 0;
      let wf: f64 = 0;
      let wi: f64 = 0;
      let wj: f64 = 0;
      let plain = true;
      while (c === BLANK) {
        c = i32(load<u8>(++p));
        const bit = bitOf(c);
        if (bit === 0) {
          if (c === BLANK) continue;
          break;
        }
        if ((mask & bit) !== 0) {
          plain = false;
          break;
        }
        mask |= bit;
        p++;
        const negative = i32(load<u8>(p)) === MINUS;
        if (negative) p++;
        let value = readNumber(p);
        if (numberEnd === 0) {
          plain = false;
          break;
        }
        p = numberEnd;
        c = i32(load<u8>(p));
        if (negative) value = 0 - value;
        if (bit === X) wx = value;
        else if (bit === Y) wy = value;
        else if (bit === E) we = value;
        else if (bit === F) wf = value;
        else if (bit === Z) wz = value;
        else if (bit === I) wi = value;
        else wj = value;
      }
      if (plain && c === SEMICOLON) {
        p = commentEnd(p);
        if (p < 0) plain = false;
        else c = i32(load<u8>(p));
      }
      if (!plain || (c !== LF && c !== CR) || mask === 0 || p - start > mostChars) {
        p = start;
        break;
      }
      let nextFeed = feed;
      let nextSpeed = speed;
      if ((mask & F) !== 0) {
        nextFeed = wf * unit;
        nextSpeed = (nextFeed / 60) * speedFactor;
        // What is this slow sideways may have been meant in mm a second.
        if (!(wf > 0) || (nextFeed <= FEED && (mask & (X | Y | I | J)) !== 0)) {
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
        let dx: f64 = 0;
        let dy: f64 = 0;
        let dz: f64 = 0;
        let de: f64 = 0;
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
        let pushed: f64 = 0;
        let back0 = retracted;
        if (de !== 0) {
          const rest = retracted - de;
          if (rest < 0) {
            pushed = -rest;
            back0 = 0;
          } else back0 = rest;
          // A long retraction, and filament that moves cold.
          if (!extrudes || (back0 > RETRACTED && de < 0)) {
            p = start;
            break;
          }
        }
        let planar: f64 = 0;
        let west = min(x, nx);
        let east = max(x, nx);
        let south = min(y, ny);
        let north = max(y, ny);
        if (curved) {
          planar = arcPath(x, y, nx, ny, wi * unit, wj * unit, g === 2 ? 1 : 0);
          if (planar < 0) {
            p = start;
            break;
          }
          west = get(Slot.hullLeft);
          east = get(Slot.hullRight);
          south = get(Slot.hullFront);
          north = get(Slot.hullBack);
        }
        if (z < outTop || nz < outTop) {
          if (east >= outLeft && west <= outRight && north >= outFront && south <= outBack) {
            p = start;
            break;
          }
        }
        const goes = curved || dx !== 0 || dy !== 0 || dz !== 0;
        const length = curved ? sqrt(planar * planar + dz * dz) : sqrt(dx * dx + dy * dy + dz * dz);
        const path = goes ? length : abs(de);
        if (LENGTH < f64.MAX_VALUE && length > LENGTH) {
          p = start;
          break;
        }
        // Seconds at the speed asked for, unless an axis has to slow the move down.
        let s = nextSpeed;
        if (s > slowest) {
          if (abs(dx) * s > topX * path) s = (topX * path) / abs(dx);
          if (abs(dy) * s > topY * path) s = (topY * path) / abs(dy);
        }
        if (dz !== 0 && abs(dz) * s > topZ * path) s = (topZ * path) / abs(dz);
        if (abs(de) * s > topE * path) s = (topE * path) / abs(de);
        if (pushed > 0) {
          if (pushed * s > flowTop * path || (!goes && pushed > PUSHED_STANDING)) {
            p = start;
            break;
          }
          // What no rule asks for costs nothing: the compiler knows these numbers.
          if (PUSHED < f64.MAX_VALUE && pushed > PUSHED) {
            p = start;
            break;
          }
          // Within what has been extruded over before there is nothing to look at, and nothing to widen.
          if (curved || !pushedBefore || nx < ex0 || nx > ex1 || ny < ey0 || ny > ey1 || nz < ez0 || nz > ez1) {
            const low = min(z, nz);
            const high = max(z, nz);
            const onBed = west >= bedLeft && east <= bedRight && south >= bedFront && north <= bedBack;
            const flat = west >= left && east <= right && south >= front && north <= back;
            const stands = goes || (x >= x0 && x <= x1 && y >= y0 && y <= y1 && z >= z0 && z <= z1);
            if (!onBed || !flat || low < bottom || high > top || !stands) {
              p = start;
              break;
            }
            ex0 = min(ex0, west);
            ex1 = max(ex1, east);
            ey0 = min(ey0, south);
            ey1 = max(ey1, north);
            ez0 = min(ez0, low);
            ez1 = max(ez1, high);
            if (goes) {
              x0 = min(x0, west);
              x1 = max(x1, east);
              y0 = min(y0, south);
              y1 = max(y1, north);
              z0 = min(z0, low);
              z1 = max(z1, high);
              wentBefore = true;
            }
          }
          pushedBefore = true;
          extruding += length;
          if (curved || dx !== 0 || dy !== 0) {
            if (dz !== 0) rising++;
            else if (nz !== layerZ) {
              countHeight(nz + oz);
              layerZ = nz;
            }
            laid = true;
            pushLine = line;
            pushStart = start;
            if (group === 0) {
              groupLine = line;
              groupStart = start;
              groupZ = nz + oz;
            }
            group++;
          } else if (laid) {
            laid = false;
            savePush(x, y, z, e, feed);
          }
        } else {
          if (laid) {
            laid = false;
            savePush(x, y, z, e, feed);
          }
          if (goes && (curved || !wentBefore || nx < x0 || nx > x1 || ny < y0 || ny > y1 || nz < z0 || nz > z1)) {
            const low = min(z, nz);
            const high = max(z, nz);
            const flat = west >= left && east <= right && south >= front && north <= back;
            if (!flat || low < bottom || high > top) {
              p = start;
              break;
            }
            wentBefore = true;
            x0 = min(x0, west);
            x1 = max(x1, east);
            y0 = min(y0, south);
            y1 = max(y1, north);
            z0 = min(z0, low);
            z1 = max(z1, high);
          }
          pushedBefore = false;
          travel += length;
          if (dz >= f64(LIFT) && group < CONTINUES) group = 0;
        }
        if (s === speed) seconds += path < square ? 2 * sqrt(path * sluggish) : path * inverse + ramp;
        else if (path > 0) seconds += path < s * s * sluggish ? 2 * sqrt(path * sluggish) : path / s + s * sluggish;
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
        square = speed * speed * sluggish;
      }
      motion = g;
    } else if (c === SEMICOLON) {
      p = commentEnd(p);
      if (p < 0 || p - start > mostChars) {
        p = start;
        break;
      }
      c = i32(load<u8>(p));
    } else if (c !== LF && c !== CR) break;
    if (p - start > longest) {
      longest = p - start;
      longestLine = line;
    }
    p++;
    if (c === CR && i32(load<u8>(p)) === LF) p++;
    line++;
  }
  if (laid) savePush(x, y, z, e, feed);
  const first = get(Slot.line);
  set(Slot.x, x);
  set(Slot.y, y);
  set(Slot.z, z);
  set(Slot.e, e);
  set(Slot.feed, feed);
  set(Slot.retracted, retracted);
  set(Slot.line, first + f64(line));
  set(Slot.fastLines, get(Slot.fastLines) + f64(line));
  if (longestLine >= 0) {
    set(Slot.longest, f64(longest));
    set(Slot.longestLine, first + f64(longestLine));
  }
  if (pushLine >= 0) {
    set(Slot.pushLine, first + f64(pushLine));
    set(Slot.pushStart, base + f64(pushStart));
  }
  set(Slot.group, f64(group));
  if (groupLine >= 0) {
    set(Slot.groupLine, first + f64(groupLine));
    set(Slot.groupStart, base + f64(groupStart));
    set(Slot.groupZ, groupZ);
  }
  set(Slot.filament, get(Slot.filament) + filament);
  set(Slot.used, get(Slot.used) + filament);
  set(Slot.moves, get(Slot.moves) + f64(moves));
  set(Slot.travel, travel);
  set(Slot.extruding, extruding);
  set(Slot.seconds, seconds);
  set(Slot.rising, get(Slot.rising) + f64(rising));
  widen(Slot.boxX0, x0 + ox, x1 + ox);
  widen(Slot.boxY0, y0 + oy, y1 + oy);
  widen(Slot.boxZ0, z0 + oz, z1 + oz);
  widen(Slot.extrudedX0, ex0 + ox, ex1 + ox);
  widen(Slot.extrudedY0, ey0 + oy, ey1 + oy);
  widen(Slot.extrudedZ0, ez0 + oz, ez1 + oz);
  lastG = motion;
  return p;
}

/** The code of the last move of a scan, -1: there was none. */
let lastG: i32 = -1;

export function lastMotion(): i32 {
  return lastG;
}
