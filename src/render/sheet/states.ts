/** What stands, hangs, lies over and opens: baffles, covers, doors and windows in the state that was computed. */

import type { CoverEntry } from '../../plan/plan-players.ts';
import type { Construction } from '../../plan/plan-values.ts';
import { span } from '../../scene/polygon.ts';
import type { Partition } from '../../scene/scene.ts';
import { type About, heightIn } from './about.ts';
import type { List } from './sheet.ts';

export function baffles(about: About): List {
  const own = about.scene.panels.filter(({ booth }) => booth === null);
  return {
    key: 'baffles',
    title: 'Baffles',
    columns: ['baffle', 'length', 'top at', 'gap below', 'made of', 'see through from'].map((head) => ({
      head,
    })),
    rows: own.map(({ name, room, a, b, low, high, windowFrom }) => {
      const gap = low - (about.roomOf(room)?.floor ?? 0);
      return [
        name,
        about.tell(span(a, b)),
        heightIn(about, high, room),
        gap > 0.005 ? about.tell(gap) : 'none',
        madeOf(about.plan.baffles.get(name)?.madeOf),
        Number.isFinite(windowFrom) ? heightIn(about, windowFrom, room) : '',
      ];
    }),
    notes: [],
  };
}

const madeOf = (made: Construction | undefined): string =>
  made && 'name' in made ? made.name : 'as given in the plan';

/** Every cover, with the microphones that are under it. */
export function covers({ plan, scene }: About): List {
  const played = [...plan.players].flatMap(([player, { plays }]) =>
    plays.flatMap(({ name, cover, parts }) => [
      { over: name ?? player, cover },
      ...[...parts].map(([part, keys]) => ({ over: `${name ?? player}.${part}`, cover: keys?.cover })),
    ]),
  );
  const free = [...plan.sources].map(([over, { cover }]) => ({ over, cover }));
  const within = (over: string) =>
    scene.mics.filter(({ inside }) => {
      const source = scene.sources[inside ?? -1];
      return source !== undefined && (source.name === over || source.kit === over);
    });
  return {
    key: 'covers',
    title: 'Covers',
    columns: ['over', 'cover', 'mics inside'].map((head) => ({ head })),
    rows: [...played, ...free].flatMap(({ over, cover }) =>
      cover
        ? [
            [
              over,
              coverName(cover),
              within(over)
                .map(({ name }) => name)
                .join(', '),
            ],
          ]
        : [],
    ),
    notes: [],
  };
}

const coverName = (cover: CoverEntry): string => ('name' in cover ? cover.name : 'as given in the plan');

/** Doors, windows and openings: a leaf ajar is one, not a leaf and a slit. */
export function doors(about: About): List {
  const rows = about.scene.partitions.flatMap((partition) => elementsOf(about, partition));
  return {
    key: 'doors',
    title: 'Doors and windows',
    columns: ['between', 'what', 'state', 'width'].map((head) => ({ head })),
    rows,
    notes: rows.length > 0 ? ['As computed: another state gives other figures.'] : [],
  };
}

function elementsOf(about: About, { rooms, elements }: Partition): string[][] {
  const between = rooms.map((room) => about.roomOf(room)?.name ?? 'outside').join(' and ');
  const whole = elements.filter(
    ({ name, free }, i) => !free || !elements.slice(0, i).some((one) => one.name === name),
  );
  return whole.map(({ name, state, kind, a, b }) => [
    between,
    name,
    kind === 'opening' ? 'always open' : state,
    about.tell(span(a, b)),
  ]);
}
