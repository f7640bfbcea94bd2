/** What a sounding thing may say of itself, whether player, loudspeaker or part of a kit. */
import type { CoverEntry, DirectivityEntry, SourceKeys } from './plan-players.ts';
import { angleTable, byBand, nameOr } from './schema-bands.ts';
import { type Bond, type Complain, forms, into, type Reader } from './schema-frame.ts';
import { level } from './schema-levels.ts';
import { either, keyed, may, or } from './schema-maps.ts';
import { facing, place, tilt } from './schema-places.ts';
import { choice, decibels, flag, name, nameOf, quantity } from './schema-values.ts';

const factorsOrTable = either(
  'Q',
  'table',
  'write {Q: 2, front-to-back: 10}, or {table: {angle_deg: [0, 90, 180], 1000: [0, -3, -10]}}',
);

const directivity: Reader<DirectivityEntry> = into(
  keyed(
    'a directivity',
    {
      Q: may(byBand(quantity('count', [1, 1000])), 'directivity factor on axis, one number or by band', {
        500: 2,
        2000: 5,
      }),
      'front-to-back': may(byBand(decibels([0, 80])), 'level in front over level behind, dB', 12),
      table: may(angleTable, 'measured: angle_deg, and dB re on axis for each band', {
        angle_deg: [0, 90, 180],
        1000: [0, -6, -20],
      }),
    },
    factorsOrTable,
  ),
  ({ Q, frontToBack, table }): DirectivityEntry | undefined => {
    if (table) return { kind: 'table', table };
    if (Q === undefined) return undefined;
    return frontToBack === undefined ? { kind: 'factors', q: Q } : { kind: 'factors', q: Q, frontToBack };
  },
);

const coverLoss = into(byBand(decibels([0, 80])), (loss): CoverEntry => ({ loss }));
const cover: Reader<CoverEntry> = forms({
  scalar: nameOr('a cover or its loss in dB', coverLoss, nameOf('covers')),
  map: coverLoss,
});

const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff', 'soft', 'medium', 'loud'] as const;

/** What may be said of all that a player plays at once. */
export const playingKeys = {
  level: may(level, 'on axis: 88 dB, 88 dBA at 1 m, or {spl, weighting, at}'),
  dynamic: may(choice(...DYNAMICS), 'pp to ff, or soft, medium, loud', 'mf'),
  playing: may(nameOf('playing'), 'how it is played: a variant of the catalogue', 'brushes'),
  later: may(
    choice('leave', 'rebalance', 'tune', 'replace'),
    'what is to be done with the part afterwards',
    'tune',
  ),
};

/** `line-only` sounds nowhere and goes into a line alone. */
export const instrumentName = nameOf('instruments', 'line-only');

/** What belongs to one instrument alone. */
export const instrumentKeys = {
  instrument: may(instrumentName, 'an instrument of the catalogue'),
  spectrum: may(byBand(decibels([-150, 150])), 'relative dB by band', { 125: -6, 500: 0, 2000: -9 }),
  directivity: may(directivity, '{Q, front-to-back} or {table}', {
    Q: { 500: 2, 2000: 5 },
    'front-to-back': 12,
  }),
  radius: may(quantity('length', [0, 10]), 'of the disc it speaks from', '15 cm'),
  power: may(byBand(decibels([-50, 180])), 'sound power in dB re 1 pW by band; goes before `level`', {
    125: 80,
    500: 90,
    2000: 84,
  }),
  tilt: may(tilt, 'of its axis, up is positive', -20),
  part: may(name, 'what it belongs to in the mix; its own name if unsaid', 'bass'),
  cover: may(cover, 'a cover of the catalogue, or its loss in dB by band'),
};

const placeKeys = {
  at: may(place, 'its acoustic centre, [x, y] or [x, y, z]', [2, 4, 0.9]),
  facing: may(facing, 'a bearing or a name', 'drums'),
  fixed: or(flag, false, 'true where it cannot be moved'),
};

export const sourceKeys = { ...instrumentKeys, ...playingKeys, ...placeKeys };

/** A part of a kit: what is written goes before what the kit has. */
export const kitPart: Reader<SourceKeys> = keyed('a part of a kit', sourceKeys);

/** What `hasSound` asks of keys that stand in one map. */
export const HAS_SOUND: Bond = { among: ['instrument', 'spectrum', 'power'], least: 1 };
export const HAS_LOUDNESS: Bond = { when: 'spectrum', among: ['level', 'power'], least: 1 };

/** What sounds has a sound; false where it has not, which has then been said of `key`. */
export function hasSound(keys: SourceKeys, complain: Complain, key = 'instrument'): boolean {
  const { instrument, spectrum, power } = keys;
  if (instrument === undefined && spectrum === undefined && power === undefined) {
    const mend = `add \`${key}\`: an instrument of the catalogue; or give \`spectrum\` and \`level\`, or \`power\``;
    complain({ code: 'MISSING', message: 'is missing', mend, path: [key] });
    return false;
  }
  if (spectrum === undefined || power !== undefined || keys.level !== undefined) return true;
  const message = 'is missing: a spectrum of its own has no loudness';
  complain({
    code: 'MISSING',
    message,
    mend: 'add `level: 88 dB at 1 m`, or `power` by band',
    path: ['level'],
  });
  return false;
}
