import type { Shelves } from '../plan/json-schema/shelves.ts';
import type { Catalogue } from './catalogue.ts';
import type { Kind } from './catalogue-entry.ts';

/** Names that a plan may write, by where they are looked up. */
export function shelvesOf({ instruments, kits, covers, materials }: Catalogue): Shelves {
  const playing = [
    ...[...instruments.values()].flatMap((instrument) => [...instrument.playing.keys()]),
    ...[...kits.values()].flatMap((kit) => kit.playing),
  ];
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

/** Names of a kind, without reading what they stand for. */
export const catalogueNames = ({ materials, ...rest }: Catalogue, kind: Kind): readonly string[] => [
  ...{ ...rest, ...materials }[kind].keys(),
];
