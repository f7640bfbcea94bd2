/** JSON of every command, by convention: which fields of a row are written, under which keys; `document` does the rest. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { CatalogueEntry, PlanKey, Property } from '../catalogue/entries.ts';
import type { Finding } from '../finding.ts';
import { CRITERIA, type Criterion, criterionOf } from '../judge/criteria.ts';
import type { PartCoupling } from '../judge/edit-groups.ts';
import type { PartRow, ReadingsSummary } from '../judge/report.ts';
import type { MicRow } from '../judge/signal-to-bleed.ts';
import type { OverheadRow, SpotDelay, TimingRow } from '../judge/timing.ts';
import type { Range, Why, WhyBaffle, WhyEdge, WhyGain, WhyPair, WhyPath } from '../judge/why.ts';
import type { Candidate, Cause, Diagnosis, How } from '../line-check/diagnose.ts';
import type { Fitted } from '../line-check/fit.ts';
import type { FittedRow, LineCheck, ReadingName } from '../line-check/line-check.ts';
import type { Answer, RenderOptions, ToleranceSummary } from '../report/answer.ts';
import { byKind, type Cited, citedKeys } from '../report/catalogue.ts';
import type { Check, Place, PlacedFinding, PlacedLimit } from '../report/check.ts';
import { isMissed, outcomeOf } from '../report/check.ts';
import { limitSentence, regressionWords } from '../report/criteria.ts';
import type { ExplainedCode, ExplainedKey } from '../report/explain.ts';
import type { List, Sheet } from '../report/sheet.ts';
import { causeWords, EQUATIONS, hearingCaution } from '../report/words.ts';
import { rounded } from '../statistics.ts';
import type { ComparedRow, Comparison, Reached, Regression } from '../suggest/compare.ts';
import type { Helped, Improved, PlainAdvice, PlainSuggestion } from '../suggest/search.ts';
import { jsonText } from '../text.ts';
import { GAIN_KINDS } from '../transfer/trace.ts';

/**
 * Shape version 1 of a command, `shared/schemas/COMMAND.schema.json`: keys may be added within a version. Keys come in snake
 * case, numbers to 0.001, null for what is none or is absent, typed arrays as lists, `_ms` from seconds.
 */
const document = (command: string, shape: object): string =>
  `${jsonText(plain({ spillcheck: 1, command, ...shape }), 2)}\n`;

function plain(value: unknown, times = 1): unknown {
  if (typeof value === 'number') return thousandth(value * times);
  if (value === undefined || value === null || typeof value !== 'object') return value ?? null;
  if (Array.isArray(value)) return value.map((one) => plain(one, times));
  if (value instanceof Float64Array) return Array.from(value, thousandth);
  return Object.fromEntries(
    Object.entries(value).map(([key, one]) => [snakeCase(key), plain(one, key.endsWith('_ms') ? 1000 : 1)]),
  );
}

const snakeCase = (name: string): string => name.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** To 0.001; null for what is absent. */
export const thousandth = (value: number | null): number | null =>
  value === null || !Number.isFinite(value) ? null : rounded(value, 3);

/**
 * Writes a row under the keys listed, in their order. `level_db` reads the field `level`, `judged_bands_hz` reads `judgedBands`;
 * a field of another name follows its key: `position_m=at`. `parts` write the value of a field, or each value of its list;
 * null stays null.
 */
const writer =
  <Row extends object>(parts: Parts<Row> = {}) =>
  <const Keys extends string>(...lines: (Keys & Known<Row, Keys>)[]) => {
    const fields = lines
      .flatMap((line) => line.split(' '))
      .map((word) => {
        const [key = '', field = fieldOf(key)] = word.split('=');
        return { key, field: field as keyof Row };
      });
    return (row: Row): Record<string, unknown> =>
      Object.fromEntries(fields.map(({ key, field }) => [key, written(row[field], parts[field])]));
  };

const fieldOf = (key: string): string =>
  key.replace(/_(db|dba|m|m3|s|ms|hz|deg)$/, '').replace(/_(.)/g, (_, letter) => letter.toUpperCase());

type Unit = 'Db' | 'Dba' | 'M' | 'M3' | 'S' | 'Ms' | 'Hz' | 'Deg';

function written<Value>(value: Value, part: ((one: Item<Value>) => unknown) | undefined): unknown {
  if (!part || value === null || value === undefined) return value;
  return Array.isArray(value) ? value.map(part) : part(value as Item<Value>);
}

/** A row of a list of an answer. */
type Row<Key extends keyof Answer> = Item<Answer[Key]>;
type Item<Value> = NonNullable<Value> extends readonly (infer One)[] ? One : NonNullable<Value>;

type Parts<Row> = { readonly [Field in keyof Row]?: (one: Item<Row[Field]>) => unknown };

// The compiler holds every key against the fields of its row.

type Known<Row, Keys extends string> = [Unread<Row, Words<Keys>>] extends [never] ? unknown : never;

type Unread<Row, Key extends string> = Key extends `${string}=${infer Field}`
  ? Exclude<Field, keyof Row>
  : Camel<Key> extends (Camel<Key> extends `${string}${Unit}` ? `${keyof Row & string}${Unit}` : keyof Row)
    ? never
    : Key;

type Words<Line extends string> = Line extends `${infer Head} ${infer Rest}` ? Head | Words<Rest> : Line;

type Camel<Key extends string> = Key extends `${infer Head}_${infer Rest}`
  ? `${Head}${Capitalize<Camel<Rest>>}`
  : Key;

// What of an answer was measured: the same in every command.

const hertz = (layer: number | null): number | null =>
  layer === null ? null : (NOMINAL_BANDS[layer] ?? null);

/** Null where there is but one reading over all octaves. */
const octaves = (layers: readonly (number | null)[]) => (layers[0] === null ? null : layers.map(hertz));

const summary = writer<ReadingsSummary>({
  measured: ({ name, group, level, measuredAsOne }) => ({
    ...{ name, basis: 'measured', asOne: measuredAsOne, group },
    ...{ change_db: level.value, error_db: level.error },
  }),
  predicted: (name) => ({
    ...{ name, basis: 'predicted', asOne: false, group: null, change_db: null, error_db: null },
  }),
})(
  'files bands_hz=layers weighting readings=count near_noise=belowNoise spare_readings=degreesOfFreedom stand_out=outliers',
  'residual_rms_db=rms measured predicted',
);

function readingsSummary(readings: ReadingsSummary | null) {
  if (!readings) return null;
  const { measured, predicted, ...rest } = summary(readings);
  return { ...rest, bands_hz: octaves(readings.layers), levels: [measured, predicted].flat() };
}

// report

const level = writer<Item<MicRow['levels']>>()(
  'source level_db bands_db=byBand distance_m off_axis_deg wanted ignored judged_level_db shares',
);

const mic = writer<MicRow>({
  levels: (row) => ({ ...level(row), ...(row.judgedLevel === null && { shares: null }) }),
})(
  'name pair for position_m=at signal_db bleed_db signal_to_bleed_db signal_to_bleed_unweighted_db',
  'signal_to_direct_bleed_db limit_db margin_db verdict bleed_shares purpose room pattern passage',
  'signal_to_bleed_unfiltered_db judged_bands_hz limit_from remark screens_buy_at_most_db levels basis',
);

const part = writer<PartRow>({
  committed: ({ because }) => because,
  isolation: writer<PartRow['isolation']>()('signal_to_bleed_db mic limit_db margin_db verdict remark'),
})(
  'name later mics ghost_db ghost_limit_db=limit ghost_margin_db=margin ghost_verdict=verdict remark',
  'committed_because=committed most_in passage isolation replaceable basis',
);

const cut = writer<Answer['cut']>({
  groups: writer<Item<Answer['cut']['groups']>>({
    ties: writer<PartCoupling>()('between mic level_db shared'),
  })('parts mics ties sentence'),
})('groups free everyone sentence');

const spot = writer<SpotDelay>()('spot source late_ms samples');

const timing = writer<Answer['timing']>({
  rows: writer<TimingRow>({ align: writer<Item<TimingRow['align']>>()('mic by_ms') })(
    'part source own other level_db late_ms samples flipped ripple_db ripple_is_more=over notches_hz align',
  ),
  overheads: writer<OverheadRow>({
    spots: spot,
    snare: writer<Item<OverheadRow['snare']>>()('source nearer apart_m late_ms'),
  })('pair spots snare'),
})('sample_rate_hz combs=rows overheads');

const mainPair = writer<Row<'mainPairs'>>({
  parts: writer<Item<Row<'mainPairs'>['parts']>>()('part level_db direct_to_room_db angle_deg'),
  spots: spot,
})('name purpose stereo parts ensemble_deg recording_angle_deg fits spare_deg outside spots');

const hearing = writer<Answer['hearing']>({
  rows: writer<Item<Answer['hearing']['rows']>>()(
    'player listener whom passage level_dba ratio_db hears remark',
  ),
  limits: writer<Item<Answer['hearing']['limits']>>()(
    'player listener whom passage level_dba ratio_db margin_db verdict needs_cue remark',
  ),
})('rows limits');

const sight = writer<Answer['sight']>({
  rows: writer<Item<Answer['sight']['rows']>>()('players sees hidden_by'),
  limits: writer<Item<Answer['sight']['limits']>>()('players sees hidden_by verdict'),
})('rows limits');

const exposure = writer<Row<'exposure'>>({
  loudest: writer<Item<Row<'exposure'>['loudest']>>()('passage level_dba'),
})('player minutes_niosh=minutes minutes_osha level_dba loudest cue_level_dba margin_db verdict remark');

const input = writer<Row<'inputs'>>({
  peak: writer<Item<Row<'inputs'>['peak']>>()('level_db source wanted passage guessed'),
})(
  'mic peak pad signal_dba quietest_passage=quietest noise_dba over_noise_db self_noise_dba over_self_noise_db',
);

const tolerance = writer<ToleranceSummary>({
  rows: writer<Item<ToleranceSummary['rows']>>({
    causes: writer<Item<Item<ToleranceSummary['rows']>['causes']>>()('cause spread_db'),
  })('kind about p10_db p50_db p90_db limit_db limit_is holds causes'),
})('draws seed rows');

const report = writer<Answer>({
  rooms: writer<Row<'rooms'>>()(
    'name volume_m3 t60_sabine_s=sabine t60_eyring_s=eyring t60_measured_s=measured critical_distance_m',
    'schroeder_hz',
  ),
  mics: mic,
  pairs: (pair) => ({ ...mic(pair), capsules: pair.capsules }),
  lines: writer<Row<'lines'>>()('name for'),
  threeToOne: writer<Row<'threeToOne'>>()('mics ratio mic_to_mic_m mic_to_source_m margin_db verdict'),
  cautions: writer<Finding>()('code path message fix'),
  parts: part,
  cut,
  timing,
  mainPairs: mainPair,
  hearing,
  sight,
  cues: writer<Row<'cues'>>()('player listener wearing carries helps own_sound=himself'),
  phones: writer<Row<'phones'>>()(
    'player mic level_db leak_db passage audible cue_level_dba cue_level_guessed=guessed',
  ),
  exposure,
  inputs: input,
  now: (now) => (now === 'too large' ? null : now.suggestions.map(suggestion)),
  tolerances: tolerance,
  pitfalls: writer<Row<'pitfalls'>>()('kind about text fix path'),
  readings: readingsSummary,
})(
  'rooms mics pairs lines three_to_one cautions passage parts cut_together=cut timing main_pairs hearing sight cues',
  'headphone_leaks=phones exposure inputs what_to_do_now=now tolerance=tolerances pitfalls readings level_basis',
);

/** Whole, whatever sections a page would show. */
export function reportJson(
  answer: Answer,
  { listAssumptions }: Pick<RenderOptions, 'listAssumptions'>,
): string {
  const hearing = hearingCaution(answer);
  const safety: Finding[] =
    hearing === null ? [] : [{ code: 'WARNING', severity: 'warning', path: [], message: hearing }];
  return document('report', {
    title: answer.title,
    bands_hz: NOMINAL_BANDS,
    ...report({ ...answer, cautions: [...answer.cautions, ...safety] }),
    ...(listAssumptions && { assumptions: answer.assumptions.map(assumption) }),
  });
}

const assumption = writer<Row<'assumptions'>>()('path kind text');

// suggest

type Scored = Omit<PlainSuggestion, 'shortfall' | 'worst'> & { shortfall: number; worst: number | null };

const scored = writer<Scored>({
  helps: writer<Helped>()(
    'mic before_db before_basis=basis after_db unweighted_before_db unweighted_after_db',
  ),
  improves: writer<Improved>()('kind about before_db after_db'),
  costs: (one) => ({ kind: one.kind, about: one.about, sentence: regressionWords(one) }),
})('words moves=fixes minutes gain_db shortfall_db worst_margin_db=worst helps mends=improves price=costs');

/** Shortfall and worst margin are those after it. */
const suggestion = (one: PlainSuggestion) =>
  scored({ ...one, shortfall: one.shortfall[1], worst: one.worst[1] });

export function suggestJson(advice: PlainAdvice, readings: ReadingsSummary | null = null): string {
  const { title, margins, suggestions, more, tried, whole } = advice;
  const stands = { title, worst_margin_db: margins.worst, shortfall_db: margins.shortfall };
  const found = { suggestions: suggestions.map(suggestion), more, tried, whole };
  return document('suggest', { ...stands, ...found, readings: readingsSummary(readings) });
}

// why

const edge = writer<WhyEdge>()('side detour_m hidden wave_db');
const screen = writer<WhyBaffle>({ edges: edge })('panels where through_db past_db both_db=whole edges');

/** Least and most over a section's points: the same for a single one. */
const span = ({ from, to }: Range) => [from, to];

const path = writer<WhyPath>({
  length: span,
  delay: span,
  offAxis: span,
  offAim: span,
  gains: writer<WhyGain>()('gain=kind bands_db=byBand'),
  screens: screen,
  edges: edge,
})(
  'kind counts_as=share by of points share=fraction level_db bands_db=byBand length_m delay_ms off_axis_deg',
  'off_aim_deg gains screens edges',
);

const whyPair = writer<WhyPair>({ paths: path })(
  'mic pattern source role level_db bands_db=byBand judged_bands_hz filtered judged_level_db distance_m points',
  'shares schroeder_hz paths',
);

export function whyJson({ title, mic, source, line, pairs }: Why): string {
  const equations = GAIN_KINDS.map((gain) => ({ gain, ...EQUATIONS[gain] }));
  const asked = { title, bands_hz: NOMINAL_BANDS, mic, source, line };
  return document('why', { ...asked, pairs: pairs.map(whyPair), equations });
}

// line-check

const readingName = ({ source, channel, layer }: ReadingName) => ({ source, channel, band_hz: hertz(layer) });

const residual = writer<Item<LineCheck['residuals']>>()('residual_db sigma_db trust');

const fitted = (one: Fitted | null) => ({ value_db: one?.value ?? null, error_db: one?.error ?? null });

const fittedRow = ({ name, overall, byLayer, count }: FittedRow) => ({
  ...{ name, ...fitted(overall), bands: byLayer.map(fitted), heard: count },
});

const cause = writer<Cause>({
  how: (how: NonNullable<How>) => ('off' in how ? { off_db: how.off } : how),
})('kind about how');

const candidate = ({ cause: likeliest, others, score, after }: Candidate) => ({
  ...cause(likeliest),
  sentence: causeWords(likeliest),
  score,
  after_rms_db: after,
  or: others.map(cause),
});

const lineCheck = writer<LineCheck>({
  diagnosis: writer<Diagnosis>({ candidates: candidate })(
    'before_rms_db=before beyond_tolerance=beyond more_is_off=more tried days=sessions threshold suspects=candidates',
  ),
  sources: fittedRow,
  channels: fittedRow,
  bleed: writer<Item<LineCheck['bleed']>>()(
    'mic=name passage measured_db error_db predicted_db limit_db margin_db verdict lacks',
  ),
  residuals: (row) => ({ ...readingName(row), ...residual(row) }),
  belowNoise: readingName,
  notInPlan: readingName,
})(
  'bands_hz=layers weighting diagnosis sources channels groups signal_to_bleed=bleed spare_readings=degreesOfFreedom',
  'residual_rms_db=rms residuals drowned=belowNoise unforeseen=notInPlan passed_over=skipped',
  'read_as_one=measuredAsOne',
);

export const lineCheckJson = (check: LineCheck): string =>
  document('line-check', { title: check.title, ...lineCheck(check), bands_hz: octaves(check.layers) });

// compare

const reached = writer<Reached>()('figure verdict words basis');

const compared = ({ kind, about, reached: all, changes }: ComparedRow) => {
  const unit = CRITERIA.find(({ comparedAs }) => comparedAs === kind)?.unit;
  return { kind, about, unit, reached: all.map((one) => one && reached(one)), changes };
};

const worse = writer<Regression & { readonly sentence: string }>({ before: reached, after: reached })(
  'kind about plan before after sentence',
);

/** `losses` is null where nobody asked about regressions. */
export const compareJson = (
  { plans, mics, parts, people, entries }: Comparison,
  losses: readonly Regression[] | null,
  readings: ReadingsSummary | null = null,
): string =>
  document('compare', {
    plans,
    mics: mics.map(compared),
    parts: parts.map(compared),
    people: people.map(compared),
    entries,
    worse: losses?.map((one) => worse({ ...one, sentence: regressionWords(one) })),
    readings: readingsSummary(readings),
  });

// check

type Told = Criterion & Place & { unit: string | null; missed: boolean; sentence: string };

const limit = writer<Told>()(
  'kind about reached limit unit margin_db verdict missed basis sentence path file line column',
);

const fault = writer<PlacedFinding & Place>()('code message fix path file line column');

export function checkJson({ plans, strict }: Check): string {
  const told = (row: PlacedLimit) => {
    const also = {
      unit: criterionOf(row.kind).unit,
      missed: isMissed(row, strict),
      sentence: limitSentence(row),
    };
    return limit({ ...row, ...row.place, ...also });
  };
  return document('check', {
    strict,
    plans: plans.map((plan) => ({
      ...{ name: plan.name, title: plan.title, outcome: outcomeOf(plan, strict) },
      limits: plan.limits.map(told),
      faults: plan.faults.map((one) => fault({ ...one, ...one.place })),
      readings: readingsSummary(plan.readings),
    })),
  });
}

// sheet

const list = writer<List>({ columns: ({ head }) => head })('list=key title columns rows notes');

export const sheetJson = ({ title, lists }: Sheet): string =>
  document('sheet', { title, lists: lists.map(list) });

// catalogue

const property = ({ digits: _, rows, origins, ...one }: Property) => ({
  ...one,
  rows,
  origins: origins.map(({ of, origin }) => ({ of, ...origin })),
});

/** `all` is what the catalogue holds, `shown` what was asked for. */
export function catalogueJson(
  all: readonly CatalogueEntry[],
  shown: readonly CatalogueEntry[],
  planKeys: readonly PlanKey[],
  cited: Cited,
): string {
  return document('catalogue', {
    bands_hz: NOMINAL_BANDS,
    kinds: byKind(all).map(([kind, members]) => ({ kind, names: members.map(({ name }) => name) })),
    plan_keys: planKeys,
    entries: shown.map((entry) => ({ ...entry, properties: entry.properties.map(property) })),
    sources: citedKeys(shown, cited).map((key) => {
      const { cite = '', read, where, note } = cited.get(key) ?? {};
      return { key, cite, read: read ?? where, note };
    }),
  });
}

export const explainJson = (keys: readonly ExplainedKey[], codes: readonly ExplainedCode[]): string =>
  document('explain', {
    keys: keys.map((one) => ({ ...one, example: one.example.join('\n') })),
    codes: codes.map(({ example: { input, output }, ...rest }) => ({
      ...rest,
      example: { input: input.join('\n'), output: output.join('\n') },
    })),
  });
