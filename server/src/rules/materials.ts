/** Usual settings of a material, degrees C. */
export interface Material {
  readonly name: string;
  readonly nozzle: readonly [number, number];
  readonly bed: readonly [number, number];
  /** What lies behind the range, with its source; null: nothing but practice. */
  readonly because: string | null;
}

// The ranges are common practice, no source, and wide on purpose. The physical figures stand in material data sheets
// and the NETZSCH polymer database.
const material = (name: string, nozzle: Material['nozzle'], bed: Material['bed'], because: string | null = null) => ({
  name,
  nozzle,
  bed,
  because,
});

const MATERIALS: readonly Material[] = [
  material('PLA', [180, 240], [0, 70], 'it melts at 150 to 160 °C and softens from 45 to 65 °C on'),
  material('PETG', [215, 270], [45, 95]),
  material('ABS', [215, 275], [75, 120]),
  material('ASA', [225, 280], [75, 120]),
  material('PA', [230, 310], [25, 125], 'its common kind, PA6, melts at 225 to 235 °C'),
  material('PC', [250, 330], [80, 150], 'it softens only at 140 to 150 °C'),
  material('TPU', [190, 255], [0, 70]),
];

/** Other names of one. */
const ALSO: ReadonlyMap<string, string> = new Map([
  ['NYLON', 'PA'],
  ['PA6', 'PA'],
  ['POLYCARBONATE', 'PC'],
]);

/** The material that a text names, whatever the case; null where it is none of those known, or a blend. */
export function materialOf(text: string): Material | null {
  const name = text.trim().toUpperCase();
  const real = ALSO.get(name) ?? name;
  return MATERIALS.find((one) => one.name === real) ?? null;
}
