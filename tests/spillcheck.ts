/** The built command line without the price of starting it: one process stays warm and runs what the tests ask. */
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { MessageChannel, receiveMessageOnPort, Worker } from 'node:worker_threads';

export type CommandResult = {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
};

type Circumstances = {
  readonly cwd?: string;
  /** All variables of its environment; those of the tests where none are given. */
  readonly env?: Readonly<Record<string, string | undefined>>;
  readonly input?: string | Uint8Array;
};

/** No command of a test takes as long, ms: it hangs. */
const PATIENCE = 900_000;

type Warm = (question: unknown) => CommandResult;

function warm(): Warm {
  const { port1, port2 } = new MessageChannel();
  const answered = new Int32Array(new SharedArrayBuffer(4));
  const worker = new Worker(pathToFileURL(resolve('tests/warm-process.js')), {
    workerData: { port: port2, answered },
    transferList: [port2],
  });
  worker.unref();
  port1.unref();
  return (question) => {
    Atomics.store(answered, 0, 0);
    port1.postMessage(question);
    Atomics.wait(answered, 0, 0, PATIENCE);
    const answer = receiveMessageOnPort(port1);
    if (!answer) throw new Error('the warm process gave no answer');
    return answer.message;
  };
}

let ask: Warm | null = null;

/** What `spillcheck ARGS` says and exits with: what `spawnSync` would return, for all that is not about the process itself. */
export function spillcheck(args: readonly string[], { cwd, env, input }: Circumstances = {}): CommandResult {
  ask ??= warm();
  return ask({ args, cwd: cwd ?? process.cwd(), env: env && { ...env }, input: input ?? '' });
}
