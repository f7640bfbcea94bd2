/** What the key says of walls, doors and windows. */
import type { Lengths } from '../../plan/lengths.ts';
import type { Scene, WallElement } from '../../scene/scene.ts';
import { SLIT } from '../../scene/wall-elements.ts';
import type { Entry } from './key.ts';
import { area } from './mark.ts';
import type { Point } from './plane.ts';
import { screenMarks } from './screens.ts';
import { SHELL } from './wall-body.ts';
import { hungIn } from './wall-elements.ts';

const textsIn = ({ close }: Lengths): Readonly<Record<string, string>> => ({
  'door closed': 'Door, closed',
  'door ajar': `Door, ajar (drawn further open than the ${close(SLIT)} that count)`,
  'door open': 'Door, open; on which side it hangs the plan does not say',
  'window closed': 'Window',
  'window ajar': 'Window, ajar',
  'window open': 'Window, open',
  'opening open': 'Opening',
});

export const wallEntries = (scene: Scene, lengths: Lengths): Entry[] => [
  ...roomEntries(scene, lengths),
  ...screenEntries(scene),
];

function roomEntries({ rooms, partitions }: Scene, lengths: Lengths): Entry[] {
  const texts = textsIn(lengths);
  if (rooms.length === 0) return [];
  const hung = partitions.flatMap(({ elements }) =>
    elements.filter(({ free, state }) => !(free && state === 'ajar')),
  );
  const kinds = [...new Set(hung.map(({ kind, state }) => `${kind} ${state}`))].sort();
  return [
    { symbol: outerWall, text: 'Outer wall; how thick it is the plan does not say' },
    ...(partitions.length > 0
      ? [{ symbol: innerWall, text: 'Wall between rooms, as thick as the plan leaves it' }]
      : []),
    ...kinds.map((kind) => ({ symbol: elementSymbol(kind), text: texts[kind] ?? kind, height: 7 })),
  ];
}

const screenEntries = ({ panels }: Scene): Entry[] =>
  panels.some(({ booth }) => booth === null) ? [{ symbol: screen, text: 'Baffle' }] : [];

const screen = ([x, y]: Point): string =>
  screenMarks([
    [x - 4.5, y],
    [x + 4.5, y],
  ]);

const rectangle = ([x, y]: Point, width: number, height: number): Point[] => [
  [x - width / 2, y - height / 2],
  [x + width / 2, y - height / 2],
  [x + width / 2, y + height / 2],
  [x - width / 2, y + height / 2],
];

const outerWall = (at: Point): string => area('wall', rectangle(at, 12, SHELL));
const innerWall = (at: Point): string => area('wall', rectangle(at, 12, 2.2));

/** In a short piece of wall, the room it opens into above. */
const elementSymbol =
  (kind: string) =>
  ([x, y]: Point): string => {
    const [element, state] = kind.split(' ') as [WallElement['kind'], WallElement['state']];
    const foot = y + (state === 'closed' || element === 'opening' ? 0 : 2.4);
    const hole: readonly [Point, Point, Point, Point] = [
      [x - 3, foot - 0.8],
      [x + 3, foot - 0.8],
      [x + 3, foot + 0.8],
      [x - 3, foot + 0.8],
    ];
    return (
      area('wall', rectangle([x, foot], 12, 1.6)) + area('hole', hole) + hungIn(element, state, hole).svg
    );
  };
