/** A source point and a capsule joined: the free energy of any way between them. */
import type { Capsule } from '../scene/scene.ts';
import type { Barriers } from './barrier-diffraction.ts';
import { panelViewOf, type Spot } from './panel-view.ts';
import { type Between, type Emitter, type Medium, type PathEnergy, pathEnergy } from './path-energy.ts';

/** `from` and `to` are what both ends see of the screens of their room, and their images: set where they share a room with screens. */
export type Link = Between & {
  readonly way: PathEnergy;
  readonly from: Spot | null;
  readonly to: Spot | null;
};

/** A link that is set anew for each pair: one closure for all, not one a pair. */
export type Joint = { -readonly [Key in keyof Link]: Link[Key] };

export function linkOf(emitter: Emitter, capsule: Capsule, medium: Medium): Joint {
  const link: Joint = {
    emitter,
    capsule,
    medium,
    from: null,
    to: null,
    way: (into, leave, arrive, spread, travelled) => {
      const cosLeave = cosineOf(link.emitter.axis, leave);
      pathEnergy(into, link, cosLeave, -cosineOf(arrive, link.capsule.aim), spread, travelled);
    },
  };
  return link;
}

/** What the source sees of the screens of its room, with all its images. */
export const sourceViews = (barriers: Barriers, { from, emitter }: Link): Float64Array =>
  (from ?? panelViewOf(barriers, emitter.at, true)).views;

/** What the mic sees of them. */
export const micViews = (barriers: Barriers, { to, capsule }: Link): Float64Array =>
  (to ?? panelViewOf(barriers, capsule.at, true)).views;

type Direction = readonly [number, number, number];

export const cosineOf = (a: Direction, b: Direction): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
