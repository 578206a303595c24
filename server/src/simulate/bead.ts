/** Cross-section of round filament, mm2. `diameter` in mm. */
export const filamentArea = (diameter: number): number => (Math.PI * diameter * diameter) / 4;

/**
 * Width of a bead with rounded sides, mm, from its cross-section (mm2) and height (mm): the section is
 * (w - h) h + pi h^2 / 4, so w = section / h + h (1 - pi / 4). Plane geometry.
 */
export const beadWidth = (section: number, height: number): number => section / height + height * (1 - Math.PI / 4);

/** Cross-section of that bead, mm2. */
export const beadSection = (width: number, height: number): number =>
  (width - height) * height + (Math.PI * height * height) / 4;
