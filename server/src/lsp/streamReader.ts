import {
  AbstractMessageReader,
  type DataCallback,
  type Disposable,
  type Message,
  type MessageWriter,
} from 'vscode-languageserver';
import { BrokenStream, Frames } from './framing.ts';

/** A stream of bytes, as far as it is read here. */
export interface ByteStream {
  on(event: 'data', run: (bytes: Uint8Array) => void): unknown;
  on(event: 'error', run: (error: Error) => void): unknown;
  on(event: 'end' | 'close', run: () => void): unknown;
}

/** JSON-RPC 2.0: invalid JSON was received. */
const PARSE_ERROR = -32700;

/**
 * Reads messages from a stream that may hold anything. A body that is no JSON is answered with an error, and the next
 * one is read; where not even the frame is right, `broken` is told and nothing more is read.
 */
export class StreamReader extends AbstractMessageReader {
  constructor(
    private readonly stream: ByteStream,
    private readonly writer: MessageWriter,
    private readonly broken: (why: string) => void,
  ) {
    super();
  }

  listen(take: DataCallback): Disposable {
    const frames = new Frames();
    const utf8 = new TextDecoder();
    let isOver = false;
    const read = (body: Uint8Array): void => {
      let message: Message;
      try {
        message = JSON.parse(utf8.decode(body));
      } catch {
        const error = { code: PARSE_ERROR, message: 'The message is not valid JSON.' };
        this.writer.write({ jsonrpc: '2.0', id: null, error } as Message).catch(() => {});
        return;
      }
      take(message);
    };
    this.stream.on('data', (bytes) => {
      if (isOver) return;
      try {
        frames.push(bytes, read);
      } catch (error) {
        isOver = true;
        if (!(error instanceof BrokenStream)) throw error;
        this.broken(error.message);
      }
    });
    this.stream.on('error', (error) => this.fireError(error));
    this.stream.on('close', () => this.fireClose());
    return {
      dispose: () => {
        isOver = true;
      },
    };
  }
}
