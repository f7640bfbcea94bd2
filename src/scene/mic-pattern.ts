/** A microphone's response: its pattern by name, by A, or measured; how deep its null is. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { efficiencyByBand, nullFloor } from '../acoustics/pattern.ts';
import type { Path } from '../finding.ts';
import type { MicEntry } from '../plan/plan-mics.ts';
import { planBands } from './by-band-notes.ts';
import { lookUp } from './lookup.ts';
import { assume } from './notes.ts';
import type { Capsule, Pattern } from './scene.ts';
import type { Setting } from './setting.ts';
import { anglesOf } from './sounding.ts';

/** Null depth where the plan does not say, dB. */
const USUAL_DEPTH = 25;

export type Response = Pick<Capsule, 'pattern' | 'nullFloor' | 'usualNull' | 'proximity' | 'ree'>;

/** Null with a fault where the pattern is not in the catalogue. */
export function responseOf(entry: MicEntry, path: Path, setting: Setting): Response | null {
  const pattern = patternOf(entry, path, setting);
  return pattern && responseWith(pattern, entry);
}

export function responseWith(pattern: Pattern, entry: Pick<MicEntry, 'nullDepth' | 'proximity'>): Response {
  const depth = entry.nullDepth === 'textbook' ? null : (entry.nullDepth ?? USUAL_DEPTH);
  const floor: Bands = sameInAllBands(pattern.table ? 0 : nullFloor(depth));
  return {
    pattern,
    nullFloor: floor,
    ...(pattern.table === null && entry.nullDepth === undefined && { usualNull: true }),
    proximity: entry.proximity,
    ree: efficiencyByBand(pattern.a, pattern.table, floor),
  };
}

function patternOf({ pattern, stereo }: MicEntry, path: Path, setting: Setting): Pattern | null {
  const where = [...path, 'pattern'];
  if (!pattern) {
    const usual = stereo?.kind === 'crossed-8' ? 'figure-8' : 'cardioid';
    assume(setting.notes, 'default', path, `is a ${usual}, since no pattern is given`);
    return named(usual, where, setting);
  }
  if ('name' in pattern) return named(pattern.name, where, setting);
  if ('a' in pattern)
    return { name: 'custom', a: planBands(pattern.a, 'linear', where, setting.notes), table: null };
  return { name: 'measured', a: sameInAllBands(1), table: anglesOf(pattern.table) };
}

function named(name: string, path: Path, { catalogue, notes }: Setting): Pattern | null {
  const entry = lookUp(catalogue.materials.patterns, name, 'pattern', { path, notes });
  if (!entry) return null;
  const { response } = entry;
  const noise = entry.selfNoise ? { selfNoise: entry.selfNoise.value } : {};
  if (response.kind === 'table') return { name, a: sameInAllBands(1), table: response, ...noise };
  return { name, a: response.a.values, table: null, ...noise };
}
