import {
  ErrorCodes,
  type Message,
  type MessageReader,
  type MessageWriter,
  type ResponseMessage,
} from 'vscode-languageserver';
import { type MessageFault, makeOrder, type Order } from './order.ts';
import { isRecord } from './settings.ts';
import { SHAPES } from './shapes.ts';

// Stands before all handlers: what reaches them has the form that the protocol gives it, at a time when the protocol
// allows it. Everything else is answered with an error, or logged where no answer is expected.

export interface Gate {
  readonly reader: MessageReader;
  readonly writer: MessageWriter;
  /** Whether the client has asked for a shutdown, so that the end of its messages is a good one. */
  isShutDown(): boolean;
}

/** Lines about refused messages; a client that sends more of them has been told. */
const MOST_LOGGED = 200;

/** Puts the gate between a client's messages and a connection. */
export function makeGate(reader: MessageReader, writer: MessageWriter): Gate {
  const order = makeOrder();
  const say = makeVoice(writer);
  /** The id of `initialize`, until it is answered. */
  let beginning: unknown;

  const admits = (message: unknown): boolean => {
    if (!isRecord(message)) return say.error(null, invalid('A message is one JSON object.'));
    const { method, id, params } = message;
    // A response; of one that says nothing the connection knows what to make.
    if (method === undefined) return isId(id) || say.log('A message without a method and an id was ignored.');
    if (typeof method !== 'string' || (id !== undefined && !isId(id)))
      return say.error(id, invalid('The method is a string, and the id a string or a number.'));
    const wrong = faultOf(order, method, id !== undefined, params);
    if (wrong) {
      order.refused(method, params);
      if (id !== undefined) return say.error(id, wrong);
      return mayBeUnknown(method) ? false : say.log(wrong.message);
    }
    order.passed(method, params);
    if (method === 'initialize') beginning = id;
    return true;
  };

  return {
    isShutDown: order.isShutDown,
    reader: {
      onError: reader.onError,
      onClose: reader.onClose,
      onPartialMessage: reader.onPartialMessage,
      listen: (callback) => reader.listen((message) => void (admits(message) && callback(message))),
      dispose: () => reader.dispose(),
    },
    writer: {
      onError: writer.onError,
      onClose: writer.onClose,
      write(message) {
        if (beginning !== undefined && !('method' in message) && (message as ResponseMessage).id === beginning) {
          beginning = undefined;
          // The session has not begun after all, so that the client may try again.
          if ((message as ResponseMessage).error) order.notBegun();
        }
        return writer.write(message);
      },
      end: () => writer.end(),
      dispose: () => writer.dispose(),
    },
  };
}

/** What the gate itself says to the client; every answer is `false`: the message goes no further. */
function makeVoice(writer: MessageWriter) {
  let logged = 0;
  const write = (message: object): false => {
    writer.write({ jsonrpc: '2.0', ...message } as Message).catch(() => {
      // The client is gone, and does not miss it.
    });
    return false;
  };
  return {
    error: (id: unknown, error: MessageFault): false => write({ id: isId(id) ? id : null, error }),
    log(line: string): false {
      if (logged > MOST_LOGGED) return false;
      const message = logged++ < MOST_LOGGED ? line : 'There are more messages like these, which are not logged.';
      return write({ method: 'window/logMessage', params: { type: 1, message } });
    },
  };
}

function faultOf(order: Order, method: string, isRequest: boolean, params: unknown): MessageFault | null {
  const untimely = order.untimely(method, isRequest);
  if (untimely) return untimely;
  const shape = SHAPES.get(method);
  if (!shape) return { code: ErrorCodes.MethodNotFound, message: `Bookend has no method “${method.slice(0, 60)}”.` };
  const wrong = shape(params, 'params');
  if (wrong)
    return { code: ErrorCodes.InvalidParams, message: `${method} has another form than the protocol says: ${wrong}.` };
  return order.outOfStep(method, params);
}

const invalid = (message: string): MessageFault => ({ code: ErrorCodes.InvalidRequest, message });

const isId = (id: unknown): boolean => typeof id === 'string' || (typeof id === 'number' && Number.isFinite(id));

/** Notifications that a server may ignore without a word, as the protocol says. */
const mayBeUnknown = (method: string): boolean => method.startsWith('$/') && !SHAPES.has(method);
