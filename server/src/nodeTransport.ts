import { Console } from 'node:console';
import {
  createServerPipeTransport,
  createServerSocketTransport,
  IPCMessageReader,
  IPCMessageWriter,
  type MessageReader,
  type MessageWriter,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import type { Timers } from './lsp/schedule.ts';
import { StreamReader } from './lsp/streamReader.ts';

/** The two directions of talk with the client that started this process, and what ends them. */
export interface Transport {
  readonly reader: MessageReader;
  readonly writer: MessageWriter;
}

/**
 * As the arguments say: `--stdio`, `--node-ipc`, `--pipe NAME` or `--socket PORT`, also with `=`.
 * @param ended The client's side has ended; `why`: its stream is broken; null: it is only over.
 */
export function transportOf(args: readonly string[], ended: (why: string | null) => void): Transport {
  if (args.includes('--node-ipc'))
    return { reader: new IPCMessageReader(process), writer: new IPCMessageWriter(process) };
  if (args.includes('--stdio')) {
    // Standard output belongs to the protocol alone.
    globalThis.console = new Console(process.stderr);
    const writer = new StreamMessageWriter(process.stdout);
    process.stdin.on('end', () => ended(null));
    process.stdin.on('close', () => ended(null));
    return { reader: new StreamReader(process.stdin, writer, ended), writer };
  }
  const pipe = argument(args, '--pipe');
  const port = argument(args, '--socket');
  if (pipe === null && port === null)
    throw new Error('bookend: a language server is started with --stdio, --node-ipc, --pipe NAME or --socket PORT.');
  const [reader, writer] = pipe === null ? createServerSocketTransport(Number(port)) : createServerPipeTransport(pipe);
  reader.onClose(() => ended(null));
  return { reader, writer };
}

function argument(args: readonly string[], name: string): string | null {
  const at = args.indexOf(name);
  if (at >= 0) return args[at + 1] ?? null;
  const joined = args.find((arg) => arg.startsWith(`${name}=`));
  return joined === undefined ? null : joined.slice(name.length + 1);
}

/** Node's clock and event loop. */
export const nodeTimers: Timers = {
  after(milliseconds, run) {
    const timer = setTimeout(run, milliseconds);
    return () => clearTimeout(timer);
  },
  turn: (run) => void setImmediate(run),
  now: () => performance.now(),
};
