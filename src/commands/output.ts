/** What a command says: its answer on a page of some width, written out or to a file, and what stands in its way. */
import { type Finding, usageError } from '../finding.ts';
import { sameFile, writeFile } from '../io/files.ts';
import { fileFinding, print, say, wantsColour, widthOf } from '../io/terminal.ts';
import { escapeControl, unknownName } from '../text.ts';

/** A file gets neither colour nor the terminal's width. */
export function pageOf({ output, all }: { readonly output: string; readonly all?: boolean }) {
  const { stdout, env } = process;
  const toScreen = output === '-';
  return {
    width: widthOf(toScreen ? stdout : {}, env),
    colour: toScreen && wantsColour(stdout, env),
    all: all === true,
  };
}

/** Writes an answer to a file, or to standard output for `-`. Exit code: 0 done, 2 not written, which has then been said. */
export async function deliver(answer: string, output: string): Promise<0 | 2> {
  const problem = await (output === '-' ? print(answer) : writeFile(output, answer));
  return problem ? refused(problem) : 0;
}

/** Whether an answer would take the place of a plan or of readings it is about; says so. */
export async function overwrites(inputs: readonly string[], outputs: readonly string[]): Promise<boolean> {
  const files = inputs.filter((name) => name !== '-');
  const output = outputs.find((name) => name !== '-' && files.some((input) => sameFile(input, name)));
  if (output === undefined) return false;
  const message = `${output} is the plan itself, which the answer would replace`;
  await refused(fileFinding(message, 'name another file for the answer'));
  return true;
}

/** Says what stands in the way where no place in a plan can be shown. The exit code. */
export async function refused(...findings: readonly Finding[]): Promise<2> {
  for (const finding of findings) await say(messageOf(finding));
  return 2;
}

export function messageOf({ code, message, fix }: Finding): string {
  const hint = fix === undefined ? '' : `  fix: ${escapeControl(fix)}\n`;
  return `spillcheck: ${code} ${escapeControl(message)}\n${hint}`;
}

/** What stands in the way where one of those asked for by an option is not among those known. */
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

/** An error of the command line, unless all is well with it. */
export const usageFault = (isWell: boolean, message: string, fix: string): Finding[] =>
  isWell ? [] : [usageError(message, fix)];
