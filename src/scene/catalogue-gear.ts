/** Kits, covers and headphones of the catalogue as lists of figures. */
import type { Catalogue } from './catalogue.ts';
import { byBandFigure, type CatalogueEntry, figureOf, placeFigure, wordFigure } from './catalogue-entry.ts';
import type { Cover } from './cover.ts';
import type { Headphones } from './headphones.ts';
import type { Kit } from './instrument.ts';

export const gearEntries = ({ kits, covers, headphones }: Catalogue): CatalogueEntry[] => [
  ...[...kits.values()].map(kitEntry),
  ...[...covers.values()].map(coverEntry),
  ...[...headphones.values()].map(headphonesEntry),
];

function kitEntry({ name, about, also, usual, parts, ears, eyes, from, playing }: Kit): CatalogueEntry {
  const pieces = [...parts].map(([piece, { instrument, place, axis }]) => ({
    label: piece === instrument ? piece : `${piece} (${instrument})`,
    values: [...place, axis.bearing, axis.tilt],
  }));
  const [first] = parts.values();
  const origin = first?.from.place;
  const metres = { unit: 'm', digits: 3 };
  const columns = ['right', 'ahead', 'up', 'bearing', 'tilt'];
  return {
    kind: 'kits',
    name,
    group: null,
    about: `${about}; played with ${playing.map((way) => (way === usual ? `${way} (usual)` : way)).join(', ')}`,
    also,
    figures: [
      ...(origin
        ? [figureOf({ name: 'pieces', unit: 'm and °', digits: 2, from: origin }, columns, pieces)]
        : []),
      placeFigure({ name: 'ears', ...metres, from: from.ears }, ears),
      placeFigure({ name: 'eyes', ...metres, from: from.eyes }, eyes),
    ],
  };
}

const coverEntry = ({ name, about, also, loss, from }: Cover): CatalogueEntry => ({
  kind: 'covers',
  name,
  group: null,
  about,
  also,
  figures: [byBandFigure({ name: 'loss', unit: 'dB', digits: 1, from: from.loss }, loss)],
});

function headphonesEntry({
  name,
  about,
  also,
  leak,
  attenuation,
  hearsByAir,
  from,
}: Headphones): CatalogueEntry {
  const leaks = { name: 'leak: level at 1 m re the ear', unit: 'dB', digits: 1, from: from.leak };
  return {
    kind: 'headphones',
    name,
    group: null,
    about,
    also,
    figures: [
      wordFigure(
        { name: 'hears the others by air', unit: '', digits: 0, from: from.hearsByAir },
        hearsByAir ? 'yes' : 'no',
      ),
      leak ? byBandFigure(leaks, leak) : wordFigure({ ...leaks, unit: '' }, 'nothing'),
      byBandFigure(
        { name: 'loss of the sound in the room', unit: 'dB', digits: 1, from: from.attenuation },
        attenuation,
      ),
    ],
  };
}
