/** `spillcheck compare`: plans side by side, and whether anything got worse. */
import type { Finding } from '../finding.ts';
import { compareJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { announce } from '../io/terminal.ts';
import { sessionOf } from '../judge/session.ts';
import { measuredLevels, withReadings } from '../line-check/measured-levels.ts';
import { compareView } from '../report/compare.ts';
import { movedSince, regressions, type Side, compare as sideBySide } from '../suggest/compare.ts';
import { deliver, overwrites, pageOf, refused, unknownIn, usageFault } from './output.ts';
import { type AnswerOptions, type OpenFile, open, readsTwice } from './pipeline.ts';
import { readReadings } from './readings.ts';

export type CompareOptions = AnswerOptions & {
  readonly noWorseThan?: string;
  readonly within: string;
  readonly readings: readonly string[];
};

/** Exit code: 0 done, 1 something is worse than in the plan that was named for it, 2 refused. */
export async function runCompare(files: readonly string[], options: CompareOptions): Promise<0 | 1 | 2> {
  const [bad] = faultsOf(files, options);
  if (bad) return refused(bad);
  if (await readsTwice(files.includes('-') ? ['-'] : [], options.readings)) return 2;
  if (await overwrites(files, [options.output])) return 2;
  const opened = await openAll(files, options);
  if (!opened) return 2;
  const readings = opened[0]?.readings ?? null;
  const comparison = sideBySide(sidesOf(opened));
  const base = options.noWorseThan === undefined ? -1 : files.indexOf(options.noWorseThan);
  const worse = base < 0 ? null : regressions(comparison, base, Number(options.within));
  const shown = options.json
    ? compareJson(comparison, worse, readings)
    : renderText(compareView(comparison, { all: options.all === true, worse, readings }), pageOf(options));
  const delivered = await deliver(shown, options.output);
  return delivered === 0 && worse && worse.length > 0 ? 1 : delivered;
}

/**
 * Every plan is read before anything is said of one, so that every fault is told in one run. Readings were made in the first:
 * what it measures goes for all of them. Null where a plan or readings were refused, which has been said.
 */
async function openAll(files: readonly string[], options: CompareOptions): Promise<OpenFile[] | null> {
  const { readings } = options;
  const plans = [];
  for (const file of files) plans.push(await open(file, { ...options, readings: [] }));
  const opened = plans.flatMap((plan) => plan ?? []);
  const [first] = opened;
  if (!first || opened.length < plans.length) return null;
  if (readings.length === 0) return opened;
  const read = await readReadings(readings, first.scene);
  if (!read) return null;
  const day = measuredLevels(first.scene, read);
  return opened.map((plan) => withReadings(plan, day, readings));
}

/** What a plan changes about a measured level comes on top of it. */
function sidesOf(opened: readonly OpenFile[]): Side[] {
  const done = announce(`${opened.length} plans …`);
  const sides = opened.map((plan): Side => {
    const scene = plan.readings ? movedSince(plan.scene, (opened[0] ?? plan).scene) : plan.scene;
    return { name: plan.from.name, tree: plan.tree, report: sessionOf({ ...plan, scene }).report };
  });
  done();
  return sides;
}

function faultsOf(files: readonly string[], { noWorseThan, within }: CompareOptions): Finding[] {
  const isNumber = /^\d+(\.\d+)?$/.test(within);
  const fromInput = files.filter((file) => file === '-').length;
  return [
    ...usageFault(files.length >= 2, 'compare needs two plans or more', 'name another plan'),
    ...usageFault(fromInput < 2, 'standard input can be one of the plans alone', 'name a file for the other'),
    ...unknownIn('--no-worse-than', 'plan compared', [noWorseThan], files),
    ...usageFault(isNumber, `--within: ${within} is no number of dB`, 'write a number such as 0.1'),
  ];
}
