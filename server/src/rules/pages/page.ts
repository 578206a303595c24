import type { Role } from '../../syntax/role.ts';

/** What there is to read about one rule. Only those load it who show it, so that no server holds it. */
export interface Page {
  /** Why it matters and what to do about it: whole sentences, in which only code spans are Markdown. */
  readonly why: string;
  /** A text that breaks the rule, and the same put right: both are run as tests against the example machine. */
  readonly bad: Example;
  readonly good: Example;
  /** What the example machine has otherwise for this page, as in a machine file; null takes a fact away. */
  readonly otherwise?: Readonly<Record<string, unknown>>;
}

/** An example text in its role. */
export interface Example {
  readonly role: Role;
  readonly text: string;
}

/** Rules that a reader looks for in one place, each with its page, in the order in which the reference lists them. */
export interface Subject {
  readonly title: string;
  /** By the rule's id. */
  readonly pages: Readonly<Record<string, Page>>;
}
