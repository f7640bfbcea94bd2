/** A reading of a whole kit, shared among its pieces. */
import { energyOf } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { Level } from '../plan/plan-values.ts';
import { assume, fault } from './notes.ts';
import type { Setting } from './setting.ts';
import { levelOnAxis } from './strength.ts';
import type { Voice } from './voice.ts';

type Read = { readonly reading: Level; readonly path: Path };

/**
 * Scales the pieces alike so that the on-axis levels of all together read what the plan says of the whole kit. Those in `held`
 * have a level of their own and keep it: the others share what is left.
 */
export function broughtTo(
  voices: readonly Voice[],
  held: ReadonlySet<string>,
  { reading, path }: Read,
  setting: Setting,
): Voice[] {
  const energy = (some: readonly Voice[]) =>
    some.reduce((sum, voice) => sum + energyOnAxis(voice, reading, setting), 0);
  const free = voices.filter(({ name }) => !held.has(name));
  const left = energyOf(reading.spl) - energy(voices.filter(({ name }) => held.has(name)));
  const where = [...path, 'level'];
  if (left <= 0 || free.length === 0) {
    const message =
      'the pieces that have a level of their own leave nothing of that of the whole kit to share';
    fault(setting.notes, 'BAD_RANGE', where, message, 'give either the kit a level or all its pieces');
    return [...voices];
  }
  const factor = left / energy(free);
  assume(
    setting.notes,
    'default',
    where,
    'the reading is shared among the pieces as a kit at mf has it, each on its axis',
  );
  return voices.map((voice) => (held.has(voice.name) ? voice : louder(voice, factor)));
}

function louder(voice: Voice, factor: number): Voice {
  const { sounding } = voice;
  return sounding
    ? { ...voice, sounding: { ...sounding, power: sounding.power.map((w) => w * factor) } }
    : voice;
}

function energyOnAxis({ sounding }: Voice, { at, weighting }: Level, { air }: Setting): number {
  if (!sounding) return 0;
  const { power, directivity, radius } = sounding;
  return energyOf(levelOnAxis(power, { q: directivity.q, radius, airLoss: air.loss }, at, weighting));
}
