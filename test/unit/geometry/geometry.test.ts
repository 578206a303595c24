import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  arcMeetsBox,
  arcOutside,
  bedSize,
  boxMeetsBox,
  centreOf,
  hull,
  outlineOutside,
  outside,
  placeOutside,
  type Sweep,
  segmentMeetsBox,
  segmentOutside,
} from '../../../server/src/geometry/geometry.ts';
import { crossing, isConvex, plainOutline, signedArea } from '../../../server/src/geometry/polygon.ts';
import type { Area, KeepOut } from '../../../server/src/machine/machine.ts';

const TURN = 2 * Math.PI;
const square: Area = { shape: 'rectangle', left: 0, right: 212, front: 0, back: 212 };
const round: Area = { shape: 'circle', centre: { x: 0, y: 0 }, radius: 100 };
/** An L: the square [0, 100] without its back right quarter. */
const hollow: Area = {
  shape: 'polygon',
  points: [
    [0, 0],
    [100, 0],
    [100, 50],
    [50, 50],
    [50, 100],
    [0, 100],
  ],
};
const diamond: Area = {
  shape: 'polygon',
  points: [
    [0, -50],
    [50, 0],
    [0, 50],
    [-50, 0],
  ],
};
const exactly = (n: number) => ({ lo: n, hi: n });
const at = (area: Area, x: number, y: number) => outside(area, { x: exactly(x), y: exactly(y) });

describe('bed rows of the reference cases (test/reference/cases.json names each one’s source)', () => {
  interface Row {
    readonly id: string;
    readonly input: { readonly bed?: number[]; readonly bed_round?: { centre: number[]; radius: number } };
    readonly expect: { readonly fits: boolean; readonly max_radius?: number };
    readonly tolerance: number;
  }
  const rows: Row[] = JSON.parse(readFileSync(new URL('../../reference/cases.json', import.meta.url), 'utf8'));
  const row = (id: string): Row => {
    const found = rows.find((one) => one.id === id);
    if (!found) throw new Error(`no row ${id}`);
    return found;
  };
  const roundBed = ({ input }: Row): Area => {
    const { centre, radius } = input.bed_round ?? { centre: [], radius: 0 };
    return { shape: 'circle', centre: { x: centre[0] ?? 0, y: centre[1] ?? 0 }, radius };
  };

  it('bed-arc-bulges-in: a clockwise half turn whose bulge stays on the bed', () => {
    const { expect: wanted, input } = row('bed-arc-bulges-in');
    const [left = 0, front = 0, right = 0, back = 0] = input.bed ?? [];
    const bed: Area = { shape: 'rectangle', left, right, front, back };
    // From (207, 100) round (207, 110): clockwise from -90 degrees to 90 bulges to X 197.
    const inwards = arcOutside(bed, { centre: [207, 110], radius: 10, startAngle: -Math.PI / 2, sweep: -Math.PI });
    expect(inwards.over <= 0).toBe(wanted.fits);
    expect(inwards.over).toBeCloseTo(-5, 9);
    // The same ends the other way bulge to X 217, 5 mm past the right side.
    const outwards = arcOutside(bed, { centre: [207, 110], radius: 10, startAngle: -Math.PI / 2, sweep: Math.PI });
    expect(outwards).toMatchObject({ over: 5, side: 'right', limit: 212, at: { x: 217, y: 110 } });
  });

  it('bed-round-on-rim: a chord between two places on the rim', () => {
    const { expect: wanted, tolerance, ...rest } = row('bed-round-on-rim');
    const most = segmentOutside(roundBed({ expect: wanted, tolerance, ...rest }), { x: -80, y: 60 }, { x: 80, y: 60 });
    expect(most.over <= tolerance).toBe(wanted.fits);
    expect(Math.abs(most.over + 100 - (wanted.max_radius ?? 0))).toBeLessThanOrEqual(tolerance);
  });

  it('bed-round-corner-out: inside the square round the disc, outside the disc', () => {
    const { expect: wanted, tolerance, ...rest } = row('bed-round-corner-out');
    const { most, side, limit } = at(roundBed({ expect: wanted, tolerance, ...rest }), 75, 70);
    expect(most <= 0).toBe(wanted.fits);
    expect(Math.abs(most + 100 - (wanted.max_radius ?? 0))).toBeLessThanOrEqual(tolerance);
    expect([side, limit]).toEqual(['rim', 100]);
  });
});

describe('sizes', () => {
  it('are shown as a picker needs them', () => {
    expect(bedSize({ shape: 'rectangle', left: -10, right: 218, front: 0, back: 206.5 })).toBe('228 × 206.5 mm');
    expect(bedSize(round)).toBe('round, 200 mm across');
    expect(bedSize(hollow)).toBe('outline, 100 × 100 mm');
  });
  it('hull and centre', () => {
    expect(hull({ shape: 'circle', centre: { x: 3, y: 4 }, radius: 5 })).toEqual({
      left: -2,
      right: 8,
      front: -1,
      back: 9,
    });
    expect(hull(diamond)).toEqual({ left: -50, right: 50, front: -50, back: 50 });
    expect(centreOf({ shape: 'rectangle', left: 0, right: 10, front: -4, back: 0 })).toEqual({ x: 5, y: -2 });
  });
});

describe('outside, by hand', () => {
  it('rectangle: past the side that is passed farthest', () => {
    expect(at(square, 230, 100)).toMatchObject({ least: 18, most: 18, side: 'right', limit: 212 });
    expect(at(square, -3, 222)).toMatchObject({ most: 10, side: 'back', limit: 212 });
    expect(at(square, -3, -1)).toMatchObject({ most: 3, side: 'left', limit: 0 });
    expect(at(square, 100, -1)).toMatchObject({ most: 1, side: 'front', limit: 0 });
    expect(at(square, 7, 100)).toMatchObject({ most: -7 });
    expect(at(square, 212, 212)).toMatchObject({ most: 0 });
  });

  it('boxes: farthest inside and farthest outside', () => {
    expect(outside(square, { x: { lo: 100, hi: 222 }, y: exactly(50) })).toMatchObject({
      least: -50,
      most: 10,
      side: 'right',
    });
    expect(outside(square, { x: { lo: 222, hi: 232 }, y: { lo: 0, hi: 292 } })).toMatchObject({
      least: 10,
      most: 80,
      side: 'back',
    });
    expect(outside(round, { x: { lo: -200, hi: 200 }, y: exactly(0) })).toMatchObject({ least: -100, most: 100 });
    expect(outside(round, { x: { lo: 110, hi: 120 }, y: { lo: -5, hi: 5 } }).least).toBe(10);
  });

  it('open boxes', () => {
    const open = { lo: Number.NEGATIVE_INFINITY, hi: Number.POSITIVE_INFINITY };
    for (const area of [square, round, hollow, diamond]) {
      const far = outside(area, { x: open, y: exactly(20) });
      expect(far.most).toBe(Number.POSITIVE_INFINITY);
      expect(far.least).toBeLessThan(0);
      const away = outside(area, { x: { lo: 1000, hi: Number.POSITIVE_INFINITY }, y: exactly(20) });
      expect(away.least).toBeGreaterThan(700);
    }
    expect(outside(diamond, { x: { lo: 1000, hi: Number.POSITIVE_INFINITY }, y: exactly(0) }).least).toBeCloseTo(
      950,
      6,
    );
  });

  it('polygon: distance to the outline', () => {
    // From (75, 75) straight down or left to the inner corner’s edges: 25 mm.
    expect(at(hollow, 75, 75)).toMatchObject({ most: 25, side: 'edge', limit: null });
    expect(at(hollow, 103, 104).most).toBeCloseTo(Math.hypot(53, 4), 9); // nearest is the corner (50, 100)
    expect(at(hollow, 25, 25).most).toBeCloseTo(-25, 9);
    expect(at(hollow, 50, 75).most).toBeCloseTo(0, 9);
    // Edge x + y = 50 of the diamond: distance of (30, 30) is 10 / sqrt 2.
    expect(at(diamond, 30, 30).most).toBeCloseTo(10 / Math.SQRT2, 9);
    expect(at(diamond, 0, 0).most).toBeCloseTo(-50 / Math.SQRT2, 9);
  });

  it('a path between two places on a hollow bed leaves it in between', () => {
    const most = segmentOutside(hollow, { x: 95, y: 45 }, { x: 45, y: 95 });
    // Middle (70, 70): 20 mm from both inner edges.
    expect(most.over).toBeCloseTo(20, 1);
    expect(most.at.x).toBeCloseTo(70, 0);
    expect(segmentOutside(hollow, { x: 10, y: 10 }, { x: 40, y: 90 }).over).toBeLessThan(0);
  });

  it('arcs on a round bed: the farthest place lies straight away from the bed’s centre', () => {
    const arc: Sweep = { centre: [60, 80], radius: 20, startAngle: 0, sweep: Math.PI / 2 };
    expect(arcOutside(round, arc).over).toBeCloseTo(20, 9); // hypot(60, 80) + 20 = 120
    const away: Sweep = { ...arc, startAngle: Math.PI };
    // Only places towards the bed: the ends (40, 80) and (60, 60); the first is farther, hypot 89.44.
    expect(arcOutside(round, away).over).toBeCloseTo(Math.hypot(40, 80) - 100, 9);
    const full: Sweep = { centre: [0, 0], radius: 99, startAngle: 1, sweep: TURN };
    expect(arcOutside(round, full).over).toBeCloseTo(-1, 9);
  });

  it('one outline within another', () => {
    expect(outlineOutside(round, { shape: 'rectangle', left: -70, right: 70, front: -70, back: 70 }).over).toBeCloseTo(
      70 * Math.SQRT2 - 100,
      9,
    );
    expect(outlineOutside(square, { shape: 'circle', centre: { x: 106, y: 106 }, radius: 106 }).over).toBeCloseTo(0, 9);
    expect(outlineOutside(hollow, { shape: 'rectangle', left: 0, right: 100, front: 0, back: 100 }).over).toBeCloseTo(
      50,
      1,
    );
  });
});

describe('polygons', () => {
  it('area, by the shoelace formula', () => {
    expect(hollow.shape === 'polygon' && signedArea(hollow.points)).toBe(7500);
    expect(hollow.shape === 'polygon' && signedArea([...hollow.points].reverse())).toBe(-7500);
  });
  it('convex or hollow', () => {
    expect(hollow.shape === 'polygon' && isConvex(hollow.points)).toBe(false);
    expect(diamond.shape === 'polygon' && isConvex(diamond.points)).toBe(true);
  });
  it('crossing edges', () => {
    expect(hollow.shape === 'polygon' && crossing(hollow.points)).toBeNull();
    expect(
      crossing([
        [0, 0],
        [4, 4],
        [4, 0],
        [0, 4],
      ]),
    ).toEqual([0, 2]);
    expect(
      crossing([
        [0, 0],
        [4, 0],
        [2, 0],
        [2, 4],
      ]),
    ).not.toBeNull(); // runs back
    expect(
      crossing([
        [0, 0],
        [4, 0],
        [4, 4],
        [2, 0],
        [0, 4],
      ]),
    ).not.toBeNull(); // a corner on another edge
  });
  it('repeated corners are one', () => {
    expect(
      plainOutline([
        [0, 0],
        [0, 0],
        [4, 0],
        [4, 4],
        [0, 0],
      ]),
    ).toEqual([
      [0, 0],
      [4, 0],
      [4, 4],
    ]);
  });
});

describe('keep-outs, by hand', () => {
  const post: KeepOut = { name: 'post', left: 10, right: 20, front: 10, back: 20, bottom: 0, top: 50 };
  const meets = (a: number[], b: number[]) => {
    const [p, q] = [a, b].map(([x = 0, y = 0, z = 0]) => ({ x, y, z }));
    return p && q ? segmentMeetsBox(p, q, post) : undefined;
  };
  it('a path through the box enters at its face, though both ends are outside', () => {
    expect(meets([0, 15, 5], [30, 15, 5])).toEqual({ x: 10, y: 15, z: 5 });
    expect(meets([30, 15, 5], [0, 15, 5])).toEqual({ x: 20, y: 15, z: 5 });
    expect(meets([15, 15, 60], [15, 15, 5])).toEqual({ x: 15, y: 15, z: 50 });
    expect(meets([0, 0, 0], [30, 30, 30])).toEqual({ x: 10, y: 10, z: 10 });
    expect(meets([0, 15, 80], [30, 15, 30])).toEqual({ x: 18, y: 15, z: 50 }); // comes down into its top
  });
  it('a path that begins inside is inside at once', () => {
    expect(meets([12, 12, 5], [40, 40, 5])).toEqual({ x: 12, y: 12, z: 5 });
    expect(meets([12, 12, 5], [12, 12, 5])).toEqual({ x: 12, y: 12, z: 5 });
  });
  it('beside, above, short of it, away from it, or along its face is not inside', () => {
    expect(meets([0, 9, 5], [30, 9, 5])).toBeNull();
    expect(meets([0, 15, 51], [30, 15, 51])).toBeNull();
    expect(meets([0, 15, 5], [9, 15, 5])).toBeNull();
    expect(meets([0, 15, 5], [10, 15, 5])).toBeNull();
    expect(meets([20, 15, 5], [30, 15, 5])).toBeNull();
    expect(meets([0, 10, 5], [30, 10, 5])).toBeNull();
    expect(meets([0, 15, 50], [30, 15, 50])).toBeNull();
    expect(meets([0, 20, 5], [10, 10, 5])).toBeNull();
    expect(meets([0, 15, 80], [30, 15, 36])).toBeNull(); // comes down behind the post: Z 50.7 at X 20
  });
  it('a corner that is only touched is not inside', () => {
    expect(meets([5, 15, 5], [15, 5, 5])).toBeNull();
  });
  it('bounds: never, perhaps, always', () => {
    const box = (lo: number, hi: number) => ({ x: { lo, hi }, y: { lo, hi }, z: { lo, hi } });
    expect(boxMeetsBox(box(12, 18), post)).toBe('always');
    expect(boxMeetsBox(box(10, 18), post)).toBe('perhaps');
    expect(boxMeetsBox(box(0, 100), post)).toBe('perhaps');
    expect(boxMeetsBox(box(0, 10), post)).toBe('never');
    expect(boxMeetsBox(box(20, 30), post)).toBe('never');
    expect(boxMeetsBox({ ...box(12, 18), z: { lo: 60, hi: Number.POSITIVE_INFINITY } }, post)).toBe('never');
  });
  it('an arc whose ends and chord stay clear enters with its bulge', () => {
    // Half a turn from (0, 5) round (0, 15) to (0, 25) bulges to X 10 at Y 15: it touches the post’s face only.
    const arc = {
      plane: 'xy' as const,
      centre: [0, 15] as const,
      radius: 10,
      startAngle: -Math.PI / 2,
      sweep: Math.PI,
    };
    expect(arcMeetsBox(arc, [5, 5], post)).toBeNull();
    const hit = arcMeetsBox({ ...arc, radius: 12 }, [5, 5], post);
    // Enters X 10 where 12 cos a = 10: Y = 15 - sqrt(144 - 100) = 8.37, so through the front face at Y 10 instead.
    expect(hit?.y).toBeCloseTo(10, 1);
    expect(hit?.x).toBeCloseTo(Math.sqrt(144 - 25), 1);
    expect(arcMeetsBox({ ...arc, radius: 12 }, [51, 60], post)).toBeNull();
    expect(arcMeetsBox({ ...arc, radius: 12, sweep: -Math.PI }, [5, 5], post)).toBeNull();
  });
  it('an arc in another plane: centre and rise count along the plane’s own axes', () => {
    // G18: first axis Z, second X, along Y. Round Z 50, X 15 with radius 5: dips to Z 45 inside the post.
    const arc = { centre: [50, 15] as const, radius: 5, startAngle: 0, sweep: TURN };
    expect(arcMeetsBox({ ...arc, plane: 'zx' }, [15, 15], post)?.z).toBeLessThanOrEqual(50);
    expect(arcMeetsBox({ ...arc, plane: 'zx' }, [25, 25], post)).toBeNull();
    // G19: Y, Z along X.
    const upright = { ...arc, centre: [15, 50] as const };
    expect(arcMeetsBox({ ...upright, plane: 'yz' }, [15, 15], post)?.x).toBe(15);
    expect(arcMeetsBox({ ...upright, plane: 'yz' }, [25, 25], post)).toBeNull();
  });
});

describe('against dense sampling (seeded)', () => {
  const mm = fc.double({ min: -150, max: 150, noNaN: true });
  const star = fc
    .tuple(fc.array(fc.double({ min: 20, max: 100, noNaN: true }), { minLength: 3, maxLength: 9 }), mm, mm)
    .map(([radii, x, y]): Area => {
      // Corners in order of their angle round a place never cross; at least 3 span more than half a turn.
      const points = radii.map((r, i) => {
        const angle = (TURN * i) / radii.length;
        return [x + r * Math.cos(angle), y + r * Math.sin(angle)] as const;
      });
      return { shape: 'polygon', points };
    });
  const rectangle = fc
    .tuple(mm, mm, fc.double({ min: 1, max: 200, noNaN: true }), fc.double({ min: 1, max: 200, noNaN: true }))
    .map(
      ([left, front, wide, deep]): Area => ({
        shape: 'rectangle',
        left,
        right: left + wide,
        front,
        back: front + deep,
      }),
    );
  const disc = fc
    .tuple(mm, mm, fc.double({ min: 1, max: 150, noNaN: true }))
    .map(([x, y, radius]): Area => ({ shape: 'circle', centre: { x, y }, radius }));
  const area = fc.oneof(star, rectangle, disc);
  const point = fc.record({ x: mm, y: mm });
  const angle = fc.double({ min: -TURN, max: TURN, noNaN: true });

  it('a point’s sign is that of an own inside test', () => {
    /** Winding number by summed angles: another method than the one under test. */
    const inside = (a: Area, x: number, y: number): boolean => {
      if (a.shape === 'rectangle') return x > a.left && x < a.right && y > a.front && y < a.back;
      if (a.shape === 'circle') return (x - a.centre.x) ** 2 + (y - a.centre.y) ** 2 < a.radius ** 2;
      let sum = 0;
      a.points.forEach(([px, py], i) => {
        const [qx, qy] = a.points[(i + 1) % a.points.length] ?? [px, py];
        const cross = (px - x) * (qy - y) - (py - y) * (qx - x);
        sum += Math.atan2(cross, (px - x) * (qx - x) + (py - y) * (qy - y));
      });
      return Math.abs(sum) > Math.PI;
    };
    fc.assert(
      fc.property(area, point, (a, p) => {
        const { over } = placeOutside(a, p.x, p.y);
        fc.pre(Math.abs(over) > 1e-6);
        expect(over < 0).toBe(inside(a, p.x, p.y));
      }),
      { seed: 10, numRuns: 2000 },
    );
  });

  it('a box: no sample lies beyond least and most, and both are reached', () => {
    fc.assert(
      fc.property(
        area,
        point,
        fc.double({ min: 0, max: 120, noNaN: true }),
        fc.double({ min: 0, max: 120, noNaN: true }),
        (a, p, w, h) => {
          const found = outside(a, { x: { lo: p.x, hi: p.x + w }, y: { lo: p.y, hi: p.y + h } });
          let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
          const n = 40;
          for (let i = 0; i <= n; i++) {
            for (let j = 0; j <= n; j++) {
              const { over } = placeOutside(a, p.x + (w * i) / n, p.y + (h * j) / n);
              least = Math.min(least, over);
              most = Math.max(most, over);
            }
          }
          // Polygons are searched to 0.005 mm; samples may miss an extreme by their own spacing.
          const spacing = Math.hypot(w, h) / n + 0.01;
          expect(found.least).toBeLessThanOrEqual(least + 0.01);
          expect(found.least).toBeGreaterThanOrEqual(least - spacing);
          expect(found.most).toBeGreaterThanOrEqual(most - 0.01);
          expect(found.most).toBeLessThanOrEqual(most + spacing);
          expect(placeOutside(a, found.at.x, found.at.y).over).toBeCloseTo(found.most, 6);
        },
      ),
      { seed: 11, numRuns: 300 },
    );
  });

  it('a straight path', () => {
    fc.assert(
      fc.property(area, point, point, (a, p, q) => {
        const found = segmentOutside(a, p, q);
        let most = Number.NEGATIVE_INFINITY;
        for (let i = 0; i <= 1000; i++) {
          const t = i / 1000;
          most = Math.max(most, placeOutside(a, p.x + (q.x - p.x) * t, p.y + (q.y - p.y) * t).over);
        }
        expect(found.over).toBeGreaterThanOrEqual(most - 0.01);
        expect(found.over).toBeLessThanOrEqual(most + Math.hypot(q.x - p.x, q.y - p.y) / 1000);
      }),
      { seed: 12, numRuns: 500 },
    );
  });

  it('an arc', () => {
    fc.assert(
      fc.property(
        area,
        point,
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        angle,
        angle,
        (a, c, radius, startAngle, sweep) => {
          const found = arcOutside(a, { centre: [c.x, c.y], radius, startAngle, sweep });
          let most = Number.NEGATIVE_INFINITY;
          for (let i = 0; i <= 2000; i++) {
            const turned = startAngle + (sweep * i) / 2000;
            most = Math.max(
              most,
              placeOutside(a, c.x + radius * Math.cos(turned), c.y + radius * Math.sin(turned)).over,
            );
          }
          const exact = a.shape === 'polygon' ? 0.01 : 1e-9;
          expect(found.over).toBeGreaterThanOrEqual(most - exact);
          expect(found.over).toBeLessThanOrEqual(most + (radius * Math.abs(sweep)) / 2000 + 1e-9);
        },
      ),
      { seed: 13, numRuns: 500 },
    );
  });

  const box = fc
    .tuple(
      mm,
      mm,
      mm,
      ...([1, 1, 1].map(() => fc.double({ min: 1, max: 100, noNaN: true })) as [
        fc.Arbitrary<number>,
        fc.Arbitrary<number>,
        fc.Arbitrary<number>,
      ]),
    )
    .map(
      ([x, y, z, w, d, h]): KeepOut => ({
        name: 'k',
        left: x,
        right: x + w,
        front: y,
        back: y + d,
        bottom: z,
        top: z + h,
      }),
    );
  const place = fc.record({ x: mm, y: mm, z: mm });
  /** How deep a place lies inside a box; 0 or less: not inside. */
  const depth = (p: { x: number; y: number; z: number }, k: KeepOut): number =>
    Math.min(p.x - k.left, k.right - p.x, p.y - k.front, k.back - p.y, p.z - k.bottom, k.top - p.z);

  it('a straight path into a keep-out: found if and only if some place on it is inside', () => {
    let hits = 0;
    fc.assert(
      fc.property(place, place, box, (a, b, k) => {
        const hit = segmentMeetsBox(a, b, k);
        let deepest = Number.NEGATIVE_INFINITY;
        let first: number | null = null;
        const n = 2000;
        for (let i = 0; i <= n; i++) {
          const t = i / n;
          const d = depth({ x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t, z: a.z + (b.z - a.z) * t }, k);
          if (d > 0 && first === null) first = t;
          deepest = Math.max(deepest, d);
        }
        const length = Math.hypot(b.x - a.x, b.y - a.y, b.z - a.z);
        if (deepest > 1e-9) expect(hit).not.toBeNull();
        if (deepest < -length / n) expect(hit).toBeNull();
        if (!hit || first === null) return;
        hits++;
        expect(depth(hit, k)).toBeGreaterThan(-1e-9);
        expect(Math.hypot(hit.x - a.x, hit.y - a.y, hit.z - a.z)).toBeLessThanOrEqual(first * length + 1e-6);
        expect(Math.hypot(hit.x - a.x, hit.y - a.y, hit.z - a.z)).toBeGreaterThanOrEqual(
          (first - 1 / n) * length - 1e-6,
        );
      }),
      { seed: 14, numRuns: 1000 },
    );
    expect(hits).toBeGreaterThan(50);
  });

  it('an arc into a keep-out, within 0.01 mm', () => {
    let hits = 0;
    fc.assert(
      fc.property(
        place,
        fc.double({ min: 0.1, max: 120, noNaN: true }),
        angle,
        angle,
        mm,
        box,
        fc.constantFrom('xy', 'zx', 'yz'),
        (c, radius, startAngle, sweep, end, k, plane) => {
          const hit = arcMeetsBox({ centre: [c.x, c.y], radius, startAngle, sweep, plane }, [c.z, end], k);
          let deepest = Number.NEGATIVE_INFINITY;
          const n = 3000;
          for (let i = 0; i <= n; i++) {
            const turned = startAngle + (sweep * i) / n;
            const [p, q, r] = [
              c.x + radius * Math.cos(turned),
              c.y + radius * Math.sin(turned),
              c.z + ((end - c.z) * i) / n,
            ];
            const at3 =
              plane === 'xy' ? { x: p, y: q, z: r } : plane === 'zx' ? { x: q, y: r, z: p } : { x: r, y: p, z: q };
            deepest = Math.max(deepest, depth(at3, k));
          }
          const step = Math.hypot(radius * sweep, end - c.z) / n;
          if (deepest > 0.011) expect(hit).not.toBeNull();
          if (deepest < -0.011 - step) expect(hit).toBeNull();
          if (hit) hits++;
        },
      ),
      { seed: 15, numRuns: 400 },
    );
    expect(hits).toBeGreaterThan(30);
  });
});
