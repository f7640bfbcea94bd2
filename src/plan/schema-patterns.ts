/** Patterns, nulls and stereo pairs. */
import type { PatternEntry, StereoEntry } from './plan-mics.ts';
import { angleTable, byBand, nameOr } from './schema-bands.ts';
import { forms, into, type Reader } from './schema-frame.ts';
import { either, keyed, may } from './schema-maps.ts';
import { bearing, choice, decibels, nameOf, quantity, share } from './schema-values.ts';

const a = byBand(share([0, 1]));

export const pattern: Reader<PatternEntry> = forms({
  scalar: nameOr(
    'a pattern',
    into(share([0, 1]), (value): PatternEntry => ({ a: value })),
    nameOf('patterns'),
  ),
  map: into(
    keyed(
      'a pattern',
      {
        A: may(a, 'of A + B·cos θ, one number or by band', 0.6),
        table: may(angleTable, 'angle_deg, and dB for each band', {
          angle_deg: [0, 90, 180],
          1000: [0, -6, -20],
        }),
      },
      either('A', 'table', 'write {A: 0.5}, or {table: {angle_deg: [0, 90, 180], 1000: [0, -6, -20]}}'),
    ),
    ({ A, table }): PatternEntry | undefined => (table ? { table } : A === undefined ? undefined : { a: A }),
  ),
});

const depth = decibels([0, 100]);

export const nullDepth: Reader<number | 'textbook'> = into(
  nameOr('a depth in dB, or textbook', depth),
  (value, complain) => {
    if (typeof value === 'number') return value;
    if (value.name === 'textbook') return 'textbook' as const;
    return void complain({
      code: 'WRONG_SHAPE',
      message: `must be dB or textbook, got ${value.name}`,
      mend: 'write 25 dB',
    });
  },
  { takes: 'forms', forms: [choice('textbook'), depth] },
);

const xyOrSpaced = either('xy', 'spaced', 'write {xy: 90} or {spaced: 90 cm}');

const stereoInMap = into(
  keyed(
    'a stereo pair',
    {
      xy: may(quantity('angle', [20, 180]), 'angle between the two capsules', 90),
      spaced: may(quantity('length', [0.02, 50]), 'distance between the two capsules', '90 cm'),
      line: may(bearing, 'bearing of the line between them', 90),
    },
    {
      bonds: [...xyOrSpaced.bonds, { among: ['line', 'xy'], most: 1 }],
      check: (has, complain, map) => {
        xyOrSpaced.check(has, complain, map);
        const idle = {
          code: 'WRONG_SHAPE',
          message: 'goes with `spaced` alone',
          mend: 'take it out',
        } as const;
        if (has('line') && has('xy')) complain({ ...idle, path: ['line'] });
      },
    },
  ),
  ({ xy, spaced, line }): StereoEntry | undefined => {
    if (xy !== undefined) return { kind: 'xy', angle: xy };
    if (spaced === undefined) return undefined;
    return line === undefined
      ? { kind: 'spaced', distance: spaced }
      : { kind: 'spaced', distance: spaced, line };
  },
);

export const stereo: Reader<StereoEntry> = forms({
  scalar: into(
    choice('ortf', 'nos', 'crossed-8', 'mid-side', 'xy'),
    (kind): StereoEntry => (kind === 'xy' ? { kind, angle: 90 } : { kind }),
  ),
  map: stereoInMap,
});
