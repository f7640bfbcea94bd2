/** Walls between rooms, as thick as the plan leaves them, with all that is let into them. */
import type { Partition } from '../../scene/scene.ts';
import { closedLine, type Layer, together } from './layer.ts';
import { area, named } from './mark.ts';
import type { Sheet } from './sheet.ts';
import { partitionBody } from './wall-body.ts';
import { wallElements } from './wall-elements.ts';

export const partitions = (sheet: Sheet): Layer =>
  together(sheet.scene.partitions.map((partition) => partitionLayer(sheet, partition)));

function partitionLayer(sheet: Sheet, partition: Partition): Layer {
  const bodies = partition.stretches.map((stretch) => partitionBody(sheet, partition, stretch));
  const elements = wallElements(sheet, partition);
  const longest = [...bodies].sort((a, b) => b.length - a.length)[0];
  return {
    svg: named(
      'partition',
      partition.name,
      bodies.map(({ corners }) => area('wall', corners)).join('') + elements.svg,
    ),
    keepOff: [...bodies.map(({ corners }) => closedLine(...corners)), ...elements.keepOff],
    names: longest
      ? [
          {
            text: partition.name,
            note: null,
            noteKind: 'faint',
            kind: 'wall',
            at: longest.spots,
            reach: longest.thickness / 2,
          },
        ]
      : [],
  };
}
