/** Microphones and lines of the plan as mics and capsules of the scene. */
import { filterByBand } from '../acoustics/filter.ts';
import type { Path } from '../finding.ts';
import type { LimitsEntry } from '../plan/plan-demands.ts';
import type { MicEntry } from '../plan/plan-mics.ts';
import { strictest } from './later.ts';
import { aimOf } from './mic-aim.ts';
import { type Response, responseOf, responseWith } from './mic-pattern.ts';
import { micPlace, type Placed } from './mic-place.ts';
import { assume, fault } from './notes.ts';
import type { Capsule, Mic } from './scene.ts';
import type { Setting } from './setting.ts';
import { pairHalves } from './stereo.ts';
import type { Vec3 } from './vector.ts';
import type { Voice } from './voice.ts';
import { type Wanted, wantedBy } from './wanted.ts';

/** Band of 1 kHz, which decides where a drifting pattern's null lies. */
const KILOHERTZ = 4;

export type Mics = { readonly mics: readonly Mic[]; readonly capsules: readonly Capsule[] };

/** Every microphone in use; those with a fault are left out. */
export function resolveMics(voices: readonly Voice[], setting: Setting): Mics {
  const mics: Mic[] = [];
  const capsules: Capsule[] = [];
  for (const [name, entry] of setting.plan.mics) {
    if (!entry.use) {
      assume(setting.notes, 'default', ['mics', name, 'use'], `${name} is left out, as the plan says`);
      continue;
    }
    const path = ['mics', name];
    const wanted = wantedBy(entry.for, voices, [...path, 'for'], setting.notes);
    if (!wanted) continue;
    const own = wanted.wanted.flatMap((i) => voices[i] ?? []);
    const made = entry.di
      ? lineCapsules(name, own, path, setting)
      : capsulesOf(name, entry, own, voices, setting);
    if (!made) continue;
    mics.push(micOf(name, entry, wanted, { own, first: capsules.length, count: made.length }, setting));
    capsules.push(...made.map((capsule) => ({ ...capsule, mic: mics.length - 1 })));
  }
  return { mics, capsules };
}

type Unnumbered = Omit<Capsule, 'mic'>;

function lineCapsules(
  name: string,
  own: readonly Voice[],
  path: Path,
  { notes }: Setting,
): Unnumbered[] | null {
  if (own.length > 0) return [];
  fault(notes, 'BAD_PLACE', [...path, 'di'], `the line ${name} is for nothing that plays`);
  return null;
}

function capsulesOf(
  name: string,
  entry: MicEntry,
  own: readonly Voice[],
  voices: readonly Voice[],
  setting: Setting,
): Unnumbered[] | null {
  const path = ['mics', name];
  const silent = entry.for.kind === 'parts' && own.every(({ lineOnly }) => lineOnly);
  if (silent) {
    fault(
      setting.notes,
      'BAD_PLACE',
      [...path, 'for'],
      `${own[0]?.name} sounds nowhere: only a line can be for it`,
      'write di: true',
    );
    return null;
  }
  const response = responseOf(entry, path, setting);
  const place = micPlace(entry, own, path, setting);
  if (!response || !place) return null;
  const { pattern } = response;
  const a = pattern.table ? null : (pattern.a[KILOHERTZ] ?? 1);
  const aim = aimOf({ at: place.at, entry, own, voices, a, path }, setting);
  return entry.stereo
    ? pairOf(name, entry, { response, place, aim, own }, setting)
    : [{ name, ...place, aim, ...response }];
}

type Made = {
  readonly response: Response;
  readonly place: Placed;
  readonly aim: Vec3;
  readonly own: readonly Voice[];
};

function pairOf(name: string, entry: MicEntry, made: Made, setting: Setting): Unnumbered[] | null {
  const { response, place, aim, own } = made;
  const path = ['mics', name, 'stereo'];
  if (!entry.stereo) return null;
  if (entry.stereo.kind === 'mid-side' && response.pattern.table) {
    fault(
      setting.notes,
      'BAD_RANGE',
      path,
      'a measured table cannot be decoded as mid-side',
      'give a first-order pattern',
    );
    return null;
  }
  const halves = pairHalves(entry.stereo, {
    at: place.at,
    aim,
    pattern: response.pattern,
    facing: own[0]?.facing ?? 0,
  });
  const outside = halves.find(({ at }) => setting.roomAt(at[0], at[1]) !== place.room);
  if (outside) {
    fault(
      setting.notes,
      'BAD_PLACE',
      path,
      `${name}.${outside.side} would hang outside the room`,
      'move the pair away from the wall',
    );
    return null;
  }
  return halves.map((half) => ({
    name: `${name}.${half.side}`,
    at: half.at,
    aim: half.aim,
    room: place.room,
    ...responseWith(half.pattern, entry),
  }));
}

type Numbered = { readonly own: readonly Voice[]; readonly first: number; readonly count: number };

function micOf(name: string, entry: MicEntry, wanted: Wanted, made: Numbered, setting: Setting): Mic {
  const limit = limitOf(name, setting.plan.limits, made.own);
  return {
    name,
    path: ['mics', name],
    purpose: entry.for.kind,
    line: entry.di,
    capsules: Array.from({ length: made.count }, (_, i) => made.first + i),
    stereo: entry.stereo?.kind ?? null,
    ...wanted,
    ...limit,
    mix: entry.mix,
    highPass: entry.highPass ?? null,
    lowPass: entry.lowPass ?? null,
    filter: filterByBand(entry.highPass ?? null, entry.lowPass ?? null),
    inside: entry.inside ? coveredSource(name, wanted, made.own, setting) : null,
    switchable: entry.switchable,
    channels: entry.channel,
  };
}

function coveredSource(
  name: string,
  { wanted }: Wanted,
  own: readonly Voice[],
  { notes }: Setting,
): number | null {
  const covered = wanted[own.findIndex(({ cover }) => cover !== null)];
  if (covered !== undefined) return covered;
  fault(
    notes,
    'BAD_PLACE',
    ['mics', name, 'inside'],
    `${name} is inside, but nothing covers its source`,
    'give the source a cover',
  );
  return null;
}

/** A mic's own limit goes before a general one, that before what the parts ask for. */
function limitOf(
  name: string,
  { signalToBleed }: LimitsEntry,
  own: readonly Voice[],
): Pick<Mic, 'limit' | 'limitFrom'> {
  if (signalToBleed && 'mics' in signalToBleed) {
    const limit = signalToBleed.mics.get(name);
    if (limit !== undefined) return { limit, limitFrom: 'limits' };
  }
  if (signalToBleed && 'all' in signalToBleed) return { limit: signalToBleed.all, limitFrom: 'limits' };
  const { later, limit } = strictest(own.map((voice) => voice.later ?? 'rebalance'));
  return { limit, limitFrom: later };
}
