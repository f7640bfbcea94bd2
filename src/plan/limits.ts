/** Keys of limits, on-hand, floor, tolerance; types inferred. */
import { outlineOf } from './rooms.ts';
import {
  by,
  type Construction,
  choice,
  construction,
  decibels,
  type Finish,
  finish,
  flag,
  forms,
  height,
  into,
  keyed,
  listOf,
  may,
  must,
  type Named,
  name,
  named,
  nameOf,
  or,
  type Point,
  pairOf,
  point,
  quantity,
  type Reader,
  reader,
  share,
  size,
  whole,
  wrongShape,
} from './schema.ts';

// Limits, tolerances, and what there is to use.
const margin = decibels([-60, 100]);

/** True stands for the common 3. */
const ratio: Reader<number | null> = reader(
  { takes: 'forms', forms: [flag, quantity('count', [0.1, 100])] },
  (node, complain) => {
    if (node.kind !== 'scalar') return void complain(wrongShape(node, 'true or a ratio'));
    if (typeof node.value === 'boolean') return node.value ? 3 : null;
    return by(quantity('count', [0.1, 100]), node, complain);
  },
);

const HOUR = 3600;

type ByMic = NonNullable<LimitsEntry['signalToBleed']>;

type ByPart = NonNullable<LimitsEntry['editable']>;

export const limits: Reader<LimitsEntry> = into(
  keyed('the limits', {
    'signal-to-bleed': may(
      forms({
        scalar: into(margin, (all): ByMic => ({ all })),
        map: into(named('a limit in dB', margin, 'elsewhere'), (mics): ByMic => ({ mics })),
      }),
      'dB, for all mics or by mic',
      { 'voice-mic': 20 },
    ),
    ghost: may(named('a limit in dB', decibels([-120, 60]), 'elsewhere'), 'dB by part', { singer: -25 }),
    editable: may(
      forms({
        scalar: into(margin, (all): ByPart => ({ all })),
        map: into(named('a limit in dB', margin, 'elsewhere'), (parts): ByPart => ({ parts })),
      }),
      'dB, for all parts or by part',
      20,
    ),
    'three-to-one': may(ratio, 'true for 3, or a ratio'),
    'see-each-other': or(listOf(listOf(name, 2)), [], 'who must see whom, [[one, another]]', [
      ['tuba', 'cornet'],
    ]),
    hear: or(named('a list of names', listOf(name, 1), 'elsewhere'), new Map(), 'who must hear whom', {
      cornet: ['drums'],
    }),
    'session-length': may(quantity('time', [60, 24 * HOUR], HOUR), 'bare numbers are hours', 3),
    weighting: or(choice('own', 'Z', 'A', 'C'), 'own', 'what signal and bleed are weighted with'),
    confidence: may(share([0.01, 0.999]), 'share of the draws in which a limit must be met', '90 %'),
  }),
  ({ threeToOne, signalToBleed, editable, ...rest }) => ({
    ...rest,
    ...(threeToOne !== undefined && threeToOne !== null && { threeToOne }),
    ...(signalToBleed && { signalToBleed }),
    ...(editable && { editable }),
  }),
);

const fraction = share([0, 1]);

const degrees = quantity('angle', [0, 180]);

const fuzz = decibels([0, 40]);

export const tolerance: Reader<ToleranceEntry> = keyed('the tolerance', {
  aim: may(degrees, 'of mics, either way', 8),
  facing: may(degrees, 'of players, either way', 20),
  place: may(quantity('length', [0, 10]), 'of mics and players, either way', '10 cm'),
  near: may(fraction, 'share of the distance of a close mic', 0.2),
  level: may(fuzz, 'of a level read, either way', 3),
  'guessed-level': may(fuzz, 'of a level guessed, either way', 6),
  'null-depth': may(pairOf(decibels([0, 100]), '[from, to]'), 'dB, from and to', [15, 30]),
  panel: may(fuzz, 'of the reduction of panels, either way', 3),
  absorption: may(fraction, 'share of it, either way'),
  reverberation: may(fraction, 'share of it, either way'),
  seed: may(whole([0, 2 ** 32 - 1]), 'of the draws', 1),
  draws: may(whole([1, 1_000_000]), 'how many', 500),
});

const count = or(whole([1, 10_000]), 1, 'how many there are');

const area = quantity('area', [0.01, 10_000]);

export const onHand: Reader<OnHandEntry> = keyed('what is on hand', {
  baffles: or(
    listOf(
      keyed('a baffle on hand', {
        'made-of': must(construction('panels'), 'a name of the catalogue, or {reduction, absorption}'),
        width: must(size, 'of one', 1.5),
        height: must(height, 'of one', 1.5),
        count,
      }),
    ),
    [],
    'screens there are',
    [{ 'made-of': 'upholstered-screen', width: 1.5, height: 1.5, count: 2 }],
  ),
  absorption: or(
    listOf(
      keyed('absorption on hand', {
        finish: must(finish, 'what it is', 'curtain-heavy'),
        area: must(area, 'of one, bare numbers are m²'),
        count,
      }),
    ),
    [],
    'things to hang up',
    [{ finish: 'curtain-heavy', area: 6, count: 2 }],
  ),
  mics: or(
    listOf(
      keyed('a mic on hand', {
        patterns: must(listOf(nameOf('patterns'), 1), 'that it offers', ['omni', 'cardioid']),
        count,
      }),
    ),
    [],
    'mics there are',
    [{ patterns: ['omni', 'cardioid'], count: 4 }],
  ),
});

export const floor: Reader<FloorEntry> = keyed('the floor', {
  'no-stands': or(
    named('a polygon', into(listOf(point, 3, 1000), outlineOf)),
    new Map(),
    'where nothing may stand',
    {
      pit: [
        [0, 0],
        [1, 0],
        [0, 1],
      ],
    },
  ),
  walkways: or(
    named(
      'a walkway',
      keyed('a walkway', {
        along: must(listOf(point, 2), 'points on its middle', [
          [0, 0],
          [3, 0],
        ]),
        width: must(size, 'across', '90 cm'),
      }),
    ),
    new Map(),
    'what must be kept clear',
    {
      exit: {
        along: [
          [0, 0],
          [3, 0],
        ],
        width: '90 cm',
      },
    },
  ),
  'elbow-room': may(quantity('length', [0, 10]), 'that each player needs around him', 0.6),
});

// Limits, tolerances and what there is to use, as the plan says it.

export type LimitsEntry = {
  /** dB: one for all mics that set none of their own, or by mic. */
  readonly signalToBleed?: { readonly all: number } | { readonly mics: Named<number> };
  readonly ghost?: Named<number>;
  readonly editable?: { readonly all: number } | { readonly parts: Named<number> };
  /** The ratio; left out where the rule is not judged. */
  readonly threeToOne?: number;
  readonly seeEachOther: readonly (readonly string[])[];
  readonly hear: Named<readonly string[]>;
  /** Seconds. */
  readonly sessionLength?: number;
  readonly weighting: 'own' | 'Z' | 'A' | 'C';
  /** A fraction of one. */
  readonly confidence?: number;
};

/** Half widths: degrees, metres, dB, and fractions of one for `near`, `absorption` and `reverberation`. */
export type ToleranceEntry = {
  readonly aim?: number;
  readonly facing?: number;
  readonly place?: number;
  readonly near?: number;
  readonly level?: number;
  readonly guessedLevel?: number;
  readonly nullDepth?: readonly [number, number];
  readonly panel?: number;
  readonly absorption?: number;
  readonly reverberation?: number;
  readonly seed?: number;
  readonly draws?: number;
};

export type OnHandEntry = {
  readonly baffles: readonly SpareBaffle[];
  readonly absorption: readonly SpareAbsorption[];
  readonly mics: readonly SpareMic[];
};

type SpareBaffle = {
  readonly madeOf: Construction;
  readonly width: number;
  readonly height: number;
  readonly count: number;
};

type SpareAbsorption = { readonly finish: Finish; readonly area: number; readonly count: number };

type SpareMic = { readonly patterns: readonly string[]; readonly count: number };

export type FloorEntry = {
  readonly noStands: Named<readonly Point[]>;
  readonly walkways: Named<{ readonly along: readonly Point[]; readonly width: number }>;
  readonly elbowRoom?: number;
};
