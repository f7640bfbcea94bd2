/** `spillcheck report`: what reaches every microphone of a plan, judged and shown. */
import type { Finding } from '../finding.ts';
import { wantsColour, widthOf } from '../io/terminal.ts';
import { nearestName } from '../plan/nearest.ts';
import { formats } from '../render/formats.ts';
import { micNames, onlyMics } from '../render/only-mics.ts';
import type { RenderOptions } from '../render/options.ts';
import type { Assumption } from '../scene/notes.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { judgePlan } from './judge-plan.ts';
import { refuse } from './refuse.ts';

export type ReportOptions = {
  readonly mic: readonly string[];
  readonly all?: true;
  readonly bands?: true;
  readonly assumptions?: true;
  readonly json?: true;
  readonly output: string;
  readonly stdinName: string;
};

/** Exit code: 0 done, 2 refused. */
export async function report(file: string, options: ReportOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const judged = await judgePlan(file, file === '-' ? options.stdinName : file);
  if (!judged) return 2;
  const stranger = unknownMic(options.mic, micNames(judged.report));
  if (stranger) {
    await refuse(stranger);
    return 2;
  }
  const format = formats[options.json ? 'json' : 'text'];
  const shown = format(onlyMics(judged.report, options.mic), pageOf(options, judged.assumptions));
  return deliver(shown, options.output);
}

function unknownMic(asked: readonly string[], known: readonly string[]): Finding | null {
  const name = asked.find((one) => !known.includes(one));
  if (name === undefined) return null;
  const message = `--mic: there is no microphone "${name}"`;
  const near = nearestName(name, known);
  const mend = near === null ? `there are ${known.join(', ') || 'none'}` : `did you mean "${near}"?`;
  return { code: 'UNKNOWN_NAME', severity: 'error', path: [], message, mend };
}

/** A file gets neither colour nor the terminal's width. */
function pageOf(options: ReportOptions, assumptions: readonly Assumption[]): RenderOptions {
  const { stdout, env } = process;
  const screen = options.output === '-' ? stdout : {};
  return {
    width: widthOf(screen, env),
    colour: options.output === '-' && wantsColour(stdout, env),
    bands: options.bands === true,
    all: options.all === true,
    assumptions,
    listAssumptions: options.assumptions === true,
  };
}
