/** What comes through an opening in a wall: the complement of a panel of its outline, seen or missed by the line. */
import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { corner, distanceToSegment, span, type Vec2, type Vec3 } from '../geometry.ts';
import type { WallStretch } from '../scene/scene.ts';
import * as round from './diffraction-path.ts';
import {
  alongPanel,
  type Bounds,
  inFront,
  type PreparedPanel,
  reflectedPressure,
  uprightEdges,
} from './panel.ts';
import { type PanelWorkspace, sumPastThrough, sumThroughAperture } from './panel-diffraction.ts';
import type { PathEnds } from './path-energy.ts';

/** As for a panel: an edge this close to floor, ceiling or another wall of either room is none. */
const SEALED = 0.05;

/** An opening, or what else is set in a wall, made ready: its outline with the edges of the wall round it, which absorbs `alpha`. */
export function prepareAperture(outline: WallStretch, rooms: readonly Bounds[], alpha: Bands): PreparedPanel {
  const { a, b, low, high } = outline;
  const width = span(a, b);
  const along: Vec2 = [(b[0] - a[0]) / width, (b[1] - a[1]) / width];
  const real = rooms.filter((room) => room !== null);
  const blank = sameInAllBands(0);
  const rho = reflectedPressure(alpha);
  return {
    panel: {
      name: '',
      path: [],
      room: -1,
      a,
      b,
      low,
      high,
      tau: blank,
      alpha: sameInAllBands(1),
      windowFrom: Infinity,
      booth: null,
    },
    a,
    b,
    along,
    width,
    low,
    high,
    edgeA: !real.some((room) => meetsCrossWall(a, along, room.outline)),
    edgeB: !real.some((room) => meetsCrossWall(b, along, room.outline)),
    edgeTop: real.every((room) => high < room.ceiling - SEALED),
    edgeBottom: real.every((room) => low > room.floor + SEALED),
    tau: blank,
    alpha: sameInAllBands(1),
    rho,
    outward: true,
    upright: uprightEdges(a, b, along, rho),
  };
}

/** Whether a wall that stands across the opening's own comes within 5 cm of its end: the jamb is then that wall. */
function meetsCrossWall(end: Vec2, along: Vec2, outline: readonly Vec2[]): boolean {
  return outline.some((from, i) => {
    const to = corner(outline, i + 1);
    const size = span(from, to);
    if (size === 0) return false;
    const wall: Vec2 = [(to[0] - from[0]) / size, (to[1] - from[1]) / size];
    if (Math.abs(wall[0] * along[1] - wall[1] * along[0]) < 0.02) return false;
    return distanceToSegment(end, from, to) <= SEALED;
  });
}

/** Solid angle of an opening at a point, steradian: 2π in its plane within the outline, 0 in it outside. */
export function solidAngle(opening: PreparedPanel, at: Vec3): number {
  const off = Math.max(Math.abs(inFront(opening, at)), 1e-9);
  const along = alongPanel(opening, at);
  const quarter = (x: number, y: number) => Math.atan((x * y) / (off * Math.sqrt(x * x + y * y + off * off)));
  const [left, right] = [-along, opening.width - along];
  const [below, above] = [opening.low - at[2], opening.high - at[2]];
  return quarter(right, above) - quarter(left, above) - quarter(right, below) + quarter(left, below);
}

/** Sets `past` to what an opening leaves of a line whose length is set; false where both ends are on one side of its wall. */
export function pastAperture(
  workspace: PanelWorkspace,
  opening: PreparedPanel,
  source: Vec3,
  mic: Vec3,
): boolean {
  if (inFront(opening, source) * inFront(opening, mic) > 0) return false;
  round.setEdgePaths(workspace, opening, source, mic);
  sumPastThrough(workspace);
  return true;
}

/** Writes the energies through the opening; false (and nothing) where source and mic are on one side of its wall. */
export function throughAperture(
  into: Bands,
  workspace: PanelWorkspace,
  opening: PreparedPanel,
  { source, mic, pathEnergy }: PathEnds,
): boolean {
  if (inFront(opening, source) * inFront(opening, mic) > 0) return false;
  round.setStraight(workspace, source, mic);
  round.freeStraightEnergy(workspace, pathEnergy);
  round.setEdgePaths(workspace, opening, source, mic);
  round.freeEdgeEnergies(workspace, source, mic, pathEnergy);
  sumThroughAperture(workspace);
  for (let band = 0; band < BAND_COUNT; band++) into[band] = Math.max(0, workspace.weighted[band] as number);
  return true;
}
