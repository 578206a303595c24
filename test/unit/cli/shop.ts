// What the tests of the command line have in common: a machine, a sequence without fault, packages.

export const heron = JSON.stringify({
  name: 'Heron 228',
  bed: { shape: 'rectangle', left: 0, right: 228, front: 0, back: 206 },
  reach: { shape: 'rectangle', left: 0, right: 234, front: 0, back: 217, bottom: 0, top: 232 },
  home: { x: 0, y: 0, z: 0 },
  heat: { nozzle: { max: 268, minExtrude: 173 }, bed: { max: 98 } },
  speed: { x: 215, y: 185, z: 11, e: 38 },
});

/** Homed and hot, in known modes: nothing to find. */
export const GOOD = 'G21\nG90\nM82\nG28\nM109 S200\nG92 E0\n';

/** A program of so many moves; the last goes to X 260, past the reach. */
export function wall(moves: number): string {
  const rows = [GOOD, 'G1 Z0.2 F600\n'];
  for (let i = 0; i < moves; i++)
    rows.push(`G1 X${50 + (i % 100)} Y${60 + (i % 90)} E${(i * 0.05).toFixed(3)} F1800\n`);
  return `${rows.join('')}G1 Z10 F600\nG1 X260 F6000\nM104 S0\nM84\n`;
}
