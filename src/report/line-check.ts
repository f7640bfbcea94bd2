/** Readings against the plan: likely faults, levels and gains, signal to bleed, and uncertainty. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Candidate } from '../line-check/diagnose.ts';
import type { FittedRow, LineCheck } from '../line-check/line-check.ts';
import type { Layer } from '../line-check/readings.ts';
import { figure } from '../text.ts';
import type { Column, Section, View, Words } from './view.ts';
import { names, numbers, prose, table, words } from './view.ts';
import { causeWords, counted, figureOr, hertzName, howWords, round, signed, verdictCell } from './words.ts';

export function lineCheckView(check: LineCheck, { all }: { readonly all: boolean }): View {
  const levels = fitted('Levels', 'source', check.sources, { what: 'vs plan', by: 'mics' });
  const channels = fitted('Channels', 'channel', check.channels, { what: 'gain', by: 'sources' });
  return {
    title: check.title,
    lead: verdict(check),
    sections: [
      ...suspected(check),
      ...[levels, channels, measuredBleed(check), outlierSection(check, all), unsure(check, all)],
    ],
  };
}

const fitted = (
  title: string,
  who: string,
  rows: readonly FittedRow[],
  { what, by }: Record<'what' | 'by', string>,
): Section => ({
  id: title.toLowerCase(),
  title,
  blocks: table(title, rows, [
    names(who, ({ name }) => name),
    numbers(`${what}, dB`, ({ overall }) => (overall ? signed(overall.value, 1) : 'unknown')),
    numbers('±', ({ overall }) => (overall ? figure(overall.error, 1) : '')),
    numbers(by, ({ count }) => String(count)),
  ]),
});

/** Residuals that the fit set aside, greatest first. */
const ASIDE = 0.5;
const MOST = 8;

function outlierSection({ residuals }: LineCheck, all: boolean): Section {
  const outliers = residuals
    .filter(({ trust }) => trust < ASIDE)
    .sort((a, b) => Math.abs(b.residual) - Math.abs(a.residual));
  const shown = all ? outliers : outliers.slice(0, MOST);
  const left = outliers.length - shown.length;
  const title = 'Outliers (down-weighted)';
  const columns = [
    names('source', ({ source }) => source),
    names('channel', ({ channel }) => channel),
    numbers('octave', ({ layer }) => layerName(layer)),
    numbers('residual, dB', ({ residual }) => signed(residual, 1)),
  ] satisfies Column<(typeof outliers)[number]>[];
  const rest = left > 0 ? { text: `${left} more`, ask: '--all' } : null;
  return { id: 'outliers', title, blocks: table(title, shown, columns, { rest }) };
}

const layerName = (layer: Layer): string => (layer === null ? 'all' : hertzName(NOMINAL_BANDS[layer] ?? 0));

function unsure(check: LineCheck, all: boolean): Section {
  const { groups, belowNoise, notInPlan, skipped, sources, measuredAsOne } = check;
  const apart = groups.map(({ sources: who, channels }) => `${who.join(', ')} at ${channels.join(', ')}`);
  const once = sources.filter(({ count }) => count === 1).map(({ name }) => name);
  const lines = [
    'Levels are relative; absolute level is not determined. Set so the median source matches the plan.',
    groups.length > 1 && `Not linked by any reading, so not comparable: ${apart.join('; ')}.`,
    measuredAsOne.length > 0 && `${measuredAsOne.join(', ')}: measured as one; pieces not separated.`,
    once.length > 0 && `Measured at one mic only, so unverified: ${once.join(', ')}.`,
    belowNoise.length > 0 &&
      `${counted(belowNoise.length, 'reading')} below noise, not used: ${namesOf(belowNoise, all)}.`,
    notInPlan.length > 0 &&
      `${counted(notInPlan.length, 'reading')} where the plan predicts no sound: ${namesOf(notInPlan, all)}.`,
    skipped.length > 0 && `DIs have no bleed and are skipped: ${skipped.join(', ')}.`,
  ];
  return { id: 'uncertainty', title: 'Uncertainty', blocks: prose('notes', lines) };
}

function namesOf(readings: LineCheck['belowNoise'], all: boolean): string {
  const pairs = [...new Set(readings.map(({ source, channel }) => `${source} at ${channel}`))];
  const shown = all ? pairs : pairs.slice(0, MOST);
  return shown.join(', ') + (pairs.length > shown.length ? ` and ${pairs.length - shown.length} more` : '');
}

/** Whether the plan fits the readings, or a fault explains them better. */
function verdict(check: LineCheck): string[] {
  const { diagnosis, sources, channels, residuals, layers } = check;
  const octaves = layers[0] === null ? '' : ' by octave';
  const count = `${counted(sources.length, 'source')} at ${counted(channels.length, 'channel')}, ${counted(residuals.length, 'reading')}${octaves}.`;
  const [first] = diagnosis.candidates;
  return [count, first ? explained(check, first) : unexplained(check)];
}

function unexplained({ diagnosis: { before, beyond, tried }, layers, degreesOfFreedom }: LineCheck): string {
  if (degreesOfFreedom === 0)
    return 'Too few readings to check the plan: levels and gains use them all. Measure at more mics.';
  const residual = `residual ${figure(before, 1)} dB rms`;
  if (!beyond)
    return `Readings fit the plan within tolerance (${residual}). No fault found (${tried} tested).`;
  const more = layers[0] === null ? ' Readings by octave would show more.' : '';
  return `Readings do not fit the plan: ${residual}, more than tolerance explains. No fault found that explains it (${tried} tested).${more}`;
}

function explained({ diagnosis: { candidates, before } }: LineCheck, { after }: Candidate): string {
  const set =
    candidates.length === 1
      ? 'Most likely fault'
      : 'Most likely faults, which these readings cannot tell apart';
  return `${set} (residual ${figure(before, 1)} dB rms before, ${figure(after, 1)} dB with the first):`;
}

function suspected(check: LineCheck): Section[] {
  const { candidates } = check.diagnosis;
  if (candidates.length === 0) return [];
  const blocks = [...prose('list', candidates.map(suspectWords)), ...prose('remarks', [evidence(check)])];
  return [{ id: 'suspects', title: '', joined: true, blocks }];
}

/** Other patterns, angles or distances that do as well, of which so many are shown. */
const MOST_ALSO = 3;

function suspectWords({ cause, others, after }: Candidate): Words {
  const also = [...new Set(others.map(({ how }) => howWords(how)))].filter(
    (one) => one !== '' && one !== howWords(cause.how),
  );
  const more = also.length > MOST_ALSO ? ' and the like' : '';
  const rest = also.length === 0 ? '' : ` (or ${also.slice(0, MOST_ALSO).join(', ')}${more})`;
  return { text: `${causeWords(cause)}${rest}: residual ${figure(after, 1)} dB rms`, is: 'marginal' };
}

function evidence({ diagnosis: { candidates, tried, sessions, threshold, more } }: LineCheck): string {
  const score = figure(candidates[0]?.score ?? 0, 1);
  const scored = `Score ${score} (false-alarm threshold ${figure(threshold, 1)}, at 2%; ${tried} tested, ${sessions} sessions simulated).`;
  return more
    ? `${scored} The residual is still more than tolerance explains: look for a second one.`
    : scored;
}

/** S/B straight from the readings, and the mics where it cannot be measured. */
function measuredBleed({ bleed, layers }: LineCheck): Section {
  const over = layers[0] === null ? ' over all octaves' : '';
  const rows = bleed
    .filter(({ measured }) => measured !== null)
    .sort((a, b) => (a.margin ?? 0) - (b.margin ?? 0));
  const lost = bleed.filter(({ measured }) => measured === null);
  const title = `Measured signal to bleed${over}, worst first (gains cancel)`;
  const measured = table(title, rows, [
    names('mic', ({ name }) => name),
    numbers('measured', (row) => figureOr(row.measured, 1, '')),
    numbers('±', ({ error }) => figureOr(error, 1, '')),
    numbers('plan', ({ predicted }) => figureOr(predicted, 1, 'none')),
    numbers('limit', ({ limit }) => round(limit)),
    words('verdict', (row) => verdictCell(row)),
  ]);
  const without = lost.map(({ name, lacks }) => `${name}: not measured (no reading of ${lacks.join(', ')})`);
  return { id: 'signal-to-bleed', title, blocks: [...measured, ...prose('statements', without)] };
}
