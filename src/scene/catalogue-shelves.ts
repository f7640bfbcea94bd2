import type { Shelves } from '../plan/json-schema/shelves.ts';
import type { Catalogue } from './catalogue.ts';

/** Names that a plan may write, by where they are looked up. */
export function shelvesOf({ instruments, kits, covers, materials }: Catalogue): Shelves {
  const playing = [...instruments.values()].flatMap((instrument) => [...instrument.playing.keys()]);
  const { finishes, contents, constructions, doors, glazings, panels, patterns } = materials;
  return {
    instruments: [...instruments.keys(), ...kits.keys()],
    playing: [...new Set(playing)].sort(),
    covers: [...covers.keys()],
    finishes: [...finishes.keys()],
    contents: [...contents.keys()],
    constructions: [...constructions.keys()],
    doors: [...doors.keys()],
    glazings: [...glazings.keys()],
    panels: [...panels.keys()],
    patterns: [...patterns.keys()],
  };
}
