import { isLoud, readFine, type Told, toldOf } from './fine.ts';

// `npm run corpus [-- PART…]`: how many of the correct sequences below test/corpus/fine stay without error and warning,
// and what is told of each other one. A PART of a path leaves all out that do not have it.

const [folder = '', ...parts] = process.argv.slice(2);
const wanted = ({ name }: { readonly name: string }): boolean =>
  parts.length === 0 || parts.some((part) => name.includes(part));
const { sequences, files } = readFine(folder);
const fine = sequences.filter(wanted);

const counts = new Map<string, { findings: number; sequences: Set<string> }>();
const count = (one: Told): void => {
  const of = counts.get(`${one.severity} ${one.rule}`) ?? { findings: 0, sequences: new Set<string>() };
  of.findings++;
  of.sequences.add(one.name);
  counts.set(`${one.severity} ${one.rule}`, of);
};

let quiet = 0;
for (const one of fine) {
  const told = toldOf(one);
  for (const each of told) count(each);
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

console.log('\nall that is told, by rule (findings, sequences)');
for (const [what, { findings, sequences }] of [...counts].sort((a, b) => b[1].findings - a[1].findings))
  console.log(`${String(findings).padStart(5)} ${String(sequences.size).padStart(5)}  ${what}`);
console.log(`\n${quiet} of ${fine.length} correct sequences stay without error and warning`);
