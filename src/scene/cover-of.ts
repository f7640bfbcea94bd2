/** What a cover over a source lets through. */
import { type Bands, energyOf } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { CoverEntry } from '../plan/plan-players.ts';
import { planBands } from './by-band-notes.ts';
import { lookUp } from './lookup.ts';
import type { Setting } from './setting.ts';

/** Energy factor by band, or null without a cover (or with a fault, where its name is not in the catalogue). */
export function coverOf(cover: CoverEntry | undefined, path: Path, setting: Setting): Bands | null {
  if (!cover) return null;
  const { catalogue, notes } = setting;
  const loss =
    'loss' in cover
      ? planBands(cover.loss, 'decibel', path, notes)
      : lookUp(catalogue.covers, cover.name, 'cover', { path, notes })?.loss;
  return loss ? loss.map((lossDb) => energyOf(-lossDb)) : null;
}
