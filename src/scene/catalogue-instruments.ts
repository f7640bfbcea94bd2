/** Instruments of the catalogue as lists of figures. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { fitDirectivity } from '../acoustics/directivity.ts';
import type { Catalogue } from './catalogue.ts';
import {
  angleFigure,
  byBandFigure,
  type CatalogueEntry,
  figureOf,
  numberFigure,
  placeFigure,
  type ShownFigure,
} from './catalogue-entry.ts';
import { DYNAMICS, type Figures, type Instrument } from './instrument.ts';
import type { WithOrigin } from './origin.ts';

export const instrumentEntries = ({ instruments, families }: Catalogue): CatalogueEntry[] =>
  [...instruments.values()].map((one) => instrumentEntry(one, families.get(one.name) ?? null));

/** The usual way of playing whole, of the others what differs from it. */
function instrumentEntry(instrument: Instrument, group: string | null): CatalogueEntry {
  const { name, about, also, usual, playing } = instrument;
  const own = figures(instrument);
  const known = new Set(own.map((figure) => JSON.stringify(figure)));
  const others = [...playing].flatMap(([way, over]) =>
    way === usual
      ? []
      : figures(over)
          .filter((figure) => !known.has(JSON.stringify(figure)))
          .map((figure) => ({ ...figure, way })),
  );
  return {
    kind: 'instruments',
    name,
    group,
    about,
    also,
    figures: [...own.map((one) => ({ ...one, way: usual })), ...others],
  };
}

function figures(one: WithOrigin<Figures>): ShownFigure[] {
  const { from } = one;
  const metres = { unit: 'm', digits: 3 };
  return [
    loudness(one),
    byBandFigure(
      { name: 'spectrum on the axis', unit: 'dB re its sum', digits: 1, from: from.spectrum },
      one.spectrum.map((share) => 10 * Math.log10(share)),
    ),
    ...directivity(one),
    numberFigure({ name: 'radius of the sounding area', ...metres, from: from.radius }, one.radius),
    placeFigure({ name: 'acoustic centre', ...metres, from: from.place }, one.place),
    figureOf(
      { name: 'axis', unit: '°', digits: 0, from: from.axis },
      ['bearing', 'tilt'],
      [{ label: '', values: [one.axis.bearing, one.axis.tilt] }],
    ),
    placeFigure({ name: 'ears', ...metres, from: from.ears }, one.ears),
    placeFigure({ name: 'eyes', ...metres, from: from.eyes }, one.eyes),
    numberFigure({ name: 'lowest note', unit: 'Hz', digits: 2, from: from.lowestNote }, one.lowestNote),
    numberFigure({ name: 'nearest sensible microphone', ...metres, from: from.closest }, one.closest),
    numberFigure({ name: 'peak over mean', unit: 'dB', digits: 1, from: from.crest }, one.crest),
  ];
}

function loudness({ loudness: loud, from }: WithOrigin<Figures>): ShownFigure {
  const named =
    loud.kind === 'power'
      ? { name: 'sound power', unit: 'dB re 1 pW' }
      : {
          name: 'level on the axis',
          unit: `dB${loud.weighting === 'Z' ? '' : loud.weighting} at ${loud.at} m`,
        };
  return figureOf({ ...named, digits: 1, from: from.loudness }, DYNAMICS, [
    { label: '', values: DYNAMICS.map((dynamic) => loud.steps[dynamic]) },
  ]);
}

function directivity({ directivity: known, from }: WithOrigin<Figures>): ShownFigure[] {
  if (known.kind === 'table') {
    const named = { name: 'sound by angle off the axis', unit: 'dB', digits: 1, from: from.directivity };
    return [angleFigure(named, known.rows, known.energy)];
  }
  const bent = NOMINAL_BANDS.filter(
    (_, band) => fitDirectivity(known.q[band] ?? 1, known.frontToBack[band] ?? null).bent,
  );
  const ratio = byBandFigure(
    { name: 'front-to-back ratio', unit: 'dB', digits: 1, from: from.directivity },
    known.frontToBack,
  );
  const remarks = bent.length > 0 ? [`bent to keep Q at ${bent.join(', ')} Hz`] : [];
  return [
    byBandFigure({ name: 'directivity factor Q', unit: '', digits: 2, from: from.directivity }, known.q),
    { ...ratio, remarks },
  ];
}
