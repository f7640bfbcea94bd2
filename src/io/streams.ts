/** Standard output and standard error. A reader that leaves early (`| head`) is no error. */
import type { Finding } from '../finding.ts';
import { visibleLines } from '../plan/visible.ts';
import { unwritable } from './refusal.ts';

/** To be called once, before anything is written: without it a closed pipe ends in a stack trace. */
export function tolerateClosedPipes(): void {
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => {});
}

/** Goes before each answer. */
let before = '';

/** From now on a terminal shows each answer alone, in place of the one before. */
export function clearBeforeAnswers(): void {
  if (process.stdout.isTTY && process.env.TERM !== 'dumb') before = '\u001b[2J\u001b[H';
}

/** Writes the answer; resolves when it has drained or nobody reads any more, with what went wrong otherwise. */
export const print = (text: string): Promise<Finding | null> =>
  write(process.stdout, 'standard output', before + text);

/** Talk: findings, progress. Never part of the answer. */
export const say = (text: string): Promise<Finding | null> => write(process.stderr, 'standard error', text);

/** What the argument parser says, and what went wrong in us: it may repeat what was typed, or what a plan says. */
export const sayHarmless = (text: string): Promise<Finding | null> => say(visibleLines(text));

function write(stream: NodeJS.WriteStream, name: string, text: string): Promise<Finding | null> {
  return new Promise((done) => {
    stream.write(text, (error) => done(error && !isClosedPipe(error) ? unwritable(name, error) : null));
  });
}

const isClosedPipe = (error: Error): boolean => 'code' in error && error.code === 'EPIPE';
