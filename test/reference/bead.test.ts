import { describe, expect, it } from 'vitest';
import { beadSection, beadWidth, filamentArea } from '../../server/src/simulate/bead.ts';
import { CASES, row } from './support.ts';

describe('beads and filament, against plane geometry', () => {
  const beads = CASES.filter((c) => /^bead-\d/.test(c.id));
  it('has all its rows', () => expect(beads.length).toBe(3));

  it.each(beads.map((c) => [c.id, c] as const))('%s: the section, and the width back from it', (_, c) => {
    const { width_mm: width, height_mm: height } = c.input;
    const { rect_mm2: rectangle, stadium_mm2: section } = c.expect;
    expect(Math.abs(beadSection(width, height) - section)).toBeLessThan(1e-6);
    expect(beadWidth(section, height)).toBeCloseTo(width, 5);
    // Rounded sides take less than the rectangle around them.
    expect(beadSection(width, height)).toBeLessThan(rectangle);
  });

  it('bead-e-per-100mm: the filament for a line of that bead', () => {
    const { input, expect: want } = row('bead-e-per-100mm');
    const area = filamentArea(input.filament_diameter_mm);
    expect((input.length_mm * beadSection(input.width_mm, input.height_mm)) / area).toBeCloseTo(want.e_stadium_mm, 5);
    expect((input.length_mm * input.width_mm * input.height_mm) / area).toBeCloseTo(want.e_rect_mm, 5);
  });

  it('area-tolerance-1.75: what a filament that is 0.05 mm off changes', () => {
    const { input, expect: want } = row('area-tolerance-1.75');
    const areas = input.filament_diameter_mm.map(filamentArea);
    areas.forEach((area: number, i: number) => {
      expect(area).toBeCloseTo(want.area_mm2[i], 5);
      expect((area / filamentArea(1.75) - 1) * 100).toBeCloseTo(want.relative_percent[i], 4);
    });
  });
});
