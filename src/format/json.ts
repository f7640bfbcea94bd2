/** Rows -> JSON by convention (snake case, 0.001, null), a short table of exceptions; today `rounded` is written 10 times. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { CatalogueEntry, ShownFigure } from '../catalogue/entries.ts';
import type { Finding } from '../finding.ts';
import {
  type Check,
  type ComparedRow,
  isMissed,
  type LimitKind,
  outcomeOf,
  type Place,
  type PlacedFinding,
  type PlacedLimit,
  type Reached,
} from '../judge/criteria.ts';
import type { CutTogether } from '../judge/cut-together.ts';
import type { ExposureRow } from '../judge/exposure.ts';
import type { CueRow, Hearing, PhonesLeakRow } from '../judge/hearing.ts';
import type { InputRow } from '../judge/inputs.ts';
import type { Pitfall } from '../judge/pitfalls.ts';
import type { PartRow, ToldReadings } from '../judge/report.ts';
import type { LevelRow, MicRow, PairRow, RoomRow, Shares, SpacingRow } from '../judge/rows.ts';
import type { Sight } from '../judge/sight.ts';
import type { MainPairRow } from '../judge/stereo.ts';
import type { SpotDelay, TimingRow, Timings } from '../judge/timing.ts';
import type { Basis } from '../judge/verdict.ts';
import type { Range, Why, WhyEdge, WhyPair, WhyPath, WhyScreen } from '../judge/why.ts';
import type { Cause, How } from '../line-check/cause.ts';
import type { Suspect } from '../line-check/diagnose.ts';
import type { Fitted } from '../line-check/fit.ts';
import type { FittedRow, LineCheck, ReadingName } from '../line-check/line-check.ts';
import type { Layer } from '../line-check/readings.ts';
import { type Cited, citedKeys } from '../report/catalogue.ts';
import type { Answer, List, RenderOptions, Sheet, ToldTolerance, ToldTolerances } from '../report/view.ts';
import { causeWords, EQUATIONS, hearingCaution, worseWords } from '../report/words.ts';
import type { Comparison, Worse } from '../suggest/compare.ts';
import type { PlainAdvice, PlainSuggestion } from '../suggest/search.ts';
import { GAIN_KINDS } from '../transfer/trace.ts';
import { jsonText, sentence } from './ci.ts';

// `why --json`, shape version 1: shared/schemas/why.schema.json. Keys may be added within a version.
export function whyJson(why: Why): string {
  const shape = {
    spillcheck: 1,
    command: 'why',
    title: why.title,
    bands_hz: NOMINAL_BANDS,
    mic: why.mic,
    source: why.source,
    line: why.line,
    pairs: why.pairs.map(whyJsonPairShape),
    equations: GAIN_KINDS.map((gain) => ({ gain, ...EQUATIONS[gain] })),
  };
  return `${jsonText(shape, 2)}\n`;
}

const whyJsonPairShape = (pair: WhyPair) => ({
  mic: pair.mic,
  pattern: pair.pattern,
  source: pair.source,
  role: pair.role,
  level_db: rounded(pair.level),
  bands_db: pair.byBand.map(rounded),
  judged_bands_hz: pair.judgedBands,
  filtered: pair.filtered,
  judged_level_db: rounded(pair.judgedLevel),
  distance_m: rounded(pair.distance),
  points: pair.points,
  shares: {
    direct: rounded(pair.shares.direct),
    reflections: rounded(pair.shares.reflections),
    room: rounded(pair.shares.room),
    walls: rounded(pair.shares.walls),
  },
  schroeder_hz: rounded(pair.schroeder),
  paths: pair.paths.map(pathShape),
});

const pathShape = (path: WhyPath) => ({
  kind: path.kind,
  counts_as: path.share,
  by: path.by,
  of: path.of,
  points: path.points,
  share: rounded(path.fraction),
  level_db: rounded(path.level),
  bands_db: path.byBand.map(rounded),
  length_m: rangeShape(path.length, 1),
  delay_ms: rangeShape(path.delay, 1000),
  off_axis_deg: rangeShape(path.offAxis, 1),
  off_aim_deg: rangeShape(path.offAim, 1),
  gains: path.gains.map(({ kind, byBand }) => ({ gain: kind, bands_db: byBand.map(rounded) })),
  screens: path.screens.map(screenShape),
  edges: path.edges.map(edgeShape),
});

const screenShape = (screen: WhyScreen) => ({
  panels: screen.panels,
  where: screen.where,
  through_db: screen.through.map(rounded),
  past_db: screen.past.map(rounded),
  both_db: screen.whole.map(rounded),
  edges: screen.edges.map(edgeShape),
});

const edgeShape = (edge: WhyEdge) => ({
  side: edge.side,
  detour_m: rounded(edge.detour),
  hidden: edge.hidden,
  wave_db: edge.wave.map(rounded),
});

/** Least and most over a section's points: the same for a single one. */
const rangeShape = (range: Range | null, times: number) =>
  range && [rounded(range.from * times), rounded(range.to * times)];

// The sheet as JSON, shape version 1: shared/schemas/sheet.schema.json. Keys may be added within a version.

export const sheetJson = ({ title, lists }: Sheet): string =>
  `${jsonText({ spillcheck: 1, command: 'sheet', title, lists: lists.map(listShape) }, 2)}\n`;

const listShape = ({ key, title, columns, rows, notes }: List) => ({
  list: key,
  title,
  columns: columns.map(({ head }) => head),
  rows,
  notes,
});

// The report as JSON, shape version 1: shared/schemas/report.schema.json. Keys may be added within a version.

/** Whole, whatever sections a page would show. */
export function reportJson(
  answer: Answer,
  { listAssumptions }: Pick<RenderOptions, 'listAssumptions'>,
): string {
  const { title, passage, rooms, mics, pairs, lines, threeToOne, tolerances, assumptions } = answer;
  const shape = {
    spillcheck: 1,
    command: 'report',
    title,
    bands_hz: NOMINAL_BANDS,
    rooms: rooms.map(roomShape),
    mics: mics.map(micShape),
    pairs: pairs.map(pairShape),
    lines: lines.map((line) => ({ name: line.name, for: line.for })),
    three_to_one: threeToOne.map(spacingShape),
    cautions: cautionShapes(answer),
    passage,
    ...partsAndPeople(answer),
    what_to_do_now: nowShape(answer.now),
    tolerance: tolerances && toleranceShape(tolerances),
    pitfalls: answer.pitfalls.map(pitfallShape),
    readings: readingsShape(answer.readings),
    level_basis: basisShape(answer.levelBasis),
    ...(listAssumptions
      ? { assumptions: assumptions.map(({ path, kind, text }) => ({ path, kind, text })) }
      : {}),
  };
  return `${jsonText(shape, 2)}\n`;
}

const partsAndPeople = (answer: Answer) => ({
  parts: answer.parts.map(partShape),
  cut_together: cutShape(answer.cut),
  timing: timingShape(answer.timing),
  main_pairs: answer.mainPairs.map(mainPairShape),
  hearing: hearingShape(answer.hearing),
  sight: sightShape(answer.sight),
  cues: answer.cues.map(cueShape),
  headphone_leaks: answer.phones.map(leakShape),
  exposure: answer.exposure.map(exposureShape),
  inputs: answer.inputs.map(inputShape),
});

function cautionShapes(answer: Answer) {
  const hearing = hearingCaution(answer);
  const last: Finding[] =
    hearing === null ? [] : [{ code: 'CAUTION', severity: 'warning', path: [], message: hearing }];
  return [...answer.cautions, ...last].map(({ code, path, message, mend }) => ({
    code,
    path,
    message,
    mend: mend ?? null,
  }));
}

const inputShape = (row: InputRow) => ({
  mic: row.mic,
  peak: row.peak && {
    level_db: rounded(row.peak.level),
    source: row.peak.source,
    wanted: row.peak.wanted,
    passage: row.peak.passage,
    guessed: row.peak.guessed,
  },
  pad: row.pad,
  signal_dba: rounded(row.signal),
  quietest_passage: row.quietest,
  noise_dba: rounded(row.noise),
  over_noise_db: rounded(row.overNoise),
  self_noise_dba: rounded(row.selfNoise),
  over_self_noise_db: rounded(row.overSelfNoise),
});

/** Null where moves were not looked for. */
const nowShape = (now: Answer['now']) =>
  now === null || now === 'too large' ? null : now.suggestions.map(suggestionShape);

const toleranceShape = ({ draws, seed, rows }: ToldTolerances) => ({
  draws,
  seed,
  rows: rows.map(toleranceRowShape),
});

const toleranceRowShape = (row: ToldTolerance) => ({
  kind: row.kind,
  about: row.about,
  p10_db: rounded(row.p10),
  p50_db: rounded(row.p50),
  p90_db: rounded(row.p90),
  limit_db: rounded(row.limit),
  limit_is: row.limitIs,
  holds: rounded(row.holds),
  causes: row.causes.map(({ cause, spread }) => ({ cause, spread_db: rounded(spread) })),
});

const pitfallShape = ({ kind, about, sentence, mend, path }: Pitfall) => ({
  ...{ kind, about, sentence, mend, path },
});

// Suggestions as JSON, shape version 1: shared/schemas/suggest.schema.json. Keys may be added within a version.

export function suggestJson(
  { title, standing, suggestions, tried, whole, more }: PlainAdvice,
  readings: ToldReadings | null = null,
): string {
  const shape = {
    spillcheck: 1,
    command: 'suggest',
    title,
    worst_margin_db: rounded(standing.worst),
    shortfall_db: rounded(standing.shortfall),
    suggestions: suggestions.map(suggestionShape),
    more,
    tried,
    whole,
    readings: readingsShape(readings),
  };
  return `${jsonText(shape, 2)}\n`;
}

const suggestionShape = (one: PlainSuggestion) => ({
  words: one.words,
  moves: one.moves,
  minutes: rounded(one.minutes),
  gain_db: rounded(one.gain),
  shortfall_db: rounded(one.shortfall[1]),
  worst_margin_db: rounded(one.worst[1]),
  helps: one.helps.map(({ mic, before, basis, after, unweightedBefore, unweightedAfter }) => ({
    mic,
    before_db: rounded(before),
    before_basis: basisShape(basis),
    after_db: rounded(after),
    unweighted_before_db: rounded(unweightedBefore),
    unweighted_after_db: rounded(unweightedAfter),
  })),
  mends: one.mends.map(({ kind, about, before, after }) => ({
    kind,
    about,
    before_db: rounded(before),
    after_db: rounded(after),
  })),
  price: one.price.map((worse) => ({ kind: worse.kind, about: worse.about, sentence: worseWords(worse) })),
});

const hearingShape = ({ rows, limits }: Hearing) => ({
  rows: rows.map(({ player, listener, whom, passage, level, ratio, hears, remark }) => ({
    ...{
      player,
      listener,
      whom,
      passage,
      level_dba: rounded(level),
      ratio_db: rounded(ratio),
      hears,
      remark,
    },
  })),
  limits: limits.map(({ player, listener, whom, passage, level, ratio, ...judged }) => ({
    ...{ player, listener, whom, passage, level_dba: rounded(level), ratio_db: rounded(ratio) },
    margin_db: rounded(judged.margin),
    verdict: judged.verdict,
    needs_cue: judged.needsCue,
    remark: judged.remark,
  })),
});

const sightShape = ({ rows, limits }: Sight) => ({
  rows: rows.map(({ players, sees, hiddenBy }) => ({ players, sees, hidden_by: hiddenBy })),
  limits: limits.map(({ players, sees, hiddenBy, verdict }) => ({
    ...{ players, sees, hidden_by: hiddenBy, verdict },
  })),
});

const cueShape = ({ player, listener, wearing, carries, helps, himself }: CueRow) => ({
  ...{ player, listener, wearing, carries, helps },
  own_sound: himself,
});

const leakShape = (row: PhonesLeakRow) => ({
  player: row.player,
  mic: row.mic,
  level_db: rounded(row.level),
  leak_db: rounded(row.leak),
  passage: row.passage,
  audible: row.audible,
  cue_level_dba: rounded(row.cueLevel),
  cue_level_guessed: row.guessed,
});

const exposureShape = (row: ExposureRow) => ({
  player: row.player,
  minutes_niosh: rounded(row.minutes),
  minutes_osha: rounded(row.minutesOsha),
  level_dba: rounded(row.level),
  loudest: row.loudest && { passage: row.loudest.passage, level_dba: rounded(row.loudest.level) },
  cue_level_dba: rounded(row.cueLevel),
  margin_db: rounded(row.margin),
  verdict: row.verdict,
  remark: row.remark,
});

const partShape = ({ editable, ...part }: PartRow) => ({
  name: part.name,
  later: part.later,
  mics: part.mics,
  ghost_db: rounded(part.ghost),
  ghost_limit_db: rounded(part.limit),
  ghost_margin_db: rounded(part.margin),
  ghost_verdict: part.verdict,
  remark: part.remark,
  committed_because: part.committed?.because ?? null,
  most_in: part.mostIn,
  passage: part.passage,
  alone: {
    signal_to_bleed_db: rounded(editable.signalToBleed),
    mic: editable.mic,
    limit_db: rounded(editable.limit),
    margin_db: rounded(editable.margin),
    verdict: editable.verdict,
    remark: editable.remark,
  },
  replaceable: part.replaceable,
  basis: basisShape(part.basis),
});

const cutShape = (cut: CutTogether) => ({
  groups: cut.groups.map(({ parts, mics, ties, sentence }) => ({
    parts,
    mics,
    ties: ties.map(({ between, mic, level, shared }) => ({ between, mic, level_db: rounded(level), shared })),
    sentence,
  })),
  free: cut.free,
  everyone: cut.everyone,
  sentence: cut.sentence,
});

const timingShape = ({ sampleRate, rows, overheads }: Timings) => ({
  sample_rate_hz: sampleRate,
  combs: rows.map(combShape),
  overheads: overheads.map(({ pair, spots, snare }) => ({
    pair,
    spots: spots.map(spotShape),
    snare: snare && {
      source: snare.source,
      nearer: snare.nearer,
      apart_m: rounded(snare.apart),
      late_ms: inMs(snare.late),
    },
  })),
});

const combShape = (row: TimingRow) => ({
  part: row.part,
  source: row.source,
  own: row.own,
  other: row.other,
  level_db: rounded(row.level),
  late_ms: inMs(row.late),
  samples: rounded(row.samples),
  flipped: row.flipped,
  ripple_db: rounded(row.ripple),
  ripple_is_more: row.over,
  notches_hz: row.notches?.map(rounded) ?? null,
  align: row.align && { mic: row.align.mic, by_ms: inMs(row.align.by) },
});

const spotShape = ({ spot, source, late, samples }: SpotDelay) => ({
  spot,
  source,
  late_ms: inMs(late),
  samples: rounded(samples),
});

const mainPairShape = (row: MainPairRow) => ({
  name: row.name,
  purpose: row.purpose,
  stereo: row.stereo,
  parts: row.parts.map(({ part, level, directToRoom, angle }) => ({
    part,
    level_db: rounded(level),
    direct_to_room_db: rounded(directToRoom),
    angle_deg: rounded(angle),
  })),
  ensemble_deg: row.ensemble && sides(row.ensemble),
  recording_angle_deg: row.recordingAngle && sides(row.recordingAngle),
  fits: row.fits,
  spare_deg: rounded(row.spare),
  outside: row.outside,
  spots: row.spots.map(spotShape),
});

const sides = ({ left, right }: { readonly left: number | null; readonly right: number | null }) => ({
  left: rounded(left),
  right: rounded(right),
});

const roomShape = (room: RoomRow) => ({
  name: room.name,
  volume_m3: rounded(room.volume),
  t60_sabine_s: Array.from(room.sabine, rounded),
  t60_eyring_s: Array.from(room.eyring, rounded),
  t60_measured_s: room.measured && Array.from(room.measured, rounded),
  critical_distance_m: rounded(room.criticalDistance),
  schroeder_hz: rounded(room.schroeder),
});

const micShape = (mic: MicRow) => ({
  name: mic.name,
  pair: mic.pair,
  for: mic.for,
  position_m: mic.at.map(rounded),
  signal_db: rounded(mic.signal),
  bleed_db: rounded(mic.bleed),
  signal_to_bleed_db: rounded(mic.signalToBleed),
  signal_to_bleed_unweighted_db: rounded(mic.signalToBleedUnweighted),
  signal_to_direct_bleed_db: rounded(mic.signalToDirectBleed),
  limit_db: rounded(mic.limit),
  margin_db: rounded(mic.margin),
  verdict: mic.verdict,
  bleed_shares: mic.bleedShares && sharesShape(mic.bleedShares),
  purpose: mic.purpose,
  room: mic.room,
  pattern: mic.pattern,
  passage: mic.passage,
  signal_to_bleed_unfiltered_db: rounded(mic.signalToBleedUnfiltered),
  judged_bands_hz: mic.judgedBands,
  limit_from: mic.limitFrom,
  remark: mic.remark,
  screens_buy_at_most_db: rounded(mic.screensBuyAtMost),
  levels: mic.levels.map(levelShape),
  basis: basisShape(mic.basis),
});

const pairShape = (pair: PairRow) => ({ ...micShape(pair), capsules: pair.capsules });

const levelShape = (level: LevelRow) => ({
  source: level.source,
  level_db: rounded(level.level),
  bands_db: level.byBand.map(rounded),
  distance_m: rounded(level.distance),
  off_axis_deg: rounded(level.offAxis),
  wanted: level.wanted,
  ignored: level.ignored,
  judged_level_db: rounded(level.judgedLevel),
  shares: level.judgedLevel === null ? null : sharesShape(level.shares),
});

const sharesShape = ({ direct, reflections, room, walls }: Shares) => ({
  direct: rounded(direct),
  reflections: rounded(reflections),
  room: rounded(room),
  walls: rounded(walls),
});

const spacingShape = (row: SpacingRow) => ({
  mics: row.mics,
  ratio: rounded(row.ratio),
  mic_to_mic_m: rounded(row.micToMic),
  mic_to_source_m: rounded(row.micToSource),
  margin_db: rounded(row.margin),
  verdict: row.verdict,
});

/** Seconds as milliseconds. */
const inMs = (seconds: number): number | null => rounded(1000 * seconds);

// `line-check --json`, shape version 1: shared/schemas/line-check.schema.json. Keys may be added within a version.

export function lineCheckJson(check: LineCheck): string {
  const { diagnosis } = check;
  const shape = {
    spillcheck: 1,
    command: 'line-check',
    title: check.title,
    bands_hz: check.layers[0] === null ? null : check.layers.map(hertz),
    weighting: check.weighting,
    diagnosis: {
      before_rms_db: rounded(diagnosis.before),
      beyond_tolerance: diagnosis.beyond,
      more_is_off: diagnosis.more,
      tried: diagnosis.tried,
      days: diagnosis.days,
      threshold: rounded(diagnosis.threshold),
      suspects: diagnosis.suspects.map(suspectShape),
    },
    sources: check.sources.map(fittedShape),
    channels: check.channels.map(fittedShape),
    groups: check.groups,
    signal_to_bleed: check.bleed.map((row) => ({
      mic: row.name,
      passage: row.passage,
      measured_db: rounded(row.measured),
      error_db: rounded(row.error),
      predicted_db: rounded(row.predicted),
      limit_db: row.limit,
      margin_db: rounded(row.margin),
      verdict: row.verdict,
      lacks: row.lacks,
    })),
    spare_readings: check.spare,
    residual_rms_db: rounded(check.rms),
    residuals: check.residuals.map((one) => ({
      ...nameShape(one),
      residual_db: rounded(one.residual),
      sigma_db: rounded(one.sigma),
      trust: rounded(one.trust),
    })),
    drowned: check.drowned.map(nameShape),
    unforeseen: check.unforeseen.map(nameShape),
    passed_over: check.passedOver,
    read_as_one: check.asOne,
  };
  return `${jsonText(shape, 2)}\n`;
}

const hertz = (layer: Layer): number | null => (layer === null ? null : (NOMINAL_BANDS[layer] ?? null));

const nameShape = ({ source, channel, layer }: ReadingName) => ({ source, channel, band_hz: hertz(layer) });

const fittedShape = ({ name, overall, byLayer, count }: FittedRow) => ({
  name,
  ...valueShape(overall),
  bands: byLayer.map(valueShape),
  heard: count,
});

const valueShape = (fitted: Fitted | null) => ({
  value_db: rounded(fitted?.value ?? null),
  error_db: rounded(fitted?.error ?? null),
});

const suspectShape = ({ cause, others, score, after }: Suspect) => ({
  ...causeShape(cause),
  sentence: causeWords(cause),
  score: rounded(score),
  after_rms_db: rounded(after),
  or: others.map(causeShape),
});

const causeShape = ({ kind, about, how }: Cause) => ({ kind, about, how: howShape(how) });

function howShape(how: How) {
  if (how === null) return null;
  if ('degrees' in how) return { degrees: how.degrees, toward: how.toward };
  return 'off' in how ? { off_db: rounded(how.off) } : how;
}

// Plans side by side as JSON, shape version 1: shared/schemas/compare.schema.json. Keys may be added within a version.

/** `worse` is null where nobody asked whether anything got worse. */
export function compareJson(
  { plans, mics, parts, people, entries }: Comparison,
  worse: readonly Worse[] | null,
  readings: ToldReadings | null = null,
): string {
  const shape = {
    spillcheck: 1,
    command: 'compare',
    plans,
    mics: mics.map(rowShape),
    parts: parts.map(rowShape),
    people: people.map(rowShape),
    entries,
    worse: worse?.map(worseShape) ?? null,
    readings: readingsShape(readings),
  };
  return `${jsonText(shape, 2)}\n`;
}

const rowShape = ({ kind, about, reached, changes }: ComparedRow) => ({
  kind,
  about,
  unit: COMPARE_JSON_UNITS[kind],
  reached: reached.map((one) => one && reachedShape(one)),
  changes: changes.map(rounded),
});

const COMPARE_JSON_UNITS: Readonly<Record<ComparedRow['kind'], string | null>> = {
  'signal-to-bleed': 'dB',
  'three-to-one': 'ratio',
  ghost: 'dB',
  editable: 'dB',
  hears: 'dB',
  sees: null,
  session: 'min',
};

const reachedShape = ({ figure, verdict, words, basis }: Reached) => ({
  figure: rounded(figure),
  verdict,
  words,
  basis: basisShape(basis),
});

const worseShape = (worse: Worse) => ({
  kind: worse.kind,
  about: worse.about,
  plan: worse.plan,
  before: reachedShape(worse.before),
  after: worse.after && reachedShape(worse.after),
  sentence: worseWords(worse),
});

export function json({ plans, strict }: Check): string {
  const shape = {
    spillcheck: 1,
    command: 'check',
    strict,
    plans: plans.map((plan) => ({
      name: plan.name,
      title: plan.title,
      outcome: outcomeOf(plan, strict),
      limits: plan.limits.map((row) => limitShape(row, strict)),
      faults: plan.faults.map(faultShape),
      readings: readingsShape(plan.readings),
    })),
  };
  return `${jsonText(shape, 2)}\n`;
}

const limitShape = (row: PlacedLimit, strict: boolean) => ({
  kind: row.kind,
  about: row.about,
  reached: rounded(row.reached),
  limit: rounded(row.limit),
  unit: UNITS[row.kind],
  margin_db: rounded(row.margin),
  verdict: row.verdict,
  missed: isMissed(row, strict),
  basis: basisShape(row.basis),
  sentence: sentence(row),
  path: row.path,
  ...placeShape(row.place),
});

/** Of `reached` and `limit`; null where neither is ever there. */
const UNITS: Readonly<Record<LimitKind, string | null>> = {
  'signal-to-bleed': 'dB',
  'three-to-one': 'ratio',
  ghost: 'dB',
  editable: 'dB',
  'see-each-other': null,
  hear: 'dB',
  'session-length': 'min',
};

const faultShape = ({ code, message, mend, path, place }: PlacedFinding) => ({
  code,
  message,
  mend: mend ?? null,
  path,
  ...placeShape(place),
});

const placeShape = ({ file, line, column }: Place) => ({ file, line, column });

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}

// What of an answer was measured on the day, as JSON: the same shape in every command.

const basisShape = (basis: Basis | null): string | null => (basis === null ? null : NAMES[basis]);

const NAMES: Readonly<Record<Basis, string>> = {
  measured: 'measured',
  overall: 'measured-overall',
  levels: 'measured-levels',
  partly: 'partly-measured',
  predicted: 'predicted',
};

function readingsShape(readings: ToldReadings | null) {
  if (!readings) return null;
  const { files, layers, weighting, measured, predicted, rms, aside, count } = readings;
  return {
    files,
    bands_hz: layers[0] === null ? null : layers.map((layer) => NOMINAL_BANDS[layer ?? 0] ?? null),
    weighting,
    readings: count,
    near_noise: readings.drowned,
    spare_readings: readings.spare,
    stand_out: aside,
    residual_rms_db: roundedReading(rms),
    levels: [
      ...measured.map(({ name, group, level, asOne }) => ({
        name,
        basis: 'measured',
        as_one: asOne,
        group,
        change_db: roundedReading(level.value),
        error_db: roundedReading(level.error),
      })),
      ...predicted.map((name) => ({
        name,
        basis: 'predicted',
        as_one: false,
        group: null,
        change_db: null,
        error_db: null,
      })),
    ],
  };
}

/** To 0.001. */
const roundedReading = (value: number): number => Math.round(value * 1000) / 1000 + 0;

// The catalogue as JSON, shape version 1: shared/schemas/catalogue.schema.json. Keys may be added within a version.

/** `all` is what the catalogue holds, `shown` what was asked for. */
export function catalogueJson(
  all: readonly CatalogueEntry[],
  shown: readonly CatalogueEntry[],
  cited: Cited,
): string {
  const kinds = [...new Set(all.map(({ kind }) => kind))].map((kind) => ({
    kind,
    names: all.filter((entry) => entry.kind === kind).map(({ name }) => name),
  }));
  const shape = {
    spillcheck: 1,
    command: 'catalogue',
    bands_hz: NOMINAL_BANDS,
    kinds,
    entries: shown.map((entry) => ({ ...entry, figures: entry.figures.map(figureShape) })),
    sources: citedKeys(shown, cited).map((key) => {
      const { cite = '', read, where, note } = cited.get(key) ?? {};
      return { key, cite, read: read ?? where ?? null, note: note ?? null };
    }),
  };
  return `${jsonText(shape, 2)}\n`;
}

const figureShape = ({ digits: _, rows, origins, ...figure }: ShownFigure) => ({
  ...figure,
  rows: rows.map(({ label, values }) => ({ label, values: values.map(catalogueJsonRounded) })),
  origins: origins.map(({ of, origin }) => ({ of, ...origin })),
});

/** To 0.001; null stays silence. */
const catalogueJsonRounded = (value: number | null): number | null =>
  value === null ? null : Math.round(value * 1000) / 1000 + 0;
