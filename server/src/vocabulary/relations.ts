import { quoted } from '../machineFile/complaint.ts';
import type { Walk } from '../machineFile/walk.ts';
import { nearest } from '../text/nearest.ts';
import type { DeclaredName } from './file.ts';
import { builtInNames, machineNameList } from './vocabulary.ts';

// What one name alone cannot show: names that hide each other, and the orders declared between them.

type Names = readonly DeclaredName[];

const tellAt = (walk: Walk, { span }: DeclaredName, message: string, severity: 'error' | 'warning' = 'error'): void =>
  void walk.problems.push({ span, message, severity });

/** The names without those that hide another one. */
export function withoutShadows(walk: Walk, names: Names, extendsBuiltIn: boolean): Names {
  const own = new Set(machineNameList());
  const builtIn = builtInNames();
  const byName = new Map<string, DeclaredName>();
  for (const one of names) {
    if (own.has(one.name))
      tellAt(
        walk,
        one,
        `${quoted(one.name)} is the machine’s own figure and cannot be given by a job. Rename it, or take it out. It is not used.`,
      );
    else if (byName.has(one.name))
      tellAt(walk, one, `${quoted(one.name)} is declared twice. The first one counts; take this one out.`);
    else byName.set(one.name, one);
  }
  // Names of others that a dotted name must not run through, and the names of this file.
  // Where only the file's names may be written, the machine's give way to them (`filament` to `filament.diameter`).
  const others = extendsBuiltIn ? [...own, ...builtIn.keys()] : [];
  const folders = new Set(others.flatMap(prefixes));
  const plain = new Set(
    extendsBuiltIn ? [...builtIn.values()].filter(({ kind }) => kind !== 'list').map(({ name }) => name) : [],
  );
  for (const one of [...byName.values()]) {
    const hider = prefixes(one.name).find((prefix) => {
      const outer = byName.get(prefix);
      return outer ? outer.kind !== 'list' : plain.has(prefix) || own.has(prefix);
    });
    if (hider !== undefined) {
      tellAt(
        walk,
        one,
        `${quoted(one.name)} and ${quoted(hider)} shadow each other: ${quoted(hider)} is a value of its own, so nothing can be looked up in it. Rename one of them. Until then ${quoted(one.name)} is not used.`,
      );
      byName.delete(one.name);
    } else if (one.kind !== 'list' && folders.has(one.name)) {
      tellAt(
        walk,
        one,
        `${quoted(one.name)} shadows names such as ${quoted(others.find((other) => other.startsWith(`${one.name}.`)) ?? '')}. Rename it. Until then it is not used.`,
      );
      byName.delete(one.name);
    }
  }
  return withoutDoubles(walk, [...byName.values()]);
}

/** `a` and `a.b` of `a.b.c`. */
function prefixes(name: string): string[] {
  const found: string[] = [];
  for (let dot = name.indexOf('.'); dot >= 0; dot = name.indexOf('.', dot + 1)) found.push(name.slice(0, dot));
  return found;
}

/** Only one name can stand for a built-in one. */
function withoutDoubles(walk: Walk, names: Names): Names {
  const taken = new Map<string, string>();
  return names.map((one) => {
    if (one.standsFor === null) return one;
    const other = taken.get(one.standsFor);
    if (other === undefined) {
      taken.set(one.standsFor, one.name);
      return one;
    }
    tellAt(
      walk,
      one,
      `${quoted(one.name)} and ${quoted(other)} both stand for ${one.standsFor}; only one can. Until then ${quoted(one.name)} is a name of its own.`,
    );
    return { ...one, standsFor: null };
  });
}

const isNumeric = ({ kind }: Pick<DeclaredName, 'kind'>): boolean =>
  kind !== 'text' && kind !== 'flag' && kind !== 'list';

/** The names with only those orders that can hold: between numbers that there are, and without going round in a circle. */
export function soundRelations(walk: Walk, names: Names, extendsBuiltIn: boolean): Names {
  const known = new Map<string, Pick<DeclaredName, 'kind'>>(
    machineNameList().map((name) => [name, { kind: 'length' }]),
  );
  if (extendsBuiltIn) for (const [name, one] of builtInNames()) known.set(name, one);
  for (const one of names) known.set(one.name, one);
  const larger = new Map<string, Set<string>>();
  return names.map((one) => {
    const atMost = soundRelation(walk, known, larger, one, 'atMost');
    const atLeast = soundRelation(walk, known, larger, one, 'atLeast');
    for (const by of ['atMost', 'atLeast'] as const) tellDistance(walk, one, by);
    return { ...one, atMost, atLeast };
  });
}

/** A distance to nothing says nothing. */
function tellDistance(walk: Walk, one: DeclaredName, property: 'atMost' | 'atLeast'): void {
  if (one[`${property}By`] === null || one[property] !== null || one.standsFor !== null) return;
  const message = `${property}By of ${quoted(one.name)} says by how much, and no ${property} says from which name. Add it, or remove ${property}By.`;
  tellAt(walk, one, message, 'warning');
}

function soundRelation(
  walk: Walk,
  known: ReadonlyMap<string, Pick<DeclaredName, 'kind'>>,
  larger: Map<string, Set<string>>,
  one: DeclaredName,
  property: 'atMost' | 'atLeast',
): string | null {
  const other = one[property];
  if (other === null) return null;
  const fail = (why: string): null => {
    tellAt(walk, one, `${property} of ${quoted(one.name)} names ${quoted(other)}, ${why} Until then it is not used.`);
    return null;
  };
  const target = known.get(other);
  if (!target) {
    const near = nearest(other, known.keys())[0];
    return fail(`which is no name that is known here.${near === undefined ? '' : ` Did you mean ${quoted(near)}?`}`);
  }
  if (!isNumeric(one) || !isNumeric(target)) return fail('and only numbers can be larger or smaller. Take it out.');
  const [low, high] = property === 'atMost' ? [one.name, other] : [other, one.name];
  if (low === high) return fail('which is the name itself. Name another one, or take it out.');
  if (leads(larger, high, low))
    return fail(
      'and the orders go round in a circle: each of these names would have to be smaller than itself or they are all the same. Take one of the orders out.',
    );
  const set = larger.get(low) ?? new Set();
  larger.set(low, set.add(high));
  return other;
}

/** Whether `to` is reached from `from` over orders that were taken so far. No recursion, whatever the length. */
function leads(larger: ReadonlyMap<string, ReadonlySet<string>>, from: string, to: string): boolean {
  const seen = new Set([from]);
  for (const name of seen) {
    if (name === to) return true;
    for (const next of larger.get(name) ?? []) seen.add(next);
  }
  return false;
}
