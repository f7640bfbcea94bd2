/** Output of commands: answers to standard output or a file, and errors. */
import { type Finding, usageError } from '../finding.ts';
import { isInput, type Onto, overwriting, writeFile } from '../io/files.ts';
import { print, say, wantsColour, widthOf } from '../io/terminal.ts';
import { escapeControl, unknownName } from '../text.ts';

/** Width and colour of the terminal; a file gets neither. */
export function pageOf({ output, all }: { readonly output: string; readonly all?: boolean }) {
  const { stdout, env } = process;
  const toScreen = output === '-';
  return {
    width: widthOf(toScreen ? stdout : {}, env),
    colour: toScreen && wantsColour(stdout, env),
    all: all === true,
  };
}

/** Writes an answer to a file, or to standard output for `-`. Exit code: 0 done, 2 not written, with a message. */
export async function deliver(answer: string, output: string, onto: Onto = 'any'): Promise<0 | 2> {
  const problem = await (output === '-' ? print(answer) : writeFile(output, answer, onto));
  return problem ? refused(problem) : 0;
}

/** Whether an output is a file that was read: known before there is an answer to write. If so, reports it. */
export async function overwrites(outputs: readonly string[]): Promise<boolean> {
  const output = outputs.find((name) => name !== '-' && isInput(name));
  if (output === undefined) return false;
  await refused(overwriting(output));
  return true;
}

/** Reports errors that have no place in a plan. Returns the exit code. */
export async function refused(...findings: readonly Finding[]): Promise<2> {
  for (const finding of findings) await say(messageOf(finding));
  return 2;
}

export function messageOf({ code, message, fix }: Finding): string {
  const hint = fix === undefined ? '' : `  fix: ${escapeControl(fix)}\n`;
  return `spillcheck: ${code} ${escapeControl(message)}\n${hint}`;
}

/** An error if a name given to an option is unknown. */
export function unknownIn(
  option: string,
  what: string,
  asked: readonly (string | undefined)[],
  known: readonly (string | { readonly name: string })[],
): Finding[] {
  const names = known.map((one) => (typeof one === 'string' ? one : one.name));
  const name = asked.find((one) => one !== undefined && !names.includes(one));
  return name === undefined ? [] : [unknownName(option, { what, name, known: names })];
}

/** What `--within` may be. */
export const withinFaults = (within: string): Finding[] =>
  usageFault(
    /^\d+(\.\d+)?$/.test(within),
    `--within ${within} is not a number of dB`,
    'write a number such as 0.1',
  );

/** A usage error unless a condition holds. */
export const usageFault = (isWell: boolean, message: string, fix: string): Finding[] =>
  isWell ? [] : [usageError(message, fix)];
