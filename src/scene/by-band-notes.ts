/** Values by band as the plan writes them, with a note of every band that was filled in. */
import type { Bands } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { ByBand } from '../plan/plan-values.ts';
import { type BandScale, byBand } from './by-band.ts';
import { assume, type Notes } from './notes.ts';

export function planBands(value: ByBand, scale: BandScale, path: Path, notes: Notes): Bands {
  const written = typeof value === 'number' ? value : Object.fromEntries(value.points);
  const { values, filled } = byBand(written, scale);
  if (filled.interpolated.length > 0) {
    assume(notes, 'interpolated', path, `interpolated at ${filled.interpolated.join(', ')} Hz`);
  }
  if (filled.held.length > 0)
    assume(notes, 'interpolated', path, `the end value holds at ${filled.held.join(', ')} Hz`);
  if (filled.silent.length > 0)
    assume(notes, 'interpolated', path, `silent at ${filled.silent.join(', ')} Hz`);
  return values;
}
