/** What a point and its images in surfaces and panels see of the lone panels of a room: made once a point, paired later. */
import { corner, span, type Vec2, type Vec3 } from '../geometry.ts';
import { alongPanel, type Bounds, inFront, type PreparedPanel } from './panel.ts';

/** Sights of the lone panels, packed [image][panel][sight]; image 0 is the point itself. */
export type PanelView = { readonly views: Float64Array; readonly images: number };

/** What spots are made of, and those already made. */
export type PanelViews = {
  readonly lone: readonly PreparedPanel[];
  readonly reflectors: readonly PreparedPanel[];
  readonly bounds: Bounds;
  readonly known: WeakMap<Vec3, PanelView>;
};

/** The sights of the point alone, or with those of its images. */
export function panelViewOf(views: PanelViews, at: Vec3, withImages: boolean): PanelView {
  const images = withImages ? imageCount(views) : 1;
  const known = views.known.get(at);
  if (known && known.images >= images) return known;
  const view = { views: new Float64Array(images * views.lone.length * VIEW_SIZE), images };
  look(view, 0, views.lone, at);
  if (withImages) lookFromImages(view, views, at);
  views.known.set(at, view);
  return view;
}

/** Where the sights of the image in a surface begin, and of that in a panel. */
export const viewsFromSurfaceImage = ({ lone }: PanelViews, surface: number): number =>
  (1 + surface) * lone.length * VIEW_SIZE;

export const viewsFromPanelImage = (views: PanelViews, reflector: number): number =>
  viewsFromSurfaceImage(views, surfaceCount(views.bounds) + reflector);

const surfaceCount = (bounds: Bounds): number => (bounds ? bounds.outline.length + 2 : 0);

const imageCount = ({ bounds, reflectors }: PanelViews): number =>
  1 + surfaceCount(bounds) + reflectors.length;

function lookFromImages(view: PanelView, { lone, reflectors, bounds }: PanelViews, at: Vec3): void {
  let image = 1;
  const found: Point = [0, 0, 0];
  if (bounds) {
    look(view, image++, lone, [at[0], at[1], 2 * bounds.floor - at[2]]);
    look(view, image++, lone, [at[0], at[1], 2 * bounds.ceiling - at[2]]);
    bounds.outline.forEach((from, w) => {
      imageInWall(found, from, corner(bounds.outline, w + 1), at);
      look(view, image++, lone, found);
    });
  }
  for (const reflector of reflectors) {
    panelImage(found, reflector, at);
    look(view, image++, lone, found);
  }
}

function look({ views }: PanelView, image: number, lone: readonly PreparedPanel[], at: Vec3): void {
  for (let p = 0; p < lone.length; p++)
    setPanelView(views, (image * lone.length + p) * VIEW_SIZE, lone[p] as PreparedPanel, at);
}

function imageInWall(into: Point, a: Vec2, b: Vec2, at: Vec3): void {
  const length = span(a, b);
  const inX = -(b[1] - a[1]) / length;
  const inY = (b[0] - a[0]) / length;
  const twice = 2 * ((at[0] - a[0]) * inX + (at[1] - a[1]) * inY);
  setPoint(into, at[0] - twice * inX, at[1] - twice * inY, at[2]);
}

/** A point, or with `asDirection` a direction, as the panel's plane mirrors it. */
export function panelImage(into: Point, panel: PreparedPanel, what: Vec3, asDirection = false): void {
  const { along, a } = panel;
  const front = asDirection
    ? along[0] * what[1] - along[1] * what[0]
    : along[0] * (what[1] - a[1]) - along[1] * (what[0] - a[0]);
  setPoint(into, what[0] + 2 * front * along[1], what[1] - 2 * front * along[0], what[2]);
}

export type Point = [number, number, number];

export function setPoint(into: Point, x: number, y: number, z: number): void {
  into[0] = x;
  into[1] = y;
  into[2] = z;
}

// What a point sees of a panel: how far each edge is and at what angle to the panel. A pair's paths round an edge follow from the
// sights of its two ends, and a point has one sight of a panel for all that it is paired with: worked out anew for each pair
// they took a seventh of all time among panels.

/** Numbers a sight takes: three of the panel, four of each edge. */
export const VIEW_SIZE = 19;
/** Distance in front of the panel's plane with its sign, along the panel from its end a, and height. */
export const FRONT = 0;
export const ALONG = 1;
export const HEIGHT = 2;
/** Where the edges begin: at the panel's ends a and b, above and below. */
export const EDGE_A = 3;
export const EDGE_B = 7;
export const EDGE_TOP = 11;
export const EDGE_BOTTOM = 15;
/** Of an edge: distance square to it, cosine and sine of half the angle from the panel, and that half angle once it was asked for. */
export const AWAY = 0;
export const HALF_COS = 1;
export const HALF_SIN = 2;
const HALF = 3;
const UNKNOWN = -1;

/** Writes what a point sees of a panel, from `at` on. */
export function setPanelView(into: Float64Array, at: number, panel: PreparedPanel, point: Vec3): void {
  const front = inFront(panel, point);
  const along = alongPanel(panel, point);
  into[at + FRONT] = front;
  into[at + ALONG] = along;
  into[at + HEIGHT] = point[2];
  const off = Math.abs(front);
  const inward = panel.outward ? -1 : 1;
  if (panel.edgeA) setEdge(into, at + EDGE_A, off, inward * along);
  if (panel.edgeB) setEdge(into, at + EDGE_B, off, inward * (panel.width - along));
  if (panel.edgeTop) setEdge(into, at + EDGE_TOP, off, inward * (panel.high - point[2]));
  if (panel.edgeBottom) setEdge(into, at + EDGE_BOTTOM, off, inward * (point[2] - panel.low));
}

/** An edge `off` the panel's plane and `within` the solid's side of it. Half angles by roots, as in `setHalfAngle`. */
function setEdge(into: Float64Array, at: number, off: number, within: number): void {
  const away = Math.sqrt(off * off + within * within);
  const larger = away > 0 ? Math.sqrt((1 + Math.abs(within) / away) / 2) : 1;
  const smaller = away > 0 ? off / (2 * larger * away) : 0;
  into[at + AWAY] = away;
  into[at + HALF_COS] = within < 0 ? smaller : larger;
  into[at + HALF_SIN] = within < 0 ? larger : smaller;
  into[at + HALF] = UNKNOWN;
}

/** Half the angle at an edge; an arc tangent, and asked only where the line is clear of the edge. */
export function halfAngleAt(views: Float64Array, edge: number): number {
  const known = views[edge + HALF] as number;
  if (known !== UNKNOWN) return known;
  const angle = Math.atan2(views[edge + HALF_SIN] as number, views[edge + HALF_COS] as number);
  views[edge + HALF] = angle;
  return angle;
}
