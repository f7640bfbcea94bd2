/** What of a figure of the catalogue is not its own: said once, wherever it is used. */
import type { Path } from '../finding.ts';
import { type Figure, HIGHEST_ABSORPTION } from './material.ts';
import { type Assumption, assume, type Notes } from './notes.ts';

export function figureNotes(notes: Notes, figure: Figure, what: string, path: Path): void {
  const { interpolated, held } = figure.filled;
  const say = (kind: Assumption['kind'], bands: readonly number[], text: string) => {
    if (bands.length > 0) assumeOnce(notes, kind, path, `${what}: ${text} at ${bands.join(', ')} Hz`);
  };
  say('interpolated', interpolated, 'interpolated');
  say('interpolated', held, 'the nearest printed value holds');
  say('clamped', figure.kept, `kept to ${HIGHEST_ABSORPTION}`);
}

/** An assumption that holds for the whole plan is said where it is first made. */
export function assumeOnce(notes: Notes, kind: Assumption['kind'], path: Path, text: string): void {
  if (!notes.assumptions.some((made) => made.text === text)) assume(notes, kind, path, text);
}
