/** Reports written by hand, with round figures: what rendering is tried on. No figure here comes from our own computing. */

import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { JudgedCriterion } from '../../src/judge/criteria.ts';
import type { ExposureRow } from '../../src/judge/exposure.ts';
import type { LevelRow, MicRow, PairRow } from '../../src/judge/signal-to-bleed.ts';
import { verdictOf } from '../../src/judge/verdict.ts';
import { METRES } from '../../src/plan/units.ts';
import type { Answer, RenderOptions } from '../../src/report/answer.ts';
import { ANSWERS, SECTIONS, type SectionName } from '../../src/report/answer.ts';

export const plainOptions: RenderOptions = {
  width: 80,
  colour: false,
  lengths: METRES,
  sections: ANSWERS,
  brief: true,
  bands: false,
  all: false,
  listAssumptions: false,
  catalogue: '0123456789ab',
};

/** Some sections in full, as `--show` has them. */
export const inFull = (...sections: readonly SectionName[]): RenderOptions => ({
  ...plainOptions,
  sections,
  brief: false,
});

/** All there is, as with `--all --octaves`. */
export const everything: RenderOptions = { ...inFull(...SECTIONS), bands: true, all: true };

export const level = (source: string, db: number | null, more: Partial<LevelRow> = {}): LevelRow => ({
  source,
  role: 'bleed',
  level: db,
  byBand: Array.from({ length: 8 }, () => (db === null ? null : db - 9)),
  distance: 3.25,
  micOffAxis: 115,
  judgedLevel: db,
  shares: { direct: 0.2, reflections: 0.1, room: 0.7, walls: 0 },
  ...more,
});

/** Minutes by NIOSH 98-126: 94 dBA are 60, 84 dBA 604. */
export const exposed = (player: string, db: number, minutes: number): ExposureRow => ({
  player,
  minutes,
  minutesOsha: null,
  isLeast: false,
  level: db,
  loudest: { passage: null, level: db },
  cueLevel: null,
  margin: null,
  verdict: null,
  remark: null,
});

/** A report that tells of mics and rooms alone. */
export const untold = {
  parts: [],
  cut: { groups: [], free: [], everyone: [], besides: [], sentence: '' },
  muting: [],
  timing: { sampleRate: 48000, rows: [], overheads: [] },
  mainPairs: [],
  hearing: { rows: [], limits: [] },
  sight: { rows: [], limits: [] },
  cues: [],
  phones: [],
  exposure: [],
  inputs: [],
  now: null,
  pitfalls: [],
  guesses: [],
  facings: [],
  tolerances: null,
  passage: null,
  assumptions: [],
  readings: null,
  levelBasis: null,
  criteria: [],
} as const satisfies Partial<Answer>;

/** A limit as the table of criteria holds it. */
export const judged = (kind: JudgedCriterion['kind'], name: string, margin: number): JudgedCriterion => ({
  ...{ kind, about: [name], path: [], reached: null, limit: null, margin, verdict: verdictOf(margin) },
  ...{ passage: null, remark: null, why: null, basis: null, role: 'limit' },
});

export const mic = (name: string, more: Partial<MicRow> = {}): MicRow => ({
  name,
  pair: null,
  purpose: 'parts',
  for: ['voice'],
  at: [1, 2, 1.5],
  bearing: 90,
  tilt: -15,
  room: 'hall',
  pattern: 'cardioid',
  passage: null,
  signal: 90,
  bleed: 84,
  signalToBleed: 6,
  signalToBleedUnweighted: 1,
  signalToBleedUnfiltered: 6,
  signalToDirectBleed: 12.5,
  judgedBands: [250, 500, 1000, 2000],
  limit: 10,
  limitFrom: 'rebalance',
  margin: -4,
  verdict: 'short',
  remark: null,
  bleedShares: { direct: 0.2, reflections: 0.1, room: 0.7, walls: 0 },
  baffleGainMax: 1.2,
  levels: [
    level('voice', 90, { role: 'signal', distance: 0.2, micOffAxis: 0 }),
    level('drums', 83),
    level('tuba', 77),
  ],
  basis: null,
  ...more,
});

/** What a mic has that nothing is asked of: no limit, and so no bleed to hold against one. */
const NOT_JUDGED = {
  limit: null,
  limitFrom: null,
  margin: null,
  verdict: null,
  bleed: null,
  bleedShares: null,
  signalToBleed: null,
  signalToBleedUnweighted: null,
  signalToDirectBleed: null,
  baffleGainMax: null,
} as const;

const overheads = { for: ['drums'], signalToBleed: 15, margin: 5, verdict: 'clear' } as const;
const wanted = level('drums', 96, { role: 'signal' });
const ofDrums = [wanted, level('voice', 80), level('tuba', 70)];
const left = mic('overheads.left', { ...overheads, pair: 'overheads', levels: ofDrums });
const right = mic('overheads.right', {
  ...overheads,
  pair: 'overheads',
  levels: ofDrums,
  signalToBleed: 14,
  margin: 4,
});
const pair: PairRow = {
  ...mic('overheads', { ...overheads, levels: ofDrums, signalToBleed: 14, margin: 4 }),
  capsules: [left.name, right.name],
  worse: right.name,
};

/** One of everything a report can hold. */
export const session: Answer = {
  title: 'A trio that does not exist',
  conclusion: { short: [], worstBleed: null, shares: null, baffleGainMax: null, cause: null },
  rooms: [
    {
      name: 'hall',
      size: [6, 5, 3],
      volume: 226.8,
      sabine: sameInAllBands(0.9),
      eyring: sameInAllBands(0.8),
      measured: null,
      earlyBands: null,
      finishes: null,
      clap: { early: sameInAllBands(0.75), from: sameInAllBands(0.6), to: sameInAllBands(1.2) },
      lateAlone: false,
      tooSmall: [],
      criticalDistance: 0.98,
      schroeder: 119,
    },
    {
      name: 'store',
      size: [6, 5, 3],
      volume: 31.2,
      sabine: sameInAllBands(0.4),
      eyring: sameInAllBands(0.35),
      measured: sameInAllBands(0.3),
      earlyBands: Array(8).fill(false),
      finishes: sameInAllBands(0.4),
      clap: { early: sameInAllBands(0.4), from: sameInAllBands(0.4), to: sameInAllBands(1.5) },
      lateAlone: false,
      tooSmall: [63],
      criticalDistance: 0.6,
      schroeder: 196,
    },
  ],
  sources: [
    { name: 'voice', player: 'singer', at: [1, 1.8, 1.5], bearing: 0, tilt: 0, room: 'hall' },
    { name: 'drums', player: null, at: [4, 3, 1], bearing: 270, tilt: 10, room: 'hall' },
  ],
  mics: [
    left,
    right,
    mic('voice-mic'),
    mic('tuba-mic', {
      for: ['tuba'],
      signalToBleed: 11.2,
      margin: 1.2,
      verdict: 'marginal',
      baffleGainMax: 0,
    }),
    mic('main', {
      purpose: 'all',
      for: ['all'],
      ...NOT_JUDGED,
    }),
    mic('ambience', {
      purpose: 'room',
      for: ['room'],
      ...NOT_JUDGED,
    }),
  ],
  pairs: [pair],
  lines: [{ name: 'bass-di', for: ['bass'] }],
  threeToOne: [
    {
      mics: ['voice-mic', 'tuba-mic'],
      passage: null,
      ratio: 3.5,
      micToMic: 1.75,
      micToSource: 0.5,
      margin: 1.3,
      verdict: null,
    },
    {
      mics: ['voice-mic', 'overheads.left'],
      passage: null,
      ratio: 2.1,
      micToMic: 2.1,
      micToSource: 1,
      margin: -3.1,
      verdict: 'short',
    },
  ],
  ...untold,
  criteria: [
    judged('signal-to-bleed', 'voice-mic', -4),
    judged('signal-to-bleed', 'tuba-mic', 1.2),
    judged('signal-to-bleed', 'overheads', 4),
  ],
  exposure: [exposed('drummer', 94, 60), exposed('singer', 84, 604)],
  planWarnings: [],
  cautions: [
    {
      code: 'WARNING',
      severity: 'warning',
      path: ['mics', 'main'],
      message: 'main stands in a walkway',
      fix: 'move it 40 cm',
    },
  ],
};

/** Nothing sounds where it should: every figure that can be missing is. */
export const silent: Answer = {
  ...session,
  criteria: [],
  rooms: [],
  mics: [
    mic('deaf-mic', {
      signal: null,
      signalToBleed: null,
      signalToBleedUnweighted: null,
      signalToDirectBleed: null,
      margin: null,
      verdict: 'short',
      remark: 'it gets nothing of its own source',
      levels: [
        level('voice', null, { role: 'signal', distance: null, micOffAxis: null }),
        level('drums', 70),
        level('tuba', null),
      ],
    }),
    mic('alone-mic', {
      bleed: null,
      signalToBleed: null,
      signalToBleedUnweighted: null,
      signalToDirectBleed: null,
      margin: null,
      verdict: 'clear',
      remark: 'no other source sounds',
      bleedShares: null,
      baffleGainMax: null,
      levels: [level('voice', 90, { role: 'signal' })],
    }),
  ],
  pairs: [],
  threeToOne: [],
  exposure: [],
  planWarnings: [],
  cautions: [],
};
