/** Finite panel by Babinet: sum of edge waves, band means, the fast form for three edges. */
import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import type { Place } from './combined-loss.ts';
import * as edgeWaves from './edge-diffraction.ts';
import { type Point, VIEW_SIZE } from './panel-view.ts';
import type { FreePath } from './path-energy.ts';
import type { BarrierTrace, PathRecord } from './trace.ts';

// The waves past a rectangular panel or through an opening, put into a sum: edges, corners, and straight on.
/** The places of the waves in the sum: straight on, two sides, two horizontal edges, four corners. */
const STRAIGHT = 0;
const SIDE = 1;
const HORIZONTAL = 3;
const CORNER = 5;
const WAVES = 9;

/** A sum for all of them: bits of the edges that each bends round, the sides first. */
function newPanelSum(waves: edgeWaves.Wavenumbers): WaveSum {
  const sum = newWaveSum(WAVES, waves);
  sum.edges.set([0, 1, 2, 4, 8, 5, 9, 6, 10]);
  return sum;
}

/** Phases of every detour, before waves are summed. */
function setAllPhases({ sides, horizontals, waves }: PanelWorkspace): void {
  for (let i = 0; i < 2; i++) {
    const side = sides[i] as EdgePath;
    const horizontal = horizontals[i] as EdgePath;
    if (side.there) edgeWaves.setPhases(side.wave, edgeWaves.PHASES, waves.turns, side.detour);
    if (horizontal.there)
      edgeWaves.setPhases(horizontal.wave, edgeWaves.PHASES, waves.turns, horizontal.detour);
  }
}

/** Waves whose factor is 0 are left out of the sum; but the corners need those of their edges. */
function gatherTerms(workspace: PanelWorkspace, through: number, across: number, upright: number): void {
  const { sum } = workspace;
  sum.count = 0;
  setSteady(workspace);
  if (through !== 0) addStraight(sum, through);
  for (let i = 0; i < 2; i++) {
    const side = workspace.sides[i] as EdgePath;
    const horizontal = workspace.horizontals[i] as EdgePath;
    if (side.there) spin(workspace, side, SIDE + i);
    if (side.there && upright !== 0) sum.terms[sum.count++] = SIDE + i;
    if (horizontal.there) spin(workspace, horizontal, HORIZONTAL + i);
    if (horizontal.there && across !== 0) sum.terms[sum.count++] = HORIZONTAL + i;
  }
  for (let i = 0; i < 4; i++) {
    const there =
      (workspace.sides[i >> 1] as EdgePath).there && (workspace.horizontals[i & 1] as EdgePath).there;
    if (there) addCorner(sum, CORNER + i, SIDE + (i >> 1), HORIZONTAL + (i & 1));
  }
}

/** What of a phase holds that the edges of a set are part of: they are off independently of each other. */
function setSteady({ sum: { steady }, sides, horizontals }: PanelWorkspace): void {
  for (let edge = 1; edge < EDGE_SETS; edge *= 2) {
    const { wave } = (edge < 4 ? sides[edge >> 1] : horizontals[edge >> 3]) as EdgePath;
    for (let i = 0; i < edge * BAND_COUNT; i++)
      steady[edge * BAND_COUNT + i] =
        (steady[i] as number) * (wave[(i % BAND_COUNT) * edgeWaves.BAND_SIZE + edgeWaves.STEADY] as number);
  }
}

function addStraight(sum: WaveSum, factor: number): void {
  const { waves } = sum;
  for (let i = 0; i < WAVE_SIZE; i += 2) {
    waves[i] = factor;
    waves[i + 1] = 0;
  }
  sum.terms[sum.count++] = STRAIGHT;
}

/** A corner's wave is the product of both edges', and taken from their sum. */
function addCorner(sum: WaveSum, corner: number, side: number, horizontal: number): void {
  const { waves, detour } = sum;
  detour[corner] = (detour[side] as number) + (detour[horizontal] as number);
  let at = corner * WAVE_SIZE;
  let p = side * WAVE_SIZE;
  let q = horizontal * WAVE_SIZE;
  for (const end = at + WAVE_SIZE; at < end; at += 2, p += 2, q += 2) {
    const a = waves[p] as number;
    const b = waves[p + 1] as number;
    const c = waves[q] as number;
    const d = waves[q + 1] as number;
    waves[at] = b * d - a * c;
    waves[at + 1] = -a * d - b * c;
  }
  sum.terms[sum.count++] = corner;
}

/** Gives an edge wave the phase of its detour at both edges of each band, and puts it in its place in the sum. */
function spin(workspace: PanelWorkspace, edgePath: EdgePath, place: number): void {
  const { sum } = workspace;
  const { wave } = edgePath;
  const into = sum.waves;
  sum.detour[place] = edgePath.detour;
  let at = place * WAVE_SIZE;
  for (let band = 0; band < BAND_COUNT; band++, at += 4) {
    const a = wave[band * edgeWaves.BAND_SIZE + edgeWaves.RE] as number;
    const b = wave[band * edgeWaves.BAND_SIZE + edgeWaves.IM] as number;
    const phase = edgeWaves.PHASES + 2 * band;
    const c = wave[phase] as number;
    const s = wave[phase + 1] as number;
    const d = wave[phase + 2] as number;
    const t = wave[phase + 3] as number;
    into[at] = a * c - b * s;
    into[at + 1] = a * s + b * c;
    into[at + 2] = a * d - b * t;
    into[at + 3] = a * t + b * d;
  }
}

// Field past a rectangular panel, and through a rectangular opening, from the edge waves of its four sides: the one is the
// complement of the other (ITU-R P.526, thin screens; Babinet).

/** A path round one side of a barrier. A side that is none (`there` false) has neither edge wave nor a clear side. */
export type EdgePath = FreePath & {
  /** Its phases are set as waves are summed. */
  readonly wave: edgeWaves.EdgeWave;
  there: boolean;
  /** The straight line passes outside this side. */
  clear: boolean;
  detour: number;
  /** How far the line has come from the edge to the panel's plane: 0 where it is hidden, to 1. */
  lift: number;
  /** Share of a path with one bend that lies before it, as seen along the edge. */
  bend: number;
  /** Where it bends first and last; of the straight line nothing. */
  readonly first: Point;
  readonly last: Point;
  /** Unit vectors along the path as it leaves the source and as it reaches the mic: set where directions count. */
  readonly leave: Point;
  readonly arrive: Point;
};

/**
 * What both ends of a line see of panels, and the leg of the line on which these count: shares of its length, and the lone panel that
 * does not (−1: all do). One record set anew for each leg, since a dozen are asked about for each pair.
 */
export type ViewedEnds = {
  source: Float64Array;
  mic: Float64Array;
  /** Where the views of the first panel begin, or of the current panel. */
  sourceAt: number;
  micAt: number;
  from: number;
  to: number;
  except: number;
  where: BarrierTrace['where'];
};

/** Working memory of one computation: whoever computes many pairs makes it once. */
export type PanelWorkspace = {
  readonly waves: edgeWaves.Wavenumbers;
  readonly bend: edgeWaves.Bend;
  /** Waves of three edges in one array: with an array to each, all that is computed past panels took a fifth longer. */
  readonly edges: edgeWaves.EdgeWave;
  /** What source and mic see of a panel, where no table of it is kept. */
  readonly views: Float64Array;
  readonly ends: ViewedEnds;
  readonly sides: readonly [EdgePath, EdgePath];
  readonly horizontals: readonly [EdgePath, EdgePath];
  readonly straight: EdgePath;
  readonly sum: WaveSum;
  /** What is kept of the last sum that was weighed, and the mic's responses to its rays, packed [ray][band]. */
  readonly interference: InterferenceSum;
  readonly responses: Float64Array;
  /** The response to one path or ray. */
  readonly response: Bands;
  /** Amplitudes of the waves by band, packed [wave][band], while a sum is weighed. */
  readonly amplitudes: Float64Array;
  /** Where interference sums of the current path are put, for whoever wants to hear them again with other responses. */
  kept: KeptInterference[] | null;
  /** Where the factors of the current path are recorded, for whoever asks why it is as loud as it is. */
  record: PathRecord | null;
  /** The squared sum with free energies, and with all of them 1. */
  readonly weighted: Bands;
  readonly past: Bands;
};

export function newPanelWorkspace(soundSpeed: number): PanelWorkspace {
  const views = new Float64Array(2 * VIEW_SIZE);
  const waves = edgeWaves.wavenumbersAt(soundSpeed);
  return {
    waves,
    bend: edgeWaves.newBend(),
    edges: edgeWaves.newEdgeWave(3),
    views,
    ends: {
      source: views,
      sourceAt: 0,
      mic: views,
      micAt: VIEW_SIZE,
      from: 0,
      to: 1,
      except: -1,
      where: 'whole',
    },
    sides: [newEdgePath(), newEdgePath()],
    horizontals: [newEdgePath(), newEdgePath()],
    straight: newEdgePath(),
    sum: newPanelSum(waves),
    interference: newInterferenceSum(),
    responses: new Float64Array(RAYS * BAND_COUNT),
    response: sameInAllBands(0),
    amplitudes: new Float64Array(WAVES * BAND_COUNT),
    kept: null,
    record: null,
    weighted: sameInAllBands(0),
    past: sameInAllBands(0),
  };
}

const newEdgePath = (): EdgePath => ({
  wave: edgeWaves.newEdgeWave(),
  there: false,
  clear: false,
  cosLeave: 1,
  cosArrive: 1,
  spread: 0,
  length: 0,
  detour: 0,
  lift: 0,
  bend: 0,
  first: [0, 0, 0],
  last: [0, 0, 0],
  leave: [0, 0, 0],
  arrive: [0, 0, 0],
  free: sameInAllBands(1),
  response: sameInAllBands(1),
});

/** Writes `past` of the field past a panel: `1 − (a_h − D_l − D_r)(a_v − D_t − D_b)`. */
export function sumPast(workspace: PanelWorkspace): void {
  const [top, bottom] = workspace.horizontals;
  const oneHorizontal = workspace.sides[0].there && workspace.sides[1].there && top.there !== bottom.there;
  if (oneHorizontal && oneLevelEdge(workspace, top.there ? top : bottom)) return;
  setAllPhases(workspace);
  const across = hiddenShare(workspace.sides);
  const upright = hiddenShare(workspace.horizontals);
  gatherTerms(workspace, 1 - across * upright, across, upright);
  meanSquares(workspace.past, workspace.sum);
  const left = taperOf(workspace);
  if (left < 1)
    for (let band = 0; band < BAND_COUNT; band++)
      workspace.past[band] = 1 + ((workspace.past[band] as number) - 1) * left;
}

/** The same, and `weighted` by the free energies of the paths. */
export function sumPastPanel(workspace: PanelWorkspace): void {
  setAllPhases(workspace);
  const across = hiddenShare(workspace.sides);
  const upright = hiddenShare(workspace.horizontals);
  gatherTerms(workspace, 1 - across * upright, across, upright);
  mix(workspace, taperOf(workspace));
}

/** Of the panel's effect, over all edges that the line passes clear of. */
function taperOf({ sides, horizontals }: PanelWorkspace): number {
  let left = 1;
  for (let i = 0; i < 2; i++) {
    const side = sides[i] as EdgePath;
    const horizontal = horizontals[i] as EdgePath;
    if (side.there) left *= edgeTaper(side.lift);
    if (horizontal.there) left *= edgeTaper(horizontal.lift);
  }
  return left;
}

/**
 * Writes both of the field through an opening, `(t_left + t_right − 1)·(t_below + t_above − 1)`, t past each piece of wall beside it: its
 * waves are taken with the other sign, as an outline's are, and the sign of all drops out.
 */
export function sumThroughAperture(workspace: PanelWorkspace): void {
  turnOutward(workspace.sides);
  turnOutward(workspace.horizontals);
  const across = hiddenShare(workspace.sides);
  const upright = hiddenShare(workspace.horizontals);
  setAllPhases(workspace);
  gatherTerms(workspace, -across * upright, across, upright);
  mix(workspace, 1);
}

/** Writes `past` alone of the same. */
export function sumPastThrough(workspace: PanelWorkspace): void {
  turnOutward(workspace.sides);
  turnOutward(workspace.horizontals);
  sumPastAperture(workspace);
}

/** Waves past what reaches outward, as those of the outline within: the line is outside this where that hides it. */
function turnOutward(edgePaths: readonly [EdgePath, EdgePath]): void {
  for (const edgePath of edgePaths) {
    const { wave } = edgePath;
    edgePath.clear = !edgePath.clear;
    for (let at = 0; at < edgeWaves.PHASES; at += edgeWaves.BAND_SIZE) {
      wave[at + edgeWaves.RE] = -(wave[at + edgeWaves.RE] as number);
      wave[at + edgeWaves.IM] = -(wave[at + edgeWaves.IM] as number);
    }
  }
}

/**
 * Writes `past` of `1 + q·P`, P the field `(a_h − D_l − D_r)(a_v − D_t − D_b)` through an outline and `q` by band: what reflects otherwise
 * than the wall round it.
 */
export function sumReflected(workspace: PanelWorkspace, q: Bands): void {
  turnOutward(workspace.sides);
  turnOutward(workspace.horizontals);
  const across = hiddenShare(workspace.sides);
  const upright = hiddenShare(workspace.horizontals);
  const { sum, past } = workspace;
  const { waves } = sum;
  setAllPhases(workspace);
  gatherTerms(workspace, 1, across, upright);
  for (let term = 0; term < sum.count; term++) {
    const wave = sum.terms[term] as number;
    for (let i = 0; i < WAVE_SIZE; i++) {
      const by = q[i >> 2] as number;
      const at = wave * WAVE_SIZE + i;
      if (wave !== STRAIGHT) waves[at] = -by * (waves[at] as number);
      else if (i % 2 === 0) waves[at] = 1 + by * across * upright;
    }
  }
  meanSquares(past, sum);
}

/** Writes `past` of the field through an outline, `(a_h − D_l − D_r)(a_v − D_t − D_b)`. */
export function sumPastAperture(workspace: PanelWorkspace): void {
  const across = hiddenShare(workspace.sides);
  const upright = hiddenShare(workspace.horizontals);
  setAllPhases(workspace);
  gatherTerms(workspace, -across * upright, across, upright);
  meanSquares(workspace.past, workspace.sum);
}

/** Keeps the gathered waves as a sum of interfering paths, and sums them both with their energies and with all of them 1. */
function mix(workspace: PanelWorkspace, left: number): void {
  const { interference, sum } = workspace;
  interference.count = sum.count;
  interference.terms.set(sum.terms);
  eachMean(interference.means, sum);
  if (left < 1) leave(interference, left);
  takeRays(interference, workspace);
  setResponses(workspace);
  sumOfMeans(workspace.past, interference);
  applyResponse(workspace, interference);
}

/** Takes a panel's effect back: what is not left of it is the straight line, the first wave of a line that is clear of an edge. */
function leave({ means, count }: InterferenceSum, left: number): void {
  const end = ((count * (count + 1)) / 2) * BAND_COUNT;
  for (let i = 0; i < end; i++) means[i] = (means[i] as number) * left;
  for (let band = 0; band < BAND_COUNT; band++) means[band] = (means[band] as number) + 1 - left;
}

function setResponses({ responses, straight, sides, horizontals }: PanelWorkspace): void {
  responses.set(straight.response, 0);
  for (let i = 0; i < 2; i++) {
    responses.set((sides[i] as EdgePath).response, (SIDE + i) * BAND_COUNT);
    responses.set((horizontals[i] as EdgePath).response, (HORIZONTAL + i) * BAND_COUNT);
  }
}

/** `1 − H − H`: 0 where the line passes outside one of two opposite sides. Two clear sides can only be a gap between arms. */
function hiddenShare(edgePaths: readonly [EdgePath, EdgePath]): number {
  return (edgePaths[0].there && edgePaths[0].clear) || (edgePaths[1].there && edgePaths[1].clear) ? 0 : 1;
}

// Energy past a panel with one level edge, as nearly all have: two sides and a top, without a sum over pairs of waves.

/** Places of the waves of both sides and of the level edge among `PanelWorkspace.edges`. */
export const LEFT = 0;
export const RIGHT = edgeWaves.EDGE_WAVE_SIZE;
export const LEVEL = 2 * edgeWaves.EDGE_WAVE_SIZE;
/** Detours closer than this, in m: their difference over a band would cancel. */
const ALIKE = 2.5e-6;

/** `threeEdgePanel` of the edge paths of a panel whose one level edge is `level`. */
function oneLevelEdge(
  { past, edges, sides: [left, right], waves }: PanelWorkspace,
  level: EdgePath,
): boolean {
  loadWave(edges, LEFT, left);
  loadWave(edges, RIGHT, right);
  loadWave(edges, LEVEL, level);
  return threeEdgePanel(past, edges, waves);
}

/** Copies the wave of an edge path, without its phases. */
function loadWave(edges: edgeWaves.EdgeWave, at: number, { wave, detour, clear, lift }: EdgePath): void {
  for (let i = 0; i < edgeWaves.PHASES; i++) edges[at + i] = wave[i] as number;
  edges[at + edgeWaves.DETOUR] = detour;
  edges[at + edgeWaves.CLEAR] = clear ? 1 : 0;
  edges[at + edgeWaves.LIFT] = lift;
}

/**
 * Writes `past`, the band mean of |1 − (a − L − R)(b − T)|², from the waves L, R, T of both sides and the level edge; a is 1 where
 * both sides hide the line, b where the horizontal does, else 0. Multiplied out it is a constant and eight waves, each as strong as its
 * edges are in step: squares do not swing, and of LT and LT* one falls away. The mean of a wave over a band is what its imaginary
 * part grows by, over span and detour. The sum over all pairs of nine waves, which gives the same, took twice the time. False, and
 * nothing written, where two detours are alike.
 */
export function threeEdgePanel(
  past: Bands,
  edges: edgeWaves.EdgeWave,
  { turns, inverseSpan }: edgeWaves.Wavenumbers,
): boolean {
  const l = edges[LEFT + edgeWaves.DETOUR] as number;
  const r = edges[RIGHT + edgeWaves.DETOUR] as number;
  const t = edges[LEVEL + edgeWaves.DETOUR] as number;
  const a =
    (1 - (edges[LEFT + edgeWaves.CLEAR] as number)) * (1 - (edges[RIGHT + edgeWaves.CLEAR] as number));
  const b = 1 - (edges[LEVEL + edgeWaves.CLEAR] as number);
  const hidden = a * b;
  const corner = hidden > 0 ? 2 : -2;
  // of LT (1) and LT* (−1) the one that stays
  const twist = hidden > 0 ? -1 : 1;
  const apart = l - r;
  const withL = l + twist * t;
  const withR = r + twist * t;
  const over = apart + t;
  const under = apart - t;
  const least = Math.min(l, r, t, Math.abs(apart), Math.abs(withL), Math.abs(withR));
  if (Math.min(least, Math.abs(over), Math.abs(under)) < ALIKE) return false;
  edgeWaves.setPhases(edges, LEFT + edgeWaves.PHASES, turns, l);
  edgeWaves.setPhases(edges, RIGHT + edgeWaves.PHASES, turns, r);
  edgeWaves.setPhases(edges, LEVEL + edgeWaves.PHASES, turns, t);
  const left =
    edgeTaper(edges[LEFT + edgeWaves.LIFT] as number) *
    edgeTaper(edges[RIGHT + edgeWaves.LIFT] as number) *
    edgeTaper(edges[LEVEL + edgeWaves.LIFT] as number);
  const perL = 1 / l;
  const perR = 1 / r;
  const perT = 1 / t;
  const perApart = 1 / apart;
  const perWithL = 1 / withL;
  const perWithR = 1 / withR;
  const perOver = 1 / over;
  const perUnder = 1 / under;
  for (let band = 0; band < BAND_COUNT; band++) {
    const at = edgeWaves.BAND_SIZE * band;
    const across = a + edgeWaves.edgeEnergy(edges, LEFT + at) + edgeWaves.edgeEnergy(edges, RIGHT + at);
    const upright = b + edgeWaves.edgeEnergy(edges, LEVEL + at);
    const lSteady = edges[LEFT + at + edgeWaves.STEADY] as number;
    const lRe = lSteady * (edges[LEFT + at + edgeWaves.RE] as number);
    const lIm = lSteady * (edges[LEFT + at + edgeWaves.IM] as number);
    const rSteady = edges[RIGHT + at + edgeWaves.STEADY] as number;
    const rRe = rSteady * (edges[RIGHT + at + edgeWaves.RE] as number);
    const rIm = rSteady * (edges[RIGHT + at + edgeWaves.IM] as number);
    const tSteady = edges[LEVEL + at + edgeWaves.STEADY] as number;
    const tRe = tSteady * (edges[LEVEL + at + edgeWaves.RE] as number);
    const tIm = tSteady * (edges[LEVEL + at + edgeWaves.IM] as number);
    const first = edgeWaves.PHASES + 2 * band;
    let growth = 0;
    for (let phase = first; phase < first + 4; phase += 2) {
      const lCos = edges[LEFT + phase] as number;
      const lSin = edges[LEFT + phase + 1] as number;
      const rCos = edges[RIGHT + phase] as number;
      const rSin = edges[RIGHT + phase + 1] as number;
      const tCos = edges[LEVEL + phase] as number;
      const tSin = edges[LEVEL + phase + 1] as number;
      const lx = lRe * lCos - lIm * lSin;
      const ly = lRe * lSin + lIm * lCos;
      const rx = rRe * rCos - rIm * rSin;
      const ry = rRe * rSin + rIm * rCos;
      const tx = tRe * tCos - tIm * tSin;
      const ty = tRe * tSin + tIm * tCos;
      const crossX = lx * rx + ly * ry;
      const crossY = ly * rx - lx * ry;
      const ways =
        (b - a * upright) * (ly * perL + ry * perR) +
        (a - b * across) * ty * perT +
        upright * crossY * perApart -
        b * ((crossY * tx + crossX * ty) * perOver + (crossY * tx - crossX * ty) * perUnder);
      const corners = (ly * tx + twist * lx * ty) * perWithL + (ry * tx + twist * rx * ty) * perWithR;
      growth = 2 * ways + corner * corners - growth;
    }
    const effect = across * upright - 2 * hidden + growth * (inverseSpan[band] as number);
    past[band] = 1 + left * effect;
  }
  return true;
}

// Paths past one barrier that interfere, straight on and round its edges: how each two of them add up, and how strong each is before
// the microphone's response. A mic that turns changes the responses alone, and the rest stays.

/** Straight on, two sides, two horizontal edges; corners take their strength from both their edges. */
export const RAYS = CORNER;

type InterferenceSum = {
  /** Which waves there are, in their order. */
  readonly terms: Int32Array;
  count: number;
  /** Band means of each two of them, as `eachMean` packs them. */
  readonly means: Float64Array;
  /** Of each ray: free energy by band, and unit vector as it reaches the mic; packed [ray][…]. */
  readonly free: Float64Array;
  readonly arrive: Float64Array;
};

const newInterferenceSum = (): InterferenceSum => ({
  terms: new Int32Array(WAVES),
  count: 0,
  means: new Float64Array(((WAVES * (WAVES + 1)) / 2) * BAND_COUNT),
  free: new Float64Array(RAYS * BAND_COUNT),
  arrive: new Float64Array(RAYS * 3),
});

export const copyInterference = ({
  terms,
  count,
  means,
  free,
  arrive,
}: InterferenceSum): InterferenceSum => ({
  terms: terms.slice(0, count),
  count,
  means: means.slice(0, ((count * (count + 1)) / 2) * BAND_COUNT),
  free: free.slice(),
  arrive: arrive.slice(),
});

/** Takes the rays of a pass with their free energies and directions; returns whether each is there. */
function takeRays({ free, arrive }: InterferenceSum, { straight, sides, horizontals }: PanelWorkspace): void {
  takeRay(free, arrive, STRAIGHT, straight);
  for (let i = 0; i < 2; i++) {
    takeRay(free, arrive, SIDE + i, sides[i] as EdgePath);
    takeRay(free, arrive, HORIZONTAL + i, horizontals[i] as EdgePath);
  }
}

function takeRay(free: Float64Array, arrive: Float64Array, ray: number, edgePath: EdgePath): void {
  for (let band = 0; band < BAND_COUNT; band++) free[ray * BAND_COUNT + band] = edgePath.free[band] as number;
  for (let i = 0; i < 3; i++) arrive[ray * 3 + i] = edgePath.arrive[i] as number;
}

/**
 * An interference sum kept for other responses, with its part in a path: so much of the straight sound goes through, so much round, and
 * `factors` of both without directions.
 */
export type KeptInterference = {
  readonly interference: InterferenceSum;
  readonly place: Place;
  readonly factors: Bands;
  readonly through: Bands;
  readonly diffracted: Bands;
};

/** Writes `weighted`, the squared sum of all waves, each times the root of its energy and of the mic's response to its ray. */
export function applyResponse(
  { weighted: into, responses, amplitudes }: PanelWorkspace,
  interference: InterferenceSum,
): void {
  const { terms, count, means } = interference;
  setAmplitudes(amplitudes, interference, responses);
  into.fill(0);
  let at = 0;
  for (let i = 0; i < count; i++) {
    const one = (terms[i] as number) * BAND_COUNT;
    for (let j = 0; j <= i; j++, at += BAND_COUNT) {
      const other = (terms[j] as number) * BAND_COUNT;
      for (let band = 0; band < BAND_COUNT; band++)
        into[band] =
          (into[band] as number) +
          (means[at + band] as number) *
            (amplitudes[one + band] as number) *
            (amplitudes[other + band] as number);
    }
  }
}

/** The root of each ray's energy; a corner's is the geometric mean of both edges'. */
function setAmplitudes(
  amplitudes: Float64Array,
  { terms, count, free }: InterferenceSum,
  responses: Float64Array,
): void {
  for (let i = 0; i < RAYS * BAND_COUNT; i++)
    amplitudes[i] = Math.sqrt((free[i] as number) * (responses[i] as number));
  for (let i = 0; i < count; i++) {
    const corner = (terms[i] as number) - CORNER;
    if (corner < 0) continue;
    const to = (CORNER + corner) * BAND_COUNT;
    const side = (SIDE + (corner >> 1)) * BAND_COUNT;
    const horizontal = (HORIZONTAL + (corner & 1)) * BAND_COUNT;
    for (let band = 0; band < BAND_COUNT; band++)
      amplitudes[to + band] = Math.sqrt(
        (amplitudes[side + band] as number) * (amplitudes[horizontal + band] as number),
      );
  }
}

/** The sum of all means: the squared sum with all energies 1. */
function sumOfMeans(into: Bands, { count, means }: InterferenceSum): void {
  into.fill(0);
  const end = ((count * (count + 1)) / 2) * BAND_COUNT;
  for (let i = 0; i < end; i++) {
    const band = i & (BAND_COUNT - 1);
    into[band] = (into[band] as number) + (means[i] as number);
  }
}

// Squared sum of waves with different detours, as the mean over each octave band.

/** Numbers a wave takes: real and imaginary part at the lower edge of each band, then at its upper edge. */
const WAVE_SIZE = 4 * BAND_COUNT;
/** Sets of up to four edges. */
const EDGE_SETS = 16;

/**
 * Waves with the phases of their detours, packed [wave][band][re, im, re, im], and which of them are summed; the edges each of
 * them bends round, as a set of bits, and what of a phase holds that every edge of a set is part of, packed [set][band].
 */
type WaveSum = {
  readonly wavenumbers: edgeWaves.Wavenumbers;
  readonly edges: Int32Array;
  readonly steady: Float64Array;
  readonly detour: Float64Array;
  readonly waves: Float64Array;
  count: number;
  readonly terms: Int32Array;
};

const newWaveSum = (most: number, wavenumbers: edgeWaves.Wavenumbers): WaveSum => ({
  wavenumbers,
  edges: new Int32Array(most),
  steady: new Float64Array(EDGE_SETS * BAND_COUNT).fill(1),
  detour: new Float64Array(most),
  waves: new Float64Array(most * WAVE_SIZE),
  count: 0,
  terms: new Int32Array(most),
});

/**
 * Band means `Σ_i Σ_j γ_ij·Re(T_i T_j* e^{ik(δ_i−δ_j)})`, γ_ij the product of what holds of the edges that one of both has alone.
 * With U = T·e^{ikδ} the mean of one pair is
 * `Im(U_i U_j* at the upper edge − at the lower)/((k2−k1)(δ_i−δ_j))`: the exact e^{ik_m δ}·sinc of the design, without a sine.
 */
function meanSquares(into: Bands, sum: WaveSum): void {
  into.fill(0);
  for (let i = 0; i < sum.count; i++) {
    const term = sum.terms[i] as number;
    addOwn(into, 0, sum.waves, term * WAVE_SIZE);
    for (let j = 0; j < i; j++) addCross(into, 0, sum, term, sum.terms[j] as number);
  }
}

/** Each of those means by itself, packed [pair][band]: each wave with those before it, then with itself. */
function eachMean(into: Float64Array, sum: WaveSum): void {
  let at = 0;
  into.fill(0, 0, ((sum.count * (sum.count + 1)) / 2) * BAND_COUNT);
  for (let i = 0; i < sum.count; i++) {
    const term = sum.terms[i] as number;
    for (let j = 0; j < i; j++, at += BAND_COUNT) addCross(into, at, sum, term, sum.terms[j] as number);
    addOwn(into, at, sum.waves, term * WAVE_SIZE);
    at += BAND_COUNT;
  }
}

function addOwn(into: Float64Array, to: number, waves: Float64Array, at: number): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const re = waves[at + 4 * band] as number;
    const im = waves[at + 4 * band + 1] as number;
    into[to + band] = (into[to + band] as number) + re * re + im * im;
  }
}

/** Below this growth of phase over a band the difference would cancel. */
const SHORT = 0.04;

function addCross(into: Float64Array, to: number, sum: WaveSum, i: number, j: number): void {
  const { waves, detour, edges, steady } = sum;
  const { span, inverseSpan } = sum.wavenumbers;
  const kept = ((edges[i] as number) ^ (edges[j] as number)) * BAND_COUNT;
  const apart = (detour[i] as number) - (detour[j] as number);
  let p = i * WAVE_SIZE;
  let q = j * WAVE_SIZE;
  let band = 0;
  for (; band < BAND_COUNT && Math.abs(apart) * (span[band] as number) < SHORT; band++, p += 4, q += 4) {
    const a = waves[p] as number;
    const b = waves[p + 1] as number;
    const c = waves[q] as number;
    const d = waves[q + 1] as number;
    into[to + band] =
      (into[to + band] as number) +
      2 *
        (steady[kept + band] as number) *
        shortMean(a * c + b * d, b * c - a * d, apart * (span[band] as number));
  }
  const scale = 2 / apart;
  for (; band < BAND_COUNT; band++, p += 4, q += 4) {
    const low =
      (waves[p + 1] as number) * (waves[q] as number) - (waves[p] as number) * (waves[q + 1] as number);
    const high =
      (waves[p + 3] as number) * (waves[q + 2] as number) -
      (waves[p + 2] as number) * (waves[q + 3] as number);
    into[to + band] =
      (into[to + band] as number) +
      (steady[kept + band] as number) * (high - low) * scale * (inverseSpan[band] as number);
  }
}

/** Mean of Re((re + i·im)·e^{ix}) over x from 0 to a small u, by its series, 1e-12 off. */
function shortMean(re: number, im: number, u: number): number {
  const square = u * u;
  const cos = 1 - (square / 6) * (1 - square / 20);
  const sin = (u / 2) * (1 - (square / 12) * (1 - square / 30));
  return re * cos - im * sin;
}

// What is left of a panel's effect on a line that passes beside it.

/**
 * 1 where the line grazes an edge or is hidden, 0 where source or mic stands in the panel's plane outside it: there the exact field
 * of a thin rigid panel is the free one, by symmetry, and that of the edge waves is not. `lift` is how far from the edge to the plane
 * the line has come, 0 to 1, as ρ rises; its square, which of its powers comes closest to the wave equation past narrow strips.
 * Of several edges that a line passes clear of they multiply.
 */
const edgeTaper = (lift: number): number => 1 - lift * lift;
