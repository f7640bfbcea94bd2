/** What the key says of players and of all that sounds. */
import type { Player, Scene } from '../../scene/scene.ts';
import type { Entry } from './key.ts';
import { area, circle, line } from './mark.ts';
import { personMarks } from './people.ts';
import { away, boxAt, type Point } from './plane.ts';
import { cabinet } from './sources.ts';

export function peopleEntries({ players, sources }: Scene): Entry[] {
  const kinds = KINDS.filter(({ is }) => players.some(is));
  const sounding = sources.filter(({ points }) => points.length > 0);
  const own = sounding.filter(({ path }) => path[0] === 'sources');
  return [
    ...kinds.map(({ symbol, text }) => ({ symbol, text })),
    ...(sounding.length > 0 ? [{ symbol: voice, text: SOUNDS }] : []),
    ...(own.some(({ points }) => points.length === 1)
      ? [{ symbol: loudspeaker, text: CABINET, height: 6.4 }]
      : []),
    ...(own.some(({ points }) => points.length > 1) ? [{ symbol: section, text: SECTION }] : []),
  ];
}

const SOUNDS = 'Where it sounds from, as large as it is; the tick is its axis';
const CABINET = 'Loudspeaker or instrument by itself, wide end forward; its size is not in the plan';
const SECTION = 'Section, and the points that stand for it';

const person =
  (standing: boolean, listener: boolean) =>
  (at: Point): string =>
    personMarks(at, 0, 1.9, { standing, listener });

const KINDS: readonly (Entry & { readonly is: (player: Player) => boolean })[] = [
  {
    is: ({ listener, standing }) => !listener && standing,
    symbol: person(true, false),
    text: 'Player, standing; the tip is where the face looks',
  },
  {
    is: ({ listener, standing }) => !listener && !standing,
    symbol: person(false, false),
    text: 'Player, seated; the tip is where the face looks',
  },
  { is: ({ listener }) => listener, symbol: person(true, true), text: 'Listener' },
];

const voice = (at: Point): string =>
  circle('disc', at, 1.5) + circle('centre', at, 0.3) + line('axis', [away(at, 0, 1.5), away(at, 0, 3)]);

const loudspeaker = ([x, y]: Point): string => area('cabinet', cabinet([x + 1.5, y], 0, 5));

function section(at: Point): string {
  const { left, right, top, bottom } = boxAt(at, 9, 3.6);
  return area('section', [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ]);
}
