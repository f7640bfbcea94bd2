/** The direct path round the inner corners of a room whose outline is not convex. */
import { BAND_COUNT, type Bands, bands } from '../acoustics/bands.ts';
import { corner, type Planar, seesWithin, span, turn, type Vec2, type Vec3 } from '../geometry.ts';
import type { Room } from '../scene/scene.ts';
import { addBend, chainWave } from './barrier.ts';
import type { Workspace } from './barrier-diffraction.ts';
import { freeEdgeEnergy, setLength } from './diffraction-path.ts';
import { BAND_SIZE, edgeEnergy, type HalfAngle, setHalfAngle } from './edge-diffraction.ts';
import { reflectedPressure } from './panel.ts';
import { setPoint } from './panel-view.ts';
import type { PathEnds } from './path-energy.ts';

type Corner = { readonly at: Vec2; readonly solid: Vec2; readonly rho: Bands };

export type Corners = {
  readonly outline: readonly Vec2[];
  readonly list: readonly Corner[];
  /** sees[i·n + j]: whether corners i and j see each other inside the outline. */
  readonly sees: readonly boolean[];
};

/** Prepares the inner corners of a room; `outline` runs anticlockwise, `alphas` are those of its walls by band. */
export function cornersOf(outline: Room['outline'], alphas: readonly Bands[]): Corners {
  const n = outline.length;
  const inner = [...outline.keys()].filter((i) => turn(outline, i) < -1e-9);
  const list = inner.map((i) => cornerAt(outline, i, [alphas[(i + n - 1) % n] as Bands, alphas[i] as Bands]));
  return {
    outline,
    list,
    sees: list.flatMap((from) => list.map((to) => seesWithin(outline, from.at, to.at))),
  };
}

/** The half-plane runs along the bisector of the solid, where neither wall is seen from within the room. */
function cornerAt(outline: readonly Vec2[], i: number, [before, after]: readonly [Bands, Bands]): Corner {
  const at = corner(outline, i);
  const [last, next] = [corner(outline, i - 1), corner(outline, i + 1)];
  const [one, two] = [span(last, at), span(next, at)];
  const x = (last[0] - at[0]) / one + (next[0] - at[0]) / two;
  const y = (last[1] - at[1]) / one + (next[1] - at[1]) / two;
  const size = Math.hypot(x, y);
  const mean = bands((band) => ((before[band] as number) + (after[band] as number)) / 2);
  return { at, solid: [x / size, y / size], rho: reflectedPressure(mean) };
}

/**
 * Writes the energies of the path round the corners by band, before the mic's response, and returns the corners at which it bends, from the source on;
 * null where the straight line stays inside the outline, or no way was found. Each bend is hidden; no floor or ceiling edge.
 */
export function pathRoundCorners(
  into: Bands,
  workspace: Workspace,
  corners: Corners,
  { source, mic, pathEnergy }: PathEnds,
): readonly Vec2[] | null {
  const ends: readonly [Vec2, Vec2] = [
    [source[0], source[1]],
    [mic[0], mic[1]],
  ];
  if (seesWithin(corners.outline, ...ends)) return null;
  const bends = shortest(corners, ends);
  if (!bends) return null;
  setLength(workspace, source, mic);
  setBends(workspace, bends, source, mic);
  const [side] = workspace.sides;
  freeEdgeEnergy(workspace, side, source, mic, pathEnergy);
  for (let band = 0; band < BAND_COUNT; band++) {
    into[band] = (side.free[band] as number) * edgeEnergy(side.wave, band * BAND_SIZE);
  }
  return bends.map((bend) => bend.at);
}

function setBends(workspace: Workspace, bends: readonly Corner[], source: Vec3, mic: Vec3): void {
  const { chain } = workspace;
  const [side] = workspace.sides;
  const points = [source, ...bends.map((bend) => bend.at), mic];
  const legs = points.slice(1).map((to, i) => span(points[i] as Vec2, to));
  const length = legs.reduce((sum, leg) => sum + leg, 0);
  const rise = (mic[2] - source[2]) / length;
  const whole = Math.hypot(length, mic[2] - source[2]);
  let gone = 0;
  chain.count = 0;
  bends.forEach((bend, i) => {
    gone += legs[i] as number;
    chain.bend.before = gone;
    chain.bend.after = length - gone;
    chain.bend.whole = whole;
    setAngleTo(chain.bend.toSource, bend, points[i] as Vec2);
    setAngleTo(chain.bend.toMic, bend, points[i + 2] as Vec2);
    addBend(chain, bend.rho, workspace.waves);
  });
  chainWave(side.wave, chain, workspace.straight.length / whole, length);
  side.length = whole;
  const first = (bends[0] as Corner).at;
  const last = (bends[bends.length - 1] as Corner).at;
  setPoint(side.first, first[0], first[1], source[2] + rise * (legs[0] as number));
  setPoint(side.last, last[0], last[1], source[2] + rise * gone);
}

function setAngleTo(into: HalfAngle, { at, solid }: Corner, point: Planar): void {
  const x = point[0] - at[0];
  const y = point[1] - at[1];
  setHalfAngle(into, Math.abs(solid[0] * y - solid[1] * x), solid[0] * x + solid[1] * y);
}

/** Shortest path inside the outline, over corners each taken once at most; rooms have few inner corners. */
function shortest(corners: Corners, [from, to]: readonly [Vec2, Vec2]): Corner[] | null {
  const { list, outline } = corners;
  const fromSource = list.map(({ at }) => (seesWithin(outline, from, at) ? span(from, at) : Infinity));
  const toMic = list.map(({ at }) => (seesWithin(outline, at, to) ? span(at, to) : Infinity));
  const reached = [...fromSource];
  const before = list.map(() => -1);
  for (let step = 1; step < list.length; step++) {
    list.forEach((a, i) => {
      list.forEach((b, j) => {
        const length = (reached[i] as number) + span(a.at, b.at);
        if (!corners.sees[i * list.length + j] || !(length < (reached[j] as number))) return;
        reached[j] = length;
        before[j] = i;
      });
    });
  }
  const totals = reached.map((length, i) => length + (toMic[i] as number));
  let last = totals.indexOf(Math.min(...totals));
  if (last < 0 || totals[last] === Infinity) return null;
  const bends: Corner[] = [];
  for (; last >= 0; last = before[last] as number) bends.unshift(list[last] as Corner);
  return bends;
}

/** Length in m of the shortest path inside the outline: straight, or around its inner corners where there are any. */
export function lengthInside(corners: Corners | null, source: Vec3, mic: Vec3): number {
  const [x, y, z] = [mic[0] - source[0], mic[1] - source[1], mic[2] - source[2]];
  const straight = Math.sqrt(x * x + y * y + z * z);
  if (!corners) return straight;
  const ends: readonly [Vec2, Vec2] = [
    [source[0], source[1]],
    [mic[0], mic[1]],
  ];
  const bends = seesWithin(corners.outline, ...ends) ? null : shortest(corners, ends);
  if (!bends) return straight;
  const stops = [ends[0], ...bends.map(({ at }) => at), ends[1]];
  return Math.hypot(
    stops.slice(1).reduce((sum, to, i) => sum + span(stops[i] as Vec2, to), 0),
    z,
  );
}
