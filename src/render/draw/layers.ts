/** The drawing from the floor up: what comes later lies on what comes before. */
import { bleedLines } from './bleed-marks.ts';
import { emptyLayer, type Layer } from './layer.ts';
import { levelMap, rangeOf } from './level-map.ts';
import { ALL, mics } from './mics.ts';
import { partitions } from './partitions.ts';
import { people } from './people.ts';
import { floors } from './rooms.ts';
import { screens } from './screens.ts';
import type { Sheet } from './sheet.ts';
import { sources } from './sources.ts';
import type { View } from './view.ts';

/** How far out 0 dB lies where one microphone alone is shown, mm. */
const ALONE = 14;

export const layersOf = (sheet: Sheet, { level, lines, only }: View): Layer[] => [
  floors(sheet, level ? level.grids.map(rangeOf) : null),
  level ? levelMap(sheet, level.grids, level.steps) : emptyLayer,
  partitions(sheet),
  screens(sheet),
  sources(sheet),
  people(sheet),
  bleedLines(sheet, lines),
  mics(sheet, only === null ? ALL : { only, widest: ALONE }),
];
