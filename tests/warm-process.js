/**
 * The built command line kept warm: a worker that passes what is asked to one process, which runs command after command, each
 * as if it had been started for it alone.
 */
import { fork } from 'node:child_process';
import { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { isMainThread, workerData } from 'node:worker_threads';

const CLI = new URL('../dist/cli.js', import.meta.url).href;

if (isMainThread) answer();
else passOn(workerData);

/** In the worker: one question at a time; `answered` wakes whoever waits for it. */
function passOn({ port, answered }) {
  const child = fork(fileURLToPath(import.meta.url), [], { stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
  const reply = (answer) => {
    port.postMessage(answer);
    Atomics.store(answered, 0, 1);
    Atomics.notify(answered, 0);
  };
  child.on('message', reply);
  child.on('exit', (code) =>
    reply({ status: null, stdout: '', stderr: `the warm process ended with ${code}` }),
  );
  port.on('message', (question) => child.send(question));
}

/** In the process: a command is the file that the program starts with, loaded anew each time. */
function answer() {
  const started = { ...process.env };
  let count = 0;
  process.on('message', async ({ args, cwd, env, input }) => {
    process.chdir(cwd);
    for (const name of Object.keys(process.env)) delete process.env[name];
    Object.assign(process.env, env ?? started);
    process.argv = [process.execPath, CLI, ...args];
    process.exitCode = undefined;
    const stdin = Readable.from([Buffer.from(input)]);
    Object.defineProperty(process, 'stdin', { value: stdin, configurable: true });
    const [out, err] = [process.stdout, process.stderr].map(taken);
    let thrown = '';
    await import(`${CLI}?${count++}`).catch((error) => {
      thrown = String(error?.stack ?? error);
    });
    const said = { stdout: out(), stderr: err() + thrown };
    process.send({ status: thrown ? 1 : Number(process.exitCode ?? 0), ...said });
  });
}

/** Keeps what is written to a stream; returns what gives it back with all that was written. */
function taken(stream) {
  const { write } = stream;
  const chunks = [];
  stream.removeAllListeners('error');
  stream.write = (chunk, encoding, done) => {
    chunks.push(Buffer.from(chunk));
    const called = typeof encoding === 'function' ? encoding : done;
    if (called) process.nextTick(called);
    return true;
  };
  return () => {
    stream.write = write;
    return Buffer.concat(chunks).toString('utf8');
  };
}
