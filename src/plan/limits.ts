/** Keys of limits and tolerances, of what is on hand and of what the floor must keep clear. */
import { outline } from './rooms.ts';
import * as s from './schema.ts';
import { construction, finish, height, point, points, size } from './values.ts';

const number = s.quantity('count', [0.1, 100]);

/** True is the usual 3, and false is null: not judged. */
const ratio: s.Reader<number | null> = s.reader({ kind: 'union', forms: [s.flag, number] }, (node, fail) => {
  if (node.kind !== 'scalar') return s.wrongShape(fail, node, 'true or a ratio');
  if (typeof node.value === 'boolean') return node.value ? 3 : null;
  return number.read(node, fail);
});

const HOUR = 3600;
const fraction = s.quantity('ratio', [0, 1]);
const margin = s.decibels([-60, 100]);

/** One limit for all, or a limit by name, which `byName` says are names of what. */
const allOr = <T>(byName: (limits: s.Named<number>) => T) =>
  s.union({
    scalar: s.transform(margin, (all) => ({ all })),
    map: s.transform(s.record('a limit in dB', margin, 'elsewhere'), byName),
  });

const atOne = s.record('a limit in dB', s.decibels([-120, 60]), 'elsewhere');
const heard = s.record('a list of names', s.listOf(s.name, 1), 'elsewhere');
const allOrMics = allOr((mics) => ({ mics }));
const allOrParts = allOr((parts) => ({ parts }));
const weighting = s.choice('own', 'Z', 'A', 'C');
const share = s.quantity('ratio', [0.01, 0.999]);

/** In dB unless a comment says else; `threeToOne` is left out where the rule is not judged, `sessionLength` is in seconds. */
export const limits = s.transform(
  s.object('the limits', {
    'signal-to-bleed': s.optional(allOrMics, 'dB, for all mics or by mic', { 'voice-mic': 20 }),
    ghost: s.optional(atOne, 'dB by part', { singer: -25 }),
    isolation: s.optional(allOrParts, 'dB, for all parts or by part', 20),
    'three-to-one': s.optional(ratio, 'true for 3, or a ratio'),
    'see-each-other': s.optionalList(s.listOf(s.name, 2), 'who must see whom, [[one, another]]', [
      ['tuba', 'cornet'],
    ]),
    hear: s.withDefault(heard, new Map(), 'who must hear whom', { cornet: ['drums'] }),
    'session-length': s.optional(s.quantity('time', [60, 24 * HOUR], HOUR), 'bare numbers are hours', 3),
    weighting: s.withDefault(weighting, 'own', 'what signal and bleed are weighted with'),
    confidence: s.optional(share, 'share of the draws in which a limit must be met', '90 %'),
  }),
  ({ threeToOne, ...rest }) => ({ ...rest, ...(threeToOne && { threeToOne }) }),
);

export type LimitsEntry = s.Out<typeof limits>;
const degrees = s.quantity('angle', [0, 180]);
const halfWidthDb = s.decibels([0, 40]);

/** Half widths: degrees, metres, dB, and fractions of one for `near`, `absorption` and `reverberation`. */
export const tolerance = s.object('the tolerance', {
  aim: s.optional(degrees, 'of mics, either way', 8),
  facing: s.optional(degrees, 'of players, either way', 20),
  place: s.optional(s.quantity('length', [0, 10]), 'of mics and players, either way', '10 cm'),
  near: s.optional(fraction, 'share of the distance of a close mic', 0.2),
  level: s.optional(halfWidthDb, 'of a level read, either way', 3),
  'guessed-level': s.optional(halfWidthDb, 'of a level guessed, either way', 6),
  'null-depth': s.optional(s.pairOf(s.decibels([0, 100]), '[from, to]'), 'dB, from and to', [15, 30]),
  panel: s.optional(halfWidthDb, 'of the reduction of panels, either way', 3),
  absorption: s.optional(fraction, 'share of it, either way'),
  reverberation: s.optional(fraction, 'share of it, either way'),
  seed: s.optional(s.whole([0, 2 ** 32 - 1]), 'of the draws', 1),
  draws: s.optional(s.whole([1, 1_000_000]), 'how many', 500),
});

export type ToleranceEntry = s.Out<typeof tolerance>;
const count = s.withDefault(s.whole([1, 10_000]), 1, 'how many there are');

const baffle = s.object('a baffle on hand', {
  'made-of': s.required(construction('panels'), 'a name of the catalogue, or {reduction, absorption}'),
  width: s.required(size, 'of one', 1.5),
  height: s.required(height, 'of one', 1.5),
  count,
});

const absorption = s.object('absorption on hand', {
  finish: s.required(finish, 'what it is', 'curtain-heavy'),
  area: s.required(s.quantity('area', [0.01, 10_000]), 'of one, bare numbers are m²'),
  count,
});

const mic = s.object('a mic on hand', {
  patterns: s.required(s.listOf(s.nameOf('patterns'), 1), 'that it offers', ['omni', 'cardioid']),
  count,
});

export const onHand = s.object('what is on hand', {
  baffles: s.optionalList(baffle, 'screens there are', [
    { 'made-of': 'upholstered-baffle', width: 1.5, height: 1.5, count: 2 },
  ]),
  absorption: s.optionalList(absorption, 'things to hang up', [
    { finish: 'curtain-heavy', area: 6, count: 2 },
  ]),
  mics: s.optionalList(mic, 'mics there are', [{ patterns: ['omni', 'cardioid'], count: 4 }]),
});

const walkway = s.object('a walkway', {
  along: s.required(s.listOf(point, 2), 'points on its middle', points([0, 0], [3, 0])),
  width: s.required(size, 'across', '90 cm'),
});

export const floor = s.object('the floor', {
  'no-stands': s.optionalRecord('a polygon', outline, 'where nothing may stand', {
    pit: points([0, 0], [1, 0], [0, 1]),
  }),
  walkways: s.optionalRecord('a walkway', walkway, 'what must be kept clear', {
    exit: { along: points([0, 0], [3, 0]), width: '90 cm' },
  }),
  'elbow-room': s.optional(s.quantity('length', [0, 10]), 'that each player needs around him', 0.6),
});

export type FloorEntry = s.Out<typeof floor>;
