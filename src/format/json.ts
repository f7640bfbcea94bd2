/** JSON of every command: which fields of a row are written under which keys; `document` applies the conventions. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { CatalogueEntry, Property } from '../catalogue/entries.ts';
import type { Finding } from '../finding.ts';
import type { Conclusion } from '../judge/conclusion.ts';
import { CRITERIA, type Criterion, criterionOf } from '../judge/criteria.ts';
import type { PartCoupling } from '../judge/edit-groups.ts';
import type { GuessedFacing } from '../judge/facings.ts';
import type { Guess } from '../judge/guesses.ts';
import type { CueNeed } from '../judge/hearing.ts';
import { MODEL, type PartRow, type ReadingsSummary } from '../judge/report.ts';
import type { LevelRow, MicRow } from '../judge/signal-to-bleed.ts';
import type { OverheadRow, SpotDelay, TimingRow } from '../judge/timing.ts';
import type { Range, Why, WhyBaffle, WhyEdge, WhyGain, WhyPair, WhyPath } from '../judge/why.ts';
import type { Candidate, Cause, Diagnosis, How } from '../line-check/diagnose.ts';
import type { Fitted } from '../line-check/fit.ts';
import type { FittedRow, LineCheck, ReadingName } from '../line-check/line-check.ts';
import type { Concept } from '../plan/concepts.ts';
import { METRES } from '../plan/units.ts';
import type { AverageDecay, DecayTimes, OctaveDecay } from '../recording/decay.ts';
import type { Answer, RenderOptions, ToleranceSummary } from '../report/answer.ts';
import { byKind, type Cited, citedKeys } from '../report/catalogue.ts';
import type { Check, Former, Place, PlacedFinding, PlacedLimit } from '../report/check.ts';
import { isMissed, outcomeOf } from '../report/check.ts';
import { limitSentence, regressionWords } from '../report/criteria.ts';
import type { Decay } from '../report/decay.ts';
import type { ExplainedCode, ExplainedKey } from '../report/explain.ts';
import { conclusionWords } from '../report/lead.ts';
import type { SuggestPage } from '../report/moves.ts';
import type { List, Sheet } from '../report/sheet.ts';
import { causeWords, EQUATIONS, hearingCaution, warningsOf } from '../report/words.ts';
import { rounded } from '../statistics.ts';
import type { Helped, Improved, PlainAdvice, PlainSuggestion } from '../suggest/advice.ts';
import type { ComparedRow, Comparison, Reached, Regression } from '../suggest/compare.ts';
import type { AssignmentInFull, RoomMove, RoomsTable, Score } from '../suggest/rooms.ts';
import type { Schedule } from '../suggest/schedule.ts';
import type { OutOfReach } from '../suggest/search.ts';
import { jsonText } from '../text.ts';
import { GAIN_KINDS } from '../transfer/trace.ts';

/**
 * Shape version 1 of a command, `shared/schemas/COMMAND.schema.json`; keys may be added within a version. Keys in snake case,
 * numbers to 0.001, null for absent or infinite values, typed arrays as lists, `_ms` from seconds.
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

// The compiler checks every key against the fields of its row.

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

const hertz = (layer: number | null): number | null =>
  layer === null ? null : (NOMINAL_BANDS[layer] ?? null);

/** Null for readings over all octaves. */
const octaves = (layers: readonly (number | null)[]) => (layers[0] === null ? null : layers.map(hertz));

const summary = writer<ReadingsSummary>({
  measured: ({ name, group, level, measuredAsOne }) => ({
    ...{ name, basis: 'measured', measuredAsOne, group },
    ...{ change_db: level.value, error_db: level.error },
  }),
  predicted: (name) => ({
    ...{ name, basis: 'predicted', measuredAsOne: false, group: null, change_db: null, error_db: null },
  }),
})(
  'files bands_hz=layers weighting readings=count below_noise degrees_of_freedom outliers',
  'residual_rms_db=rms measured predicted',
);

function readingsSummary(readings: ReadingsSummary | null) {
  if (!readings) return null;
  const { measured, predicted, ...rest } = summary(readings);
  return { ...rest, bands_hz: octaves(readings.layers), levels: [measured, predicted].flat() };
}

const level = writer<LevelRow>()(
  'source role level_db bands_db=byBand distance_m mic_off_axis_deg judged_level_db shares',
);

const mic = writer<MicRow>({
  levels: (row) => ({
    ...level(row),
    ...(row.judgedLevel === null && { shares: null }),
  }),
})(
  'name pair for position_m=at bearing_deg tilt_deg signal_db bleed_db signal_to_bleed_db signal_to_bleed_unweighted_db',
  'signal_to_direct_bleed_db limit_db margin_db verdict bleed_shares purpose room pattern passage',
  'signal_to_bleed_unfiltered_db judged_bands_hz limit_from remark baffle_gain_max_db levels basis',
);

const part = writer<PartRow>({
  committed: ({ because }) => because,
  isolation: writer<PartRow['isolation']>()(
    'signal_to_bleed_db mic passage limit_db margin_db verdict remark',
  ),
})(
  'name later mics ghost_db ghost_limit_db=limit ghost_margin_db=margin ghost_verdict=verdict remark',
  'committed_because=committed loudest_in passage isolation replaceable basis',
);

const editGroups = writer<Answer['cut']>({
  groups: writer<Item<Answer['cut']['groups']>>({
    couplings: writer<PartCoupling>()('between mic passage level_db shared'),
  })('parts passages mics couplings text=sentence'),
})('groups independent=free picks_up_everyone=everyone text=sentence');

const muted = writer<Row<'muting'>>({
  ghosts: writer<Item<Row<'muting'>['ghosts']>>()('part open_db=before muted_db=after judged=isJudged'),
})('passage mics bleed_re_main_db bleed_re_mix_db ghosts');

const spot = writer<SpotDelay>()('spot source delay_ms=late samples');

const timing = writer<Answer['timing']>({
  rows: writer<TimingRow>({ align: writer<Item<TimingRow['align']>>()('mic by_ms') })(
    'part source close_mic=own other_mic=other level_db delay_ms=late samples polarity_inverted',
    'direct_level_db ripple_db ripple_is_capped=over ripple_with_room_db notches_hz other_rests align',
  ),
  overheads: writer<OverheadRow>({
    spots: spot,
    snare: writer<Item<OverheadRow['snare']>>()('source nearer apart_m delay_ms=late'),
  })('pair spots snare'),
})('sample_rate_hz comb_filtering=rows overheads');

const mainPair = writer<Row<'mainPairs'>>({
  parts: writer<Item<Row<'mainPairs'>['parts']>>()('part level_db direct_to_room_db passage angle_deg'),
  sections: writer<Item<Row<'mainPairs'>['sections']>>()('section parts level_db direct_to_room_db passage'),
  spots: spot,
})(
  'name purpose stereo direct_to_room_db passage sections parts ensemble_deg recording_angle_deg fits margin_deg=spare outside spots',
);

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
})(
  'player minutes_niosh=minutes minutes_osha level_dba is_least loudest cue_level_dba margin_db verdict remark',
);

const need = writer<CueNeed & { readonly isMust: boolean }>()(
  'whom must=isMust ratio_db passage demanded=isDemanded',
);

function cue({ player, listener, wearing, mustHave, niceToHave, own }: Row<'cues'>) {
  const [must, nice] = [mustHave, niceToHave].map((needs) => needs.map(({ whom }) => whom));
  const because = [
    ...mustHave.map((one) => need({ ...one, isMust: true })),
    ...niceToHave.map((one) => need({ ...one, isMust: false })),
  ];
  const whom = { must_have: must, nice_to_have: nice, own_signal: own !== null, own_signal_because: own };
  return { player, listener, wearing, ...whom, because };
}

const input = writer<Row<'inputs'>>({
  peak: writer<Item<Row<'inputs'>['peak']>>()('level_db source role passage crest_factor_assumed=guessed'),
})(
  'mic peak pad signal_dba quietest_passage=quietest noise_dba over_noise_db self_noise_dba over_self_noise_db',
);

const tolerance = writer<ToleranceSummary>({
  rows: writer<Item<ToleranceSummary['rows']>>({
    causes: writer<Item<Item<ToleranceSummary['rows']>['causes']>>()('cause spread_db'),
  })('kind about p10_db p50_db p90_db limit_db limit_is met_in_share=holds causes'),
})('runs=draws seed rows');

const conclusion = writer<Conclusion>({
  worstBleed: writer<Item<Conclusion['worstBleed']>>()('source at'),
  cause: writer<Item<Conclusion['cause']>>()('kind about costs_db at measure'),
})('short_mics=short worst_bleed shares baffle_gain_max_db main_cause=cause');

const room = writer<Row<'rooms'>>({
  earlyBands: (early) => (early ? 'early' : 'late'),
  clap: writer<Item<Row<'rooms'>['clap']>>()('early_decay_s=early rt60_from_s=from rt60_to_s=to'),
})(
  'name size_m volume_m3 rt60_sabine_s=sabine rt60_eyring_s=eyring rt60_measured_s=measured measured_decay=earlyBands',
  'rt60_finishes_s=finishes clap known_by_rt60_alone=lateAlone smaller_than_tried_hz=tooSmall critical_distance_m schroeder_hz',
);

const report = writer<Answer>({
  conclusion: (one) => ({ ...conclusion(one), text: conclusionWords(one, METRES).join('. ') }),
  rooms: room,
  sources: writer<Row<'sources'>>()('name player position_m=at bearing_deg tilt_deg room'),
  mics: mic,
  pairs: (pair) => ({ ...mic(pair), capsules: pair.capsules, worse_channel: pair.worse }),
  lines: writer<Row<'lines'>>()('name for'),
  threeToOne: writer<Row<'threeToOne'>>()(
    'mics passage ratio mic_to_mic_m mic_to_source_m margin_db verdict',
  ),
  cautions: writer<Finding>()('code path message fix'),
  parts: part,
  cut: editGroups,
  muting: muted,
  timing,
  mainPairs: mainPair,
  hearing,
  sight,
  cues: cue,
  phones: writer<Row<'phones'>>()(
    'player mic level_db leak_db passage audible cue_level_dba cue_level_assumed=guessed',
  ),
  exposure,
  inputs: input,
  now: (now) => (now === 'too large' ? null : now.suggestions.map(suggestion)),
  tolerances: tolerance,
  guesses: writer<Guess>()('kind about source change_db margin_db'),
  facings: writer<GuessedFacing>()('kind about who facing_deg margin_db'),
  pitfalls: writer<Row<'pitfalls'>>()('kind about text fix path'),
  readings: readingsSummary,
})(
  'conclusion rooms sources mics pairs di=lines three_to_one warnings=cautions passage parts edit_groups=cut muting timing',
  'main_pairs hearing sight cues headphone_leaks=phones exposure inputs fixes=now tolerance=tolerances',
  'resting_on_assumed_levels=guesses resting_on_assumed_facings=facings pitfalls readings level_basis',
);

/** The whole report, whatever sections are shown. */
export function reportJson(
  answer: Answer,
  { listAssumptions, catalogue }: Pick<RenderOptions, 'listAssumptions' | 'catalogue'>,
): string {
  const hearing = hearingCaution(answer);
  const safety: Finding[] =
    hearing === null ? [] : [{ code: 'WARNING', severity: 'warning', path: [], message: hearing }];
  return document('report', {
    model: MODEL,
    catalogue,
    title: answer.title,
    bands_hz: NOMINAL_BANDS,
    ...report({ ...answer, cautions: [...warningsOf(answer), ...safety] }),
    ...(listAssumptions && { assumptions: answer.assumptions.map(assumption) }),
  });
}

const assumption = writer<Row<'assumptions'>>()('path kind text');

type Scored = Omit<PlainSuggestion, 'wanting' | 'worst'> & {
  limitsFixed: number;
  limitsBroken: number;
  gain: number;
  shortfall: number;
  micsGain: number;
  micsShortfall: number;
  worst: number | null;
};

const scored = writer<Scored>({
  helps: writer<Helped>()(
    'mic before_db before_basis=basis after_db unweighted_before_db unweighted_after_db',
  ),
  improves: writer<Improved>()('kind about before_db after_db'),
  costs: (one) => ({ kind: one.kind, about: one.about, text: regressionWords(one) }),
})(
  'text=words fixes minutes as_good limits_fixed limits_broken mics_gain_db mics_shortfall_db gain_db shortfall_db',
  'worst_margin_db=worst helps improves costs',
);

/** Shortfalls and worst margin are those after the fixes. */
const suggestion = ({ wanting: [, after], worst: [, worst], ...one }: PlainSuggestion) =>
  scored({
    ...one,
    limitsFixed: one.worth.fixed,
    limitsBroken: one.worth.broken,
    gain: one.worth.mics + one.worth.others,
    shortfall: after.mics + after.others,
    micsGain: one.worth.mics,
    micsShortfall: after.mics,
    worst,
  });

const unreached = writer<OutOfReach>()('kind about margin_db best_margin_db=best');

const score = writer<Score>()('missed mics_short_db=mics');
const assignment = writer<AssignmentInFull>({
  moves: writer<RoomMove>()('name from to place'),
  score,
  mics: writer<AssignmentInFull['mics'][number]>()('name before_db after_db'),
  ghosts: writer<AssignmentInFull['ghosts'][number]>()('part before_db after_db'),
  lost: (one) => ({ kind: one.kind, about: one.about, text: regressionWords(one) }),
  loads: writer<AssignmentInFull['loads'][number]>()('name people width_m minutes'),
})('moves score minutes mics ghosts lost headphones open_in_control carried=loads');

const roomsTable = writer<RoomsTable>({
  asIs: score,
  rooms: writer<RoomsTable['rooms'][number]>()('name control'),
  single: ({ name, cells }) => ({
    name,
    cells: cells.map((cell) => cell && ('why' in cell ? cell : score(cell))),
  }),
  best: assignment,
})('rooms as_is single best possible tried every');

const scheduled = writer<Schedule>({
  steps: writer<Schedule['steps'][number]>()('text=words who carriers minutes until_minutes=until'),
  limits: writer<Schedule['limits'][number]>()('kind about margins_db'),
  costs: (one) => ({ kind: one.kind, about: one.about, text: regressionWords(one) }),
  bring: writer<Schedule['bring']>({
    baffles: writer<Schedule['bring']['baffles'][number]>()('width_m height_m count'),
    cables: writer<Schedule['bring']['cables'][number]>()('length_m count'),
  })('stands bars boxes baffles headphones cables'),
})('steps limits missed costs bring');

type SuggestMore = Pick<SuggestPage, 'table' | 'byHand'> & { readonly schedule: Schedule | null };
const NO_MORE: SuggestMore = { table: null, schedule: null, byHand: [] };

export function suggestJson(
  advice: PlainAdvice,
  readings: ReadingsSummary | null = null,
  { table, schedule, byHand }: SuggestMore = NO_MORE,
): string {
  const { title, margins, wanting, suggestions, more, tried, whole } = advice;
  const stands = {
    title,
    worst_margin_db: margins.worst,
    limits_missed: wanting.limits,
    mics_shortfall_db: wanting.mics,
    shortfall_db: wanting.mics + wanting.others,
    out_of_reach: advice.outOfReach.map(unreached),
  };
  const found = { suggestions: suggestions.map(suggestion), more, tried, complete: whole };
  const rooms = table && roomsTable(table);
  const morning = schedule && scheduled(schedule);
  return document('suggest', {
    ...stands,
    ...found,
    byHand,
    rooms,
    schedule: morning,
    readings: readingsSummary(readings),
  });
}

const edge = writer<WhyEdge>()('side detour_m shadowed=hidden wave_db');
const baffle = writer<WhyBaffle>({ edges: edge })(
  'panels where weight through_db around_db=past total_db=whole share edges',
);

/** Least and greatest value over the points of a section. */
const span = ({ from, to }: Range) => [from, to];

const path = writer<WhyPath>({
  length: span,
  delay: span,
  sourceOffAxis: span,
  micOffAxis: span,
  gains: writer<WhyGain>()('gain=kind bands_db=byBand'),
  baffles: baffle,
  edges: edge,
})(
  'kind counts_as=share by of points share=fraction level_db bands_db=byBand length_m delay_ms',
  'source_off_axis_deg mic_off_axis_deg gains baffles edges',
);

const whyPair = writer<WhyPair>({ paths: path })(
  'mic pattern source role passage level_db bands_db=byBand judged_bands_hz filtered judged_level_db distance_m points',
  'shares schroeder_hz paths',
);

export function whyJson({ title, mic, source, line, pairs }: Why): string {
  const equations = GAIN_KINDS.map((gain) => ({ gain, ...EQUATIONS[gain] }));
  const asked = { title, bands_hz: NOMINAL_BANDS, mic, source, di: line };
  return document('why', { ...asked, pairs: pairs.map(whyPair), equations });
}

const readingName = ({ source, channel, layer }: ReadingName) => ({ source, channel, band_hz: hertz(layer) });

const residual = writer<Item<LineCheck['residuals']>>()('residual_db sigma_db weight=trust');

const fitted = (one: Fitted | null) => ({ value_db: one?.value ?? null, error_db: one?.error ?? null });

const fittedRow = ({ name, overall, byLayer, count }: FittedRow) => ({
  ...{ name, ...fitted(overall), bands: byLayer.map(fitted), readings: count },
});

const cause = writer<Cause>({
  how: (how: NonNullable<How>) => ('off' in how ? { off_db: how.off } : how),
})('kind about how');

const candidate = ({ cause: likeliest, others, score, after }: Candidate) => ({
  ...cause(likeliest),
  text: causeWords(likeliest),
  score,
  after_rms_db: after,
  alternatives: others.map(cause),
});

const lineCheck = writer<LineCheck>({
  diagnosis: writer<Diagnosis>({ candidates: candidate })(
    'before_rms_db=before beyond_tolerance=beyond unexplained_remains=more tried runs=sessions threshold candidates',
  ),
  sources: fittedRow,
  channels: fittedRow,
  bleed: writer<Item<LineCheck['bleed']>>()(
    'mic=name passage measured_db error_db predicted_db limit_db margin_db verdict not_measured=lacks',
  ),
  residuals: (row) => ({ ...readingName(row), ...residual(row) }),
  belowNoise: readingName,
  notInPlan: readingName,
})(
  'bands_hz=layers weighting diagnosis sources channels groups signal_to_bleed=bleed degrees_of_freedom',
  'residual_rms_db=rms residuals below_noise not_in_plan skipped measured_as_one',
);

export const lineCheckJson = (check: LineCheck): string =>
  document('line-check', { title: check.title, ...lineCheck(check), bands_hz: octaves(check.layers) });

const times = writer<DecayTimes>()('edt_s t20_s t30_s');

const octaveDecay = writer<AverageDecay & { readonly hertz: number | null }>({ times })(
  'band_hz=hertz times claps=counts curvature_percent=curvature bend range_db disagree_s lack falls_s=falls',
);

const clapDecay = writer<OctaveDecay>({ times })('range_db noise_db leaked times');

export const decayJson = ({ files, claps, octaves: rows }: Decay): string =>
  document('decay', {
    files,
    octaves: rows.map((row) => octaveDecay({ ...row, hertz: hertz(row.band) })),
    claps: claps.map(({ file, channel, at, clipped, octaves: all }) => ({
      ...{ file, channel: channel + 1, at_s: at, clipped },
      octaves: all.map((one, band) => ({ band_hz: hertz(band), ...(one ? clapDecay(one) : NO_DECAY) })),
    })),
  });

const NO_DECAY = { range_db: null, noise_db: null, leaked: false, times: null };

const reached = writer<Reached>()('value=figure passage verdict text=words basis');

const compared = ({ kind, about, reached: all, changes }: ComparedRow) => {
  const unit = CRITERIA.find(({ comparedAs }) => comparedAs === kind)?.unit;
  return { kind, about, unit, values: all.map((one) => one && reached(one)), changes };
};

const regression = writer<Regression & { readonly text: string }>({ before: reached, after: reached })(
  'kind about plan before after text',
);

/** `losses` is null without --no-worse-than. */
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
    settings: entries,
    regressions: losses?.map((one) => regression({ ...one, text: regressionWords(one) })),
    readings: readingsSummary(readings),
  });

type Told = Criterion & Place & { unit: string | null; missed: boolean; text: string };

const limit = writer<Told>()(
  'kind about value=reached limit unit margin_db passage verdict missed basis text path file line column',
);

const error = writer<PlacedFinding & Place>()('code message fix path file line column');

export function checkJson({ plans, strict }: Check, { catalogue }: { readonly catalogue: string }): string {
  const told = (row: PlacedLimit) => {
    const also = {
      unit: criterionOf(row.kind).unit,
      missed: isMissed(row, strict),
      text: limitSentence(row),
    };
    return limit({ ...row, ...row.place, ...also });
  };
  return document('check', {
    model: MODEL,
    catalogue,
    strict,
    plans: plans.map((plan) => ({
      ...{ name: plan.name, title: plan.title, outcome: outcomeOf(plan, strict) },
      limits: plan.limits.map(told),
      errors: plan.faults.map((one) => error({ ...one, ...one.place })),
      warnings: plan.warnings.map((one) => error({ ...one, ...one.place })),
      readings: readingsSummary(plan.readings),
      former: plan.former && former(plan.former),
    })),
  });
}

const former = writer<Former>({
  regressions: (one) => {
    const { plan: _, ...told } = regression({ ...one, text: regressionWords(one) });
    return { ...told, ...one.place };
  },
})('name is model catalogue regressions');

const list = writer<List>({ columns: ({ head }) => head })('list=key title columns rows notes');

export const sheetJson = ({ title, lists }: Sheet): string =>
  document('sheet', { title, lists: lists.map(list) });

const property = ({ digits: _, origins, ...one }: Property) => ({
  ...one,
  origins: origins.map(({ of: band, origin }) => ({ band, ...origin })),
});

/** `all` entries of the catalogue, and those `shown`. */
export function catalogueJson(
  all: readonly CatalogueEntry[],
  shown: readonly CatalogueEntry[],
  concept: Concept | null,
  cited: Cited,
): string {
  return document('catalogue', {
    bands_hz: NOMINAL_BANDS,
    kinds: byKind(all).map(([kind, members]) => ({ kind, names: members.map(({ name }) => name) })),
    plan_keys: concept ? [{ key: concept.key, about: concept.says }] : [],
    entries: shown.map(({ also: aliases, ...entry }) => ({
      ...entry,
      aliases,
      properties: entry.properties.map(property),
    })),
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
