/**
 * A point among the screens of a room: what it sees of each panel that stands alone, and what its images in floor, ceiling, walls
 * and panels see of them. Made once a point; pairs put two of them together.
 */
import { corner } from '../scene/polygon.ts';
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { mirrored } from './mirror.ts';
import type { Bounds, ReadyPanel } from './panel.ts';
import { SIGHT, setSight } from './panel-sight.ts';
import type { Point } from './rectangle.ts';

/** Sights of the lone panels, packed [image][panel][sight]; image 0 is the point itself. */
export type Spot = { readonly sights: Float64Array; readonly images: number };

/** What spots are made of, and those already made. */
export type Spots = {
  readonly lone: readonly ReadyPanel[];
  readonly mirrors: readonly ReadyPanel[];
  readonly bounds: Bounds;
  readonly known: WeakMap<Vec3, Spot>;
};

/** The sights of the point alone, or with those of its images. */
export function spotOf(spots: Spots, at: Vec3, withImages: boolean): Spot {
  const images = withImages ? imageCount(spots) : 1;
  const known = spots.known.get(at);
  if (known && known.images >= images) return known;
  const spot = { sights: new Float64Array(images * spots.lone.length * SIGHT), images };
  look(spot, 0, spots.lone, at);
  if (withImages) lookFromImages(spot, spots, at);
  spots.known.set(at, spot);
  return spot;
}

/** Where the sights of the image in a surface begin, and of that in a mirror. */
export const inSurface = ({ lone }: Spots, surface: number): number => (1 + surface) * lone.length * SIGHT;
export const inMirror = (spots: Spots, mirror: number): number =>
  inSurface(spots, surfaceCount(spots.bounds) + mirror);

const surfaceCount = (bounds: Bounds): number => (bounds ? bounds.outline.length + 2 : 0);
const imageCount = ({ bounds, mirrors }: Spots): number => 1 + surfaceCount(bounds) + mirrors.length;

function lookFromImages(spot: Spot, { lone, mirrors, bounds }: Spots, at: Vec3): void {
  let image = 1;
  const found: Point = [0, 0, 0];
  if (bounds) {
    look(spot, image++, lone, [at[0], at[1], 2 * bounds.floor - at[2]]);
    look(spot, image++, lone, [at[0], at[1], 2 * bounds.ceiling - at[2]]);
    bounds.outline.forEach((from, w) => {
      mirrorInWall(found, from, corner(bounds.outline, w + 1), at);
      look(spot, image++, lone, found);
    });
  }
  for (const mirror of mirrors) {
    mirrored(found, mirror, at);
    look(spot, image++, lone, found);
  }
}

function look({ sights }: Spot, image: number, lone: readonly ReadyPanel[], at: Vec3): void {
  for (let p = 0; p < lone.length; p++)
    setSight(sights, (image * lone.length + p) * SIGHT, lone[p] as ReadyPanel, at);
}

function mirrorInWall(into: Point, a: Vec2, b: Vec2, at: Vec3): void {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const inX = -(b[1] - a[1]) / length;
  const inY = (b[0] - a[0]) / length;
  const twice = 2 * ((at[0] - a[0]) * inX + (at[1] - a[1]) * inY);
  into[0] = at[0] - twice * inX;
  into[1] = at[1] - twice * inY;
  into[2] = at[2];
}
