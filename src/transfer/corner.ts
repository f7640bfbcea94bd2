/** Inner corners of a room whose outline is not convex: the wave that bends round each, on its lit side and in its shadow. */
import { BAND_COUNT, BAND_EDGE, type Bands } from '../acoustics/bands.ts';
import { auxiliaryF, auxiliaryG } from '../acoustics/fresnel.ts';
import {
  corner,
  crossing,
  type Planar,
  RADIANS,
  seesWithin,
  span,
  turn,
  type Vec2,
  type Vec3,
} from '../geometry.ts';
import type { Room } from '../scene/scene.ts';
import { addWaves, type Workspace } from './barrier-diffraction.ts';
import { addFactors, chainWave, nextWave, type Place } from './combined-loss.ts';
import { freeEdgeEnergies } from './diffraction-path.ts';
import { BAND_SIZE, driftOf, type EdgeWave, edgeEnergy, IM, RE, setCoherence } from './edge-diffraction.ts';
import { reflectedPressure } from './panel.ts';
import { type EdgePath, sumPast, sumPastAperture, sumPastPanel } from './panel-diffraction.ts';
import { setPoint } from './panel-view.ts';
import type { PathEnds } from './path-energy.ts';

/** An inner corner. Angles about it go from its `next` wall through the air to its `last` one, at `beta`. */
export type Corner = {
  readonly at: Vec2;
  /** Unit vector along the bisector of the solid. */
  readonly solid: Vec2;
  /** Direction of the next wall, radians. */
  readonly zero: number;
  readonly beta: number;
  /** Numbers of both walls, and the pressure they reflect. */
  readonly next: number;
  readonly last: number;
  readonly rhoNext: Bands;
  readonly rhoLast: Bands;
  readonly place: Place;
};

export type Corners = {
  readonly outline: readonly Vec2[];
  readonly list: readonly Corner[];
  /** sees[i·n + j]: whether corners i and j see each other inside the outline. */
  readonly sees: readonly boolean[];
};

/** A corner that turns by less bends nothing. */
const LEAST_TURN = 5 * RADIANS;

/** Prepares the inner corners of a room; `outline` runs anticlockwise, `alphas` are those of its walls by band. */
export function cornersOf(outline: Room['outline'], alphas: readonly Bands[]): Corners {
  const n = outline.length;
  const list = [...outline.keys()].flatMap((i) => {
    if (turn(outline, i) >= 0) return [];
    const last = (i + n - 1) % n;
    const one = cornerAt(outline, i, { next: i, last, alphas });
    return one.beta > Math.PI + LEAST_TURN ? [one] : [];
  });
  return {
    outline,
    list,
    sees: list.flatMap((from) => list.map((to) => seesWithin(outline, from.at, to.at))),
  };
}

type Walls = { readonly next: number; readonly last: number; readonly alphas: readonly Bands[] };

function cornerAt(outline: readonly Vec2[], i: number, { next, last, alphas }: Walls): Corner {
  const at = corner(outline, i);
  const toNext = corner(outline, i + 1);
  const toLast = corner(outline, i - 1);
  const [one, other] = [span(at, toNext), span(at, toLast)];
  const x = (toNext[0] - at[0]) / one + (toLast[0] - at[0]) / other;
  const y = (toNext[1] - at[1]) / one + (toLast[1] - at[1]) / other;
  const size = Math.hypot(x, y) || 1;
  const zero = Math.atan2(toNext[1] - at[1], toNext[0] - at[0]);
  return {
    at,
    solid: [x / size, y / size],
    zero,
    beta: turned(Math.atan2(toLast[1] - at[1], toLast[0] - at[0]) - zero),
    next,
    last,
    rhoNext: reflectedPressure(alphas[next] as Bands),
    rhoLast: reflectedPressure(alphas[last] as Bands),
    place: { group: -1 - i, state: 0, barrier: 0, weight: 1, sealed: false, single: true },
  };
}

const turned = (angle: number): number => (angle < 0 ? angle + 2 * Math.PI : angle);

/** Angle of a point about a corner; one just inside a wall counts as on it. */
function angleAt({ at, zero, beta }: Corner, point: Planar): number {
  const angle = turned(turned(Math.atan2(point[1] - at[1], point[0] - at[0]) - zero));
  return angle <= beta ? angle : angle - beta < 2 * Math.PI - angle ? beta : 0;
}

/** A path round a corner: lengths in plan to it and from it, angles there, its whole length and that of the line it stands beside. */
type Wedge = {
  readonly before: number;
  readonly after: number;
  readonly from: number;
  readonly to: number;
  readonly whole: number;
  readonly straight: number;
};

/** Which of a corner's waves: what comes past it, or what is off its own wall, the line being that from the image. */
type Part = 'past' | { readonly wall: number; readonly image: Vec3 };

/** Pressure that even the dullest wall reflects. */
const DULL = 0.03;

/**
 * Writes `D1 + s·D2` by band, the wave round a wedge over the free direct field, without the phase of its detour; of a wall
 * `−D2/√(1−α)`. Returns in `spare` what of the wall's wave belongs to the direct sound, `s²·|D2|²/(1−α)`.
 * `D = (d/L)·(1+i)/2·AD(X)`, `X = Γ·m(φ ∓ φ0)`, `m(θ) = (cos νπ − cos νθ)/(ν·sin νπ)`, ν = π/β: Hadden and Pierce 1981, reduced to
 * the two terms that swing [this model, held to the wave equation].
 */
function setWedge(
  wave: EdgeWave,
  corner: Corner,
  wedge: Wedge,
  part: Part,
  { waves, spare }: Workspace,
): void {
  const { beta, rhoNext, rhoLast } = corner;
  const { before, after, from, to, whole, straight } = wedge;
  const nu = Math.PI / beta;
  const m = (theta: number) =>
    (Math.cos(nu * Math.PI) - Math.cos(nu * theta)) / (nu * Math.sin(nu * Math.PI));
  const reach = Math.sqrt((2 * before * after) / whole) * (waves.inverseRoot[0] as number);
  const half = straight / whole / 2;
  const x1 = reach * m(from - to);
  const x2 = reach * m(from + to);
  const other = Math.min(1, Math.max(0, (from + to - Math.PI) / (2 * beta - 2 * Math.PI)));
  for (let band = 0; band < BAND_COUNT; band++) {
    const grown = BAND_EDGE ** band;
    const faces = (1 - other) * (rhoNext[band] as number) + other * (rhoLast[band] as number);
    const share = Math.min(1, Math.max(0, x2 * grown));
    const at = band * BAND_SIZE;
    if (part === 'past') {
      setTerm(wave, at, half, x1 * grown);
      addTerm(wave, at, share * faces * half, x2 * grown);
    } else {
      const own = part.wall === corner.next ? rhoNext : rhoLast;
      const over = (faces / Math.max(own[band] as number, DULL)) * half;
      setTerm(wave, at, -over, x2 * grown);
      spare[band] = (spare[band] as number) + share * share * edgeEnergy(wave, at);
    }
  }
}

function setTerm(wave: EdgeWave, at: number, scale: number, x: number): void {
  wave[at + RE] = 0;
  wave[at + IM] = 0;
  addTerm(wave, at, scale, x);
}

function addTerm(wave: EdgeWave, at: number, scale: number, x: number): void {
  const signed = x < 0 ? -scale : scale;
  const f = auxiliaryF(Math.abs(x));
  const g = auxiliaryG(Math.abs(x));
  wave[at + RE] = (wave[at + RE] as number) + signed * (f + g);
  wave[at + IM] = (wave[at + IM] as number) + signed * (f - g);
}

/** Sets the path from source to mic round one corner; the length of `workspace.straight` must be set. */
function setCornerPath(
  workspace: Workspace,
  side: EdgePath,
  corner: Corner,
  [source, mic]: Ends,
  part: Part,
): void {
  const { at } = corner;
  const before = span(source, at);
  const after = span(mic, at);
  const rise = mic[2] - source[2];
  const whole = Math.hypot(before + after, rise);
  const straight = workspace.straight.length;
  const [from, to] = [angleAt(corner, source), angleAt(corner, mic)];
  setWedge(side.wave, corner, { before, after, from, to, whole, straight }, part, workspace);
  side.there = true;
  side.clear = part === 'past' ? Math.abs(from - to) < Math.PI : !isMirrored(corner, part.wall, from + to);
  side.lift = 0;
  side.length = whole;
  side.bend = before / (before + after);
  side.detour = Math.max(0, whole - straight);
  const height = source[2] + rise * side.bend;
  setPoint(side.first, at[0], at[1], height);
  setPoint(side.last, at[0], at[1], height);
  const start = part === 'past' ? source : part.image;
  setCoherence(side.wave, 0, driftOf(start, side.first, side.last, mic), workspace.waves);
}

/** Whether a wall of the corner shows the image: φ + φ0 < π for the next one, more than 2β − π for the last one. */
const isMirrored = ({ next, beta }: Corner, wall: number, sum: number): boolean =>
  wall === next ? sum < Math.PI : sum > 2 * beta - Math.PI;

type Ends = readonly [Vec3, Vec3];

const showsBoth = ({ outline }: Corners, { at }: Corner, [source, mic]: Ends): boolean =>
  seesWithin(outline, source, at) && seesWithin(outline, at, mic);

/** The first side of the workspace, which then has no other edges. */
function onlySide({ sides, horizontals }: Workspace): EdgePath {
  for (const path of [...sides, ...horizontals]) path.there = false;
  return sides[0];
}

/** Adds each corner that both ends of a clear line see, with the directions of its waves. */
export function addCornersDirect(
  workspace: Workspace,
  corners: Corners,
  { source, mic, pathEnergy }: PathEnds,
): void {
  const ends: Ends = [source, mic];
  for (const corner of corners.list) {
    if (!showsBoth(corners, corner, ends)) continue;
    setCornerPath(workspace, onlySide(workspace), corner, ends, 'past');
    freeEdgeEnergies(workspace, source, mic, pathEnergy);
    sumPastPanel(workspace);
    addWaves(workspace, corner.place, null);
  }
}

/**
 * Adds what corners leave of a line, without directions: of each that both ends see, or of the taut string where it bends at several.
 * Returns the bends from the source on, none where the line is clear; null where there is no path. The length of
 * `workspace.straight` must be set.
 */
export function addCorners(workspace: Workspace, corners: Corners, ends: Ends): readonly Corner[] | null {
  const bends = bendsOn(corners, ends);
  if (!bends) return null;
  if (bends.length < 2) {
    for (const one of corners.list) if (showsBoth(corners, one, ends)) addCorner(workspace, one, ends);
    return bends;
  }
  setString(workspace, bends, ends);
  const { wave } = onlySide(workspace);
  const { past, acting } = workspace;
  for (let band = 0; band < BAND_COUNT; band++) past[band] = edgeEnergy(wave, band * BAND_SIZE);
  addFactors(acting, (bends[0] as Corner).place, past);
  return bends;
}

/** Marks the leg before a reflection. */
const BEFORE = -1;

/** Adds one corner on a line; true where the line is in its shadow. */
function addCorner(workspace: Workspace, one: Corner, ends: Ends, leg = 0): boolean {
  const side = onlySide(workspace);
  setCornerPath(workspace, side, one, ends, 'past');
  sumPast(workspace);
  addFactors(workspace.acting, one.place, workspace.past, leg);
  return !side.clear;
}

/** Sets the first side of the workspace to the path round these corners, without its wave. */
export function setBends({ sides: [side] }: Workspace, bends: readonly Corner[], [source, mic]: Ends): void {
  const points = [source, ...bends.map(({ at }) => at), mic];
  const legs = points.slice(1).map((to, i) => span(points[i] as Planar, to));
  const flat = legs.reduce((sum, leg) => sum + leg, 0);
  const rise = (mic[2] - source[2]) / flat;
  const [first, last] = [bends[0] as Corner, bends[bends.length - 1] as Corner];
  side.length = Math.hypot(flat, mic[2] - source[2]);
  setPoint(side.first, ...first.at, source[2] + rise * (legs[0] as number));
  setPoint(side.last, ...last.at, mic[2] - rise * (legs[legs.length - 1] as number));
}

/** Writes the wave of a string that bends at several corners into the first side of the workspace. */
function setString(workspace: Workspace, bends: readonly Corner[], ends: Ends): void {
  const { chain, sides, straight } = workspace;
  const [source, mic] = ends;
  setBends(workspace, bends, ends);
  const whole = sides[0].length;
  const points = [source, ...bends.map(({ at }) => at), mic];
  const flat = points.slice(1).reduce((sum, to, i) => sum + span(points[i] as Planar, to), 0);
  let before = 0;
  chain.count = 0;
  bends.forEach((bend, i) => {
    before += span(points[i] as Planar, bend.at);
    const [from, to] = [angleAt(bend, points[i] as Planar), angleAt(bend, points[i + 2] as Planar)];
    const wedge = { before, after: flat - before, from, to, whole, straight: whole };
    const wave = nextWave(chain, Math.sin(Math.max(0, Math.abs(from - to) - Math.PI) / 2));
    setWedge(wave, bend, wedge, 'past', workspace);
  });
  chainWave(sides[0].wave, chain, straight.length / whole);
}

/** The corners that a string from source to mic bends at: none where the line is clear, null where there is no path. */
const bendsOn = (corners: Corners, [source, mic]: Ends): readonly Corner[] | null =>
  seesOnPlan(corners, { source, mic }) ? [] : shortest(corners, [source, mic]);

/** Whether the straight line stays inside the outline. */
export const seesOnPlan = (
  { outline }: Corners,
  { source, mic }: Pick<PathEnds, 'source' | 'mic'>,
): boolean => seesWithin(outline, source, mic);

// Reflections in the walls of a room with inner corners.

/** What mirrors from a to b, with the images of source and mic in it; `wall` −1 is no wall of the room. */
type Mirror = {
  readonly wall: number;
  readonly a: Vec2;
  readonly b: Vec2;
  readonly image: Vec3;
  readonly beyond: Vec3;
};

type Mirrored = Mirror & {
  /** Source and mic are both before the wall. */
  readonly before: boolean;
  /** Both legs stay inside and meet on the wall. */
  readonly clear: boolean;
};

/**
 * Adds what corners make of a reflection in a wall: the waves of the wall's own inner ends, and the other corners on either leg. Returns the
 * corner at which the sound leaves the wall where it does not meet it, null where it does; false where nothing is reflected. The
 * length of `workspace.straight` must be that of the line from the image.
 */
export function addMirrorCorners(
  workspace: Workspace,
  corners: Corners,
  ends: Ends,
  mirrored: Mirrored,
): Corner | null | false {
  const { wall, before, clear } = mirrored;
  const own = corners.list.filter((one) => bendsAt(corners, one, wall, ends));
  const beside = own.find((one) => !isMirrored(one, wall, sumOfAngles(one, ends))) ?? null;
  if (!beside && !before) return false;
  const shadowed = addOtherCorners(workspace, corners, ends, mirrored);
  if (!beside && !clear && !shadowed) return false;
  if (own.length > 0) addOwnEnds(workspace, own, ends, mirrored);
  return beside;
}

const sumOfAngles = (one: Corner, [source, mic]: Ends): number => angleAt(one, source) + angleAt(one, mic);

/** Whether a corner is an end of the wall that both see, and its reflected wave counts with this wall, not with its other one. */
function bendsAt(corners: Corners, one: Corner, wall: number, ends: Ends): boolean {
  if ((one.next !== wall && one.last !== wall) || !showsBoth(corners, one, ends)) return false;
  return sumOfAngles(one, ends) < one.beta === (one.next === wall);
}

function addOwnEnds(
  workspace: Workspace,
  own: readonly Corner[],
  ends: Ends,
  { wall, image }: Mirrored,
): void {
  const { sides, past, spare, acting } = workspace;
  onlySide(workspace);
  spare.fill(0);
  own.slice(0, 2).forEach((one, i) => {
    setCornerPath(workspace, sides[i] as EdgePath, one, ends, { wall, image });
  });
  sumPastAperture(workspace);
  for (let band = 0; band < BAND_COUNT; band++)
    past[band] = Math.max(LEAST, (past[band] as number) - (spare[band] as number));
  addFactors(acting, (own[0] as Corner).place, past);
}

/** So little of a wave is none. */
const LEAST = 1e-12;

/** Adds the corners that are no ends of the wall, on the leg after the reflection or before it; true where one of them shadows it. */
export function addOtherCorners(
  workspace: Workspace,
  corners: Corners,
  ends: Ends,
  mirrored: Mirror,
): boolean {
  const { outline } = corners;
  const { wall, image, beyond } = mirrored;
  const [source, mic] = ends;
  let shadowed = false;
  for (const one of corners.list) {
    if (one.next === wall || one.last === wall) continue;
    const after = seesWithin(outline, one.at, mic) && reflects(outline, source, image, one, mirrored);
    const before = seesWithin(outline, source, one.at) && reflects(outline, mic, beyond, one, mirrored);
    if (after && addCorner(workspace, one, [image, mic])) shadowed = true;
    if (before && addCorner(workspace, one, [source, beyond], BEFORE)) shadowed = true;
  }
  return shadowed;
}

/** Whether a point sees a corner by way of the wall in which it has this image. */
function reflects(
  outline: readonly Vec2[],
  point: Planar,
  image: Planar,
  { at }: Corner,
  { a, b }: Mirror,
): boolean {
  const met = crossing(image, at, a, b);
  if (!met) return false;
  const foot: Vec2 = [image[0] + met[0] * (at[0] - image[0]), image[1] + met[0] * (at[1] - image[1])];
  return seesWithin(outline, point, foot) && seesWithin(outline, foot, at);
}

/** Shortest path inside the outline, over corners each taken once at most; rooms have few inner corners. */
function shortest(corners: Corners, [from, to]: Ends): Corner[] | null {
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
  const bends = corners && bendsOn(corners, [source, mic]);
  const [x, y, z] = [mic[0] - source[0], mic[1] - source[1], mic[2] - source[2]];
  if (!bends || bends.length === 0) return Math.sqrt(x * x + y * y + z * z);
  const stops = [source, ...bends.map(({ at }) => at), mic];
  return Math.hypot(
    stops.slice(1).reduce((sum, to, i) => sum + span(stops[i] as Planar, to), 0),
    z,
  );
}
