/** What comes through an opening in a wall: the complement of a panel of its outline, seen or missed by the line. */
import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { corner, distanceToSegment, span, type Vec2 } from '../geometry.ts';
import type { WallStretch } from '../scene/scene.ts';
import * as round from './diffraction-path.ts';
import { type Bounds, type PreparedPanel, uprightEdges } from './panel.ts';
import { type PanelWorkspace, sumThroughAperture } from './panel-diffraction.ts';
import type { PathEnds } from './path-energy.ts';

/** As for a panel: an edge this close to floor, ceiling or another wall of either room is none. */
const SEALED = 0.05;

/** An opening made ready: the panel of its outline. Its edges reflect nothing, ρ = 0. */
export function prepareAperture(outline: WallStretch, rooms: readonly Bounds[]): PreparedPanel {
  const { a, b, low, high } = outline;
  const width = span(a, b);
  const along: Vec2 = [(b[0] - a[0]) / width, (b[1] - a[1]) / width];
  const real = rooms.filter((room) => room !== null);
  const blank = sameInAllBands(0);
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
    rho: blank,
    upright: uprightEdges(a, b, along, blank),
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

/** Writes the energies through the opening; false (and nothing) where source and mic are on one side of its wall. */
export function throughAperture(
  into: Bands,
  workspace: PanelWorkspace,
  opening: PreparedPanel,
  { source, mic, pathEnergy }: PathEnds,
): boolean {
  if (!round.isBetween(opening, source, mic)) return false;
  round.setStraight(workspace, source, mic);
  round.freeStraightEnergy(workspace, pathEnergy);
  round.setEdgePaths(workspace, opening, source, mic);
  round.freeEdgeEnergies(workspace, source, mic, pathEnergy);
  sumThroughAperture(workspace);
  for (let band = 0; band < BAND_COUNT; band++) into[band] = Math.max(0, workspace.weighted[band] as number);
  return true;
}
