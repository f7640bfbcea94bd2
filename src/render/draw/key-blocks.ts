/** What the key tells of, block by block: only what the drawing shows. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import { lengthsIn } from '../../plan/lengths.ts';
import type { LengthUnit } from '../../plan/tree.ts';
import type { Scene } from '../../scene/scene.ts';
import { hertzName } from '../words.ts';
import { type Block, FIELD } from './key.ts';
import { levelEntries } from './key-level.ts';
import { bleedEntries } from './key-lines.ts';
import { lineEntries, micEntries } from './key-mics.ts';
import { peopleEntries } from './key-people.ts';
import { wallEntries } from './key-walls.ts';
import { area } from './mark.ts';
import type { Point } from './plane.ts';
import { scaleBar } from './scale-bar.ts';
import type { View } from './view.ts';

/** The 50 of "1:50", and the unit of the bar. */
type Scale = { readonly scale: number; readonly units: LengthUnit };

export function keyBlocks(scene: Scene, view: View, scale: Scale): Block[] {
  const at = hertzName(NOMINAL_BANDS[view.band] ?? 0);
  const blocks = [
    scaleBlock(scale),
    { heading: 'Plan', entries: wallEntries(scene, lengthsIn(scale.units)) },
    { heading: 'Who plays', entries: peopleEntries(scene) },
    { heading: `Microphones at ${at}`, entries: micEntries(scene) },
    { heading: view.bleedHeading, entries: bleedEntries(view) },
    { heading: view.level?.title ?? '', entries: levelEntries(view.level?.steps ?? []) },
    { heading: 'Direct lines', entries: lineEntries(scene) },
  ];
  return blocks.filter(({ entries }) => entries.length > 0);
}

/** Longest bar, mm. */
const BAR = 40;

function scaleBlock({ scale, units }: Scale): Block {
  const bar = ([x, y]: Point) => scaleBar([x - FIELD / 2, y - 3], BAR, { perMetre: 1000 / scale, units });
  return {
    heading: `Scale 1:${scale}`,
    entries: [
      { symbol: bar, text: '', height: 9 },
      { symbol: upThePage, text: 'Bearing 0° is up the page, 90° to the right', height: 9 },
    ],
  };
}

const upThePage = ([x, y]: Point): string =>
  area('north', [
    [x, y - 4],
    [x + 1.7, y + 3.6],
    [x, y + 2],
    [x - 1.7, y + 3.6],
  ]);
