import { isLoud, readFine, saidOf } from './fine.ts';

// `npm run corpus [-- PART…]`: how many of the correct sequences below test/corpus/fine stay without error and warning,
// and what is told of each other one. A PART of a path leaves all out that do not have it.

const [folder = '', ...parts] = process.argv.slice(2);
const wanted = ({ name }: { readonly name: string }): boolean =>
  parts.length === 0 || parts.some((part) => name.includes(part));
const { sequences, files } = readFine(folder);
const fine = sequences.filter(wanted);

type Counts = Map<string, { places: number; sequences: Set<string> }>;
const count = (counts: Counts, what: string, sequence: string): void => {
  const of = counts.get(what) ?? { places: 0, sequences: new Set<string>() };
  of.places++;
  of.sequences.add(sequence);
  counts.set(what, of);
};

const allTold: Counts = new Map();
const allUndecided: Counts = new Map();
let quiet = 0;
for (const one of fine) {
  const { told, undecided } = saidOf(one);
  for (const { severity, rule } of told) count(allTold, `${severity} ${rule}`, one.name);
  for (const rule of undecided) count(allUndecided, rule, one.name);
  const loud = told.filter(isLoud);
  if (loud.length === 0) quiet++;
  else console.log(`\n${one.name}`);
  for (const { line, severity, rule, message } of loud) {
    console.log(`  ${line}: ${one.text.split('\n')[line - 1]?.trim()}`);
    console.log(`      ${severity} ${rule}: ${message}`);
  }
}

for (const { name, line, severity, message } of files.filter(wanted))
  console.log(`\n${name}:${line}: ${severity}: ${message}`);

const table = (title: string, counts: Counts): void => {
  console.log(`\n${title}`);
  for (const [what, { places, sequences }] of [...counts].sort((a, b) => b[1].places - a[1].places))
    console.log(`${String(places).padStart(5)} ${String(sequences.size).padStart(5)}  ${what}`);
};
table('all that is told, by rule (findings, sequences)', allTold);
table('undecided, by rule (places, sequences)', allUndecided);
console.log(`\n${quiet} of ${fine.length} correct sequences stay without error and warning`);
