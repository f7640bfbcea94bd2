/** Readings against the plan: what would explain them, levels and gains, signal to bleed, and what is not sure. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Candidate } from '../line-check/diagnose.ts';
import type { FittedRow, LineCheck } from '../line-check/line-check.ts';
import type { Layer } from '../line-check/readings.ts';
import { figure } from '../text.ts';
import type { Column, Section, View, Words } from './view.ts';
import { names, numbers, prose, table, words } from './view.ts';
import { causeWords, counted, figureOr, hertzName, howWords, round, signed, verdictCell } from './words.ts';

export function lineCheckView(check: LineCheck, { all }: { readonly all: boolean }): View {
  const levels = fitted('Levels', 'source', check.sources, { what: 'against the plan', by: 'heard by' });
  const channels = fitted('Channels', 'channel', check.channels, { what: 'gain', by: 'heard' });
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
    numbers(`${what}, dB`, ({ overall }) => (overall ? signed(overall.value, 1) : 'not known')),
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
  const title = 'Readings that stand out (they count little in the fit)';
  const columns = [
    names('source', ({ source }) => source),
    names('channel', ({ channel }) => channel),
    numbers('octave', ({ layer }) => layerName(layer)),
    numbers('off by, dB', ({ residual }) => signed(residual, 1)),
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
    'Levels are in relation to one another: one amount common to all could as well be in the gains. It is taken such that the median source is as the plan has it.',
    groups.length > 1 && `Nothing links ${apart.join('; nor ')}: between these no levels can be compared.`,
    measuredAsOne.length > 0 &&
      `Read as one, so that what sounds in it cannot be told apart: ${measuredAsOne.join(', ')}.`,
    once.length > 0 &&
      `Heard by one microphone only, so that nothing checks the reading: ${once.join(', ')}.`,
    belowNoise.length > 0 &&
      `${counted(belowNoise.length, 'reading')} too near to the noise to be used: ${namesOf(belowNoise, all)}.`,
    notInPlan.length > 0 &&
      `${counted(notInPlan.length, 'reading')} where the plan has no sound arrive: ${namesOf(notInPlan, all)}.`,
    skipped.length > 0 && `Direct lines hear nothing by air and are passed over: ${skipped.join(', ')}.`,
  ];
  return { id: 'uncertainty', title: 'Not sure about', blocks: prose('notes', lines) };
}

function namesOf(readings: LineCheck['belowNoise'], all: boolean): string {
  const pairs = [...new Set(readings.map(({ source, channel }) => `${source} at ${channel}`))];
  const shown = all ? pairs : pairs.slice(0, MOST);
  return shown.join(', ') + (pairs.length > shown.length ? ` and ${pairs.length - shown.length} more` : '');
}

/** What readings say of the plan: that it fits, or that something would explain them better. */
function verdict(check: LineCheck): string[] {
  const { diagnosis, sources, channels, residuals, layers } = check;
  const octaves = layers[0] === null ? '' : ' by octave';
  const count = `${counted(sources.length, 'source')} at ${counted(channels.length, 'channel')}, ${counted(residuals.length, 'reading')}${octaves}.`;
  const [first] = diagnosis.candidates;
  return [count, first ? explained(check, first) : unexplained(check)];
}

function unexplained({ diagnosis: { before, beyond, tried }, layers, degreesOfFreedom }: LineCheck): string {
  if (degreesOfFreedom === 0)
    return 'Levels and gains take all of them: nothing is left that could be held against the plan. Read more microphones.';
  const left = `with ${figure(before, 1)} dB rms left that neither levels nor gains explain`;
  if (!beyond)
    return `They fit the plan within its tolerance, ${left}. No single cause of ${tried} tried is called for.`;
  const more = layers[0] === null ? ' Readings by octave would tell more.' : '';
  return `They do not fit the plan, ${left}: more than its tolerance makes likely. No single cause of ${tried} tried explains it well enough to be named.${more}`;
}

function explained({ diagnosis: { candidates, before } }: LineCheck, { after }: Candidate): string {
  const set =
    candidates.length === 1
      ? 'This explains the readings better than the plan does'
      : 'Each of these explains the readings better than the plan does, and they cannot be told apart by them';
  return `${set} (${figure(before, 1)} dB rms left before, ${figure(after, 1)} dB with the likeliest):`;
}

function suspected(check: LineCheck): Section[] {
  const { candidates } = check.diagnosis;
  if (candidates.length === 0) return [];
  const blocks = [...prose('list', candidates.map(suspectWords)), ...prose('remarks', [evidence(check)])];
  return [{ id: 'suspects', title: '', joined: true, blocks }];
}

function suspectWords({ cause, others, after }: Candidate): Words {
  const also = [...new Set(others.map(({ how }) => howWords(how)))].filter(
    (one) => one !== '' && one !== howWords(cause.how),
  );
  const rest = also.length === 0 ? '' : ` (or ${also.join(', ')})`;
  return { text: `${causeWords(cause)}${rest}: ${figure(after, 1)} dB rms left`, is: 'marginal' };
}

function evidence({ diagnosis: { candidates, tried, sessions, threshold, more } }: LineCheck): string {
  const score = figure(candidates[0]?.score ?? 0, 1);
  const scored = `Score ${score}, where the best of ${tried} causes reaches ${figure(threshold, 1)} on 2 of 100 days within the tolerance (${sessions} drawn).`;
  return more
    ? `${scored} What is left is still more than the tolerance makes likely: look for something else as well.`
    : scored;
}

/** S/B straight from the readings, and for which microphones it is not to be had. */
function measuredBleed({ bleed, layers }: LineCheck): Section {
  const over = layers[0] === null ? ' over all octaves' : '';
  const rows = bleed
    .filter(({ measured }) => measured !== null)
    .sort((a, b) => (a.margin ?? 0) - (b.margin ?? 0));
  const lost = bleed.filter(({ measured }) => measured === null);
  const title = `Signal to bleed as measured${over}, worst first (gains cancel)`;
  const measured = table(title, rows, [
    names('mic', ({ name }) => name),
    numbers('measured', (row) => figureOr(row.measured, 1, '')),
    numbers('±', ({ error }) => figureOr(error, 1, '')),
    numbers('plan', ({ predicted }) => figureOr(predicted, 1, 'none')),
    numbers('limit', ({ limit }) => round(limit)),
    words('verdict', (row) => verdictCell(row)),
  ]);
  const without = lost.map(({ name, lacks }) => `${name}: not measured, without ${lacks.join(', ')}`);
  return { id: 'signal-to-bleed', title, blocks: [...measured, ...prose('statements', without)] };
}
