/** A source point and a capsule joined: the free energy of any way between them. */
import type { Capsule } from '../scene/scene.ts';
import type { Bands } from './bands.ts';
import { type Emitter, type Medium, wayEnergy } from './free-way.ts';
import type { FreeWay } from './way.ts';

export type Link = {
  readonly emitter: Emitter;
  readonly capsule: Capsule;
  readonly medium: Medium;
  readonly way: FreeWay;
};

export function linkOf(emitter: Emitter, capsule: Capsule, medium: Medium): Link {
  const way: FreeWay = (into, leave, arrive, spread, travelled) => {
    const cosLeave = cosineOf(emitter.axis, leave);
    wayEnergy(into, medium, emitter, capsule, cosLeave, -cosineOf(capsule.aim, arrive), spread, travelled);
  };
  return { emitter, capsule, medium, way };
}

type Direction = readonly [number, number, number];

export const cosineOf = (a: Direction, b: Direction): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** Free energies of a straight way whose two cosines are known. */
export function freeEnergies(
  into: Bands,
  link: Link,
  cosLeave: number,
  cosArrive: number,
  length: number,
): void {
  wayEnergy(into, link.medium, link.emitter, link.capsule, cosLeave, cosArrive, length, length);
}
