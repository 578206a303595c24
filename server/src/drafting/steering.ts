import { balancedRoles, type ForeignRole, lineRole } from '../syntax/foreignRoles.ts';
import type { StatementKind } from '../syntax/tagStyle.ts';
import { type Seen, Tally } from './evidence.ts';
import { constants, eachForm, leadOf, setForm, wholeForm } from './forms.ts';
import type { RawTag } from './tagsIn.ts';

/** One way in which the sources write a statement. */
export interface FoundStatement extends Seen {
  readonly is: StatementKind;
  readonly form: string;
}

/** What the tags of all sources do. */
export interface FoundSteering {
  readonly statements: readonly FoundStatement[];
  /** For each source the role of each of its tags. */
  readonly roles: readonly (readonly ForeignRole[])[];
  /** Sections are opened or closed by the marks of the Mustache specification. */
  readonly marks: boolean;
  /** Sources whose sections do not balance, or not with what the others show. */
  readonly unbalanced: readonly number[];
}

/** Tells openers, middles and closers by a stack that balances in every source, and how each of them is written. */
export function findSteering(texts: readonly (readonly RawTag[])[]): FoundSteering {
  const { roles: told, unbalanced } = rolesOf(texts.map((tags) => tags.map(roleless)));
  const roles = told.map((list, n) =>
    list.map((role, i): ForeignRole => (role === 'value' && isInclude(texts[n]?.[i]) ? 'other' : role)),
  );
  const found = new Tally<{ is: StatementKind; form: string }>();
  const marked = { seen: false };
  for (const [n, tags] of texts.entries()) collect(tags, roles[n] ?? [], found, marked);
  return {
    statements: found.list().map(({ what, times, first }) => ({ ...what, times, first })),
    roles,
    marks: marked.seen,
    unbalanced,
  };
}

/** A tag alone on its line that puts another text in. */
const isInclude = (tag: RawTag | undefined): boolean => tag?.alone === true && INCLUDE.test(tag.content.trim());
const INCLUDE = /^(include|import|insert|embed|partial)\s+(?=\S)/i;

type Bare = ReturnType<typeof roleless>;

/** Where not all sources balance, those that do decide, and in the others words are taken as many languages have them. */
function rolesOf(texts: readonly (readonly Bare[])[]): Pick<FoundSteering, 'roles' | 'unbalanced'> {
  const together = balancedRoles(texts);
  if (together) return { roles: together, unbalanced: [] };
  const alone = texts.map((tags) => balancedRoles([tags])?.[0] ?? null);
  const whole = texts.filter((_, i) => alone[i] !== null);
  const agreed = whole.length < texts.length && whole.length > 1 ? balancedRoles(whole) : null;
  let next = 0;
  const roles = texts.map((tags, i) => {
    if (alone[i]) return agreed?.[next++] ?? alone[i];
    return tags.map(({ content }) => lineRole(content) ?? 'value');
  });
  const odd = texts.flatMap((_, i) => (alone[i] === null ? [i] : []));
  return { roles, unbalanced: odd };
}

/** What of a tag its role is told from; what stands in ends for remarks steers nothing. */
const roleless = ({ pair, content, alone }: RawTag): { content: string; alone: boolean } =>
  pair.holds === 'comments' ? { content: '!', alone } : { content, alone };

/** A section that is open while the tags are gone through. */
interface Frame {
  readonly open: RawTag;
  readonly middles: RawTag[];
}

function collect(
  tags: readonly RawTag[],
  roles: readonly ForeignRole[],
  found: Tally<{ is: StatementKind; form: string }>,
  marked: { seen: boolean },
): void {
  const stack: Frame[] = [];
  const add = (is: StatementKind, form: string | null, tag: RawTag): void => {
    if (form === null) marked.seen = true;
    else found.add(`${is} ${form}`, { is, form }, tag.place);
  };
  tags.forEach((tag, i) => {
    const role = roles[i];
    const frame = stack.at(-1);
    if (role === 'open') stack.push({ open: tag, middles: [] });
    else if (role === 'elseIf') frame?.middles.push(tag);
    else if (role === 'else') add('else', wholeForm(tag.content), tag);
    else if (role === 'close') {
      if (frame) closed(frame, add);
      add('end', endForm(tag.content, frame?.open), tag);
      stack.pop();
    } else if (role === 'other') {
      const set = setForm(tag.content);
      if (set !== null) add('set', set, tag);
      const include = INCLUDE.exec(tag.content.trim())?.[1];
      // What is named in quotes no form has a place for: it stays unknown.
      if (include !== undefined && set === null && !/["'`]/.test(tag.content)) add('include', `${include} NAME`, tag);
    }
  });
  // What is never closed was opened all the same.
  for (const frame of stack) closed(frame, add);
}

type Add = (is: StatementKind, form: string | null, tag: RawTag) => void;

/** What an opener is, now that its branches are known. */
function closed({ open, middles }: Frame, add: Add): void {
  const each = eachForm(open.content);
  if (each !== null) {
    add('each', each, open);
    for (const tag of middles) add('elseIf', conditionForm(tag.content, 'middle'), tag);
    return;
  }
  const cases = middles.length > 0 && middles.every(({ content }) => constants(content, 'middle'));
  const { lead } = leadOf(open.content, 'open');
  const is = cases ? 'switch' : /^\W*unless$/i.test(lead) ? 'unless' : 'if';
  add(is, conditionForm(open.content, 'open'), open);
  for (const tag of middles) add(cases ? 'case' : 'elseIf', conditionForm(tag.content, 'middle'), tag);
}

/** `when`, `if CONDITION {`; null: a mark of the Mustache specification opens it. */
function conditionForm(content: string, at: 'open' | 'middle'): string | null {
  const { lead, behind } = leadOf(content, at);
  if (/^[#^]$/.test(lead)) return null;
  return behind === '' ? lead : `${lead} CONDITION ${behind}`;
}

/** How a section is closed; null: by the mark / with what the opener says, as the Mustache specification has it. */
function endForm(content: string, open: RawTag | undefined): string | null {
  const named = /^\/\s*(.*)$/.exec(content.trim())?.[1];
  if (named === undefined) return wholeForm(content);
  const { lead, about } = leadOf(open?.content ?? '', 'open');
  const word = lead.replace(/^\W+/, '');
  if (named === '' || (word !== '' && word === named)) return wholeForm(content);
  return named === about && !/^[#^]$/.test(lead) ? '/CONDITION' : null;
}
