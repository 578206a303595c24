import { LSPErrorCodes, ResponseError } from 'vscode-languageserver';

/** What counts more is worked on first. */
export enum Urgency {
  /** The findings of the text that is being typed. */
  Typing = 0,
  /** What somebody waits for at the cursor. */
  Cursor = 1,
  /** What an editor asks for by itself, and what takes its time anyway. */
  Later = 2,
}

/** Thrown where nobody waits for an answer any more. */
export class Ended extends Error {
  /** @param code The protocol's: what a request is answered with. */
  constructor(
    readonly code: number,
    message: string,
  ) {
    super(message);
  }

  get response(): ResponseError<void> {
    return new ResponseError(this.code, this.message);
  }
}

export const cancelled = (): Ended => new Ended(LSPErrorCodes.RequestCancelled, 'The request was cancelled.');
export const outdated = (): Ended => new Ended(LSPErrorCodes.ContentModified, 'The text has changed meanwhile.');

/** Somebody who waits for an answer: a request, or findings that are to be published. */
export class Asked {
  private end: Ended | null = null;
  private readonly listeners = new Set<(why: Ended) => void>();

  constructor(readonly urgency: Urgency) {}

  get ended(): Ended | null {
    return this.end;
  }

  /** Nobody waits any more; only the first reason counts. */
  over(why: Ended): void {
    if (this.end) return;
    this.end = why;
    for (const tell of this.listeners) tell(why);
    this.listeners.clear();
  }

  /** The answer, or a rejection with `Ended` as soon as nobody waits for it any more. */
  until<T>(answer: Promise<T>): Promise<T> {
    if (this.end) {
      answer.catch(() => {});
      return Promise.reject(this.end);
    }
    return new Promise<T>((resolve, reject) => {
      this.listeners.add(reject);
      answer.then(resolve, reject).finally(() => this.listeners.delete(reject));
    });
  }
}

/** Everybody who waits for something about a document. */
export interface Asking {
  /** @param uri The document by whose change the answer would be outdated; null: none. */
  begin(urgency: Urgency, uri: string | null): Asked;
  done(asked: Asked): void;
  /** The document has another text now, or is closed. */
  changed(uri: string): void;
}

export function makeAsking(): Asking {
  const uris = new Map<Asked, string | null>();
  return {
    begin(urgency, uri) {
      const asked = new Asked(urgency);
      uris.set(asked, uri);
      return asked;
    },
    done: (asked) => void uris.delete(asked),
    changed(uri) {
      for (const [asked, about] of uris) if (about === uri) asked.over(outdated());
    },
  };
}

/** What a pull of findings is answered with where the text has changed: the client asks again. */
export const askAgain = (): ResponseError<unknown> =>
  new ResponseError(LSPErrorCodes.ServerCancelled, 'The text has changed meanwhile.', { retriggerRequest: true });
