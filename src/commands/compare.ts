/** `spillcheck compare`: plans side by side, and whether anything got worse. */

import { type Finding, usageError } from '../finding.ts';
import { compareJson } from '../format/json.ts';
import { announce, wantsColour, widthOf } from '../io/terminal.ts';
import { judge } from '../judge/judge.ts';
import type { ToldReadings } from '../judge/report.ts';
import { laidOver } from '../line-check/day.ts';
import { compareText } from '../report/compare.ts';
import type { Scene } from '../scene/scene.ts';
import { movedSince, type Side, compare as sideBySide, worseThan } from '../suggest/compare.ts';
import { meant } from '../text.ts';
import { transfer } from '../transfer/transfer.ts';
import {
  dayFrom,
  deliver,
  openPlan,
  overwritesPlan,
  type PlanOptions,
  planFile,
  readsTwice,
  refuse,
} from './pipeline.ts';

export type CompareOptions = PlanOptions & {
  readonly noWorseThan?: string;
  readonly within: string;
  readonly all?: true;
  readonly readings: readonly string[];
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 1 something is worse than in the plan that was named for it, 2 refused. */
export async function runCompare(files: readonly string[], options: CompareOptions): Promise<0 | 1 | 2> {
  const bad = badUsage(files, options);
  if (bad) {
    await refuse(bad);
    return 2;
  }
  if (await readsTwice(files.includes('-') ? ['-'] : [], options.readings)) return 2;
  for (const file of files) if (await overwritesPlan(file, options.output)) return 2;
  const measured = await sidesOf(files, options);
  if (!measured) return 2;
  const { sides, readings } = measured;
  const comparison = sideBySide(sides);
  const base = options.noWorseThan === undefined ? -1 : files.indexOf(options.noWorseThan);
  const worse = base < 0 ? null : worseThan(comparison, base, Number(options.within));
  const shown = options.json
    ? compareJson(comparison, worse, readings)
    : compareText(comparison, worse, { ...pageOf(options), readings });
  const delivered = await deliver(shown, options.output);
  return delivered === 0 && worse && worse.length > 0 ? 1 : delivered;
}

type Measured = { readonly sides: readonly Side[]; readonly readings: ToldReadings | null };

/**
 * All are read before anything is said of one, so that every fault is told in one run. Readings were made in the first: what
 * it measures goes for all of them, and what another plan changes about a level comes on top.
 */
async function sidesOf(files: readonly string[], options: CompareOptions): Promise<Measured | null> {
  const { readings } = options;
  const plans = [];
  for (const file of files) plans.push(await openPlan(planFile(file, options)));
  const open = plans.flatMap((plan) => plan ?? []);
  if (open.length < plans.length) return null;
  const [first] = open;
  const day = first && readings.length > 0 ? await dayFrom(readings, first.scene) : null;
  if (readings.length > 0 && !day) return null;
  const done = announce(`${open.length} plans …`);
  const laid = open.map(({ scene }) => (day ? laidOver(scene, day) : scene));
  const scenes = laid.map((scene) => (day ? movedSince(scene, laid[0] ?? scene) : scene));
  const sides = open.map(({ from, tree }, i) => {
    const scene = scenes[i] as Scene;
    return { name: from.name, tree, report: judge(scene, transfer(scene)) };
  });
  done();
  return { sides, readings: day && { ...day.told, files: readings } };
}

function badUsage(files: readonly string[], { noWorseThan, within }: CompareOptions): Finding | null {
  if (files.length < 2) return usageError('compare needs two plans or more', 'name another plan');
  if (files.filter((file) => file === '-').length > 1)
    return usageError('standard input can be one of the plans alone', 'name a file for the other');
  if (noWorseThan !== undefined && !files.includes(noWorseThan)) {
    const [near = files[0]] = meant(noWorseThan, files);
    return usageError(`--no-worse-than: ${noWorseThan} is none of the plans compared`, `write ${near}`);
  }
  return /^\d+(\.\d+)?$/.test(within)
    ? null
    : usageError(`--within: ${within} is no number of dB`, 'write a number such as 0.1');
}

/** A file gets neither colour nor the terminal's width. */
function pageOf({ output, all }: CompareOptions) {
  const { stdout, env } = process;
  return {
    width: widthOf(output === '-' ? stdout : {}, env),
    colour: output === '-' && wantsColour(stdout, env),
    all: all === true,
  };
}
