/** Half-plane diffraction (Hadden and Pierce), coherence, phases. */
import { BAND_COUNT, BAND_EDGE, type Bands, bands, MID_BANDS } from '../acoustics/bands.ts';
import * as fresnel from '../acoustics/fresnel.ts';
import type { Vec3 } from '../geometry.ts';

/** Wave numbers of the octave bands at one speed of sound: what interference and bending depend on. */
export type Wavenumbers = PhaseSpread & {
  /** 1/√λ at mid-band. */
  readonly inverseRoot: Bands;
  /** Made for the first edge. */
  fresnel: Float64Array | null;
  /** 1/λ at the nine edges of the eight bands, which join without a gap: whole turns in a metre. */
  readonly turns: Float64Array;
  /** What the wave number grows by over each band, and its inverse. */
  readonly span: Bands;
  readonly inverseSpan: Bands;
};

export function wavenumbersAt(soundSpeed: number): Wavenumbers {
  const first = (MID_BANDS[0] ?? 0) / BAND_EDGE;
  const turns = Float64Array.from(
    { length: BAND_COUNT + 1 },
    (_, i) => (first * BAND_EDGE ** (2 * i)) / soundSpeed,
  );
  const spread = bands((band) => phaseSpread(soundSpeed / (MID_BANDS[band] ?? 0)));
  const span = bands((band) => 2 * Math.PI * ((turns[band + 1] ?? 0) - (turns[band] ?? 0)));
  return {
    inverseRoot: bands((band) => Math.sqrt((MID_BANDS[band] ?? 0) / soundSpeed)),
    fresnel: null,
    spread,
    firstSpread: spread.filter((value) => value === 0).length,
    turns,
    span,
    inverseSpan: span.map((value) => 1 / value),
  };
}

// How far the phase of a path holds, since nobody stands to the centimetre. Waves that were in step wherever one stands would put
// nulls into the upper octaves that a shift of 1 cm fills by 4 dB: no property of a layout.

/**
 * How far each end may be off its place along any direction, as a standard deviation, m. A choice of this program: less lets 1 cm change
 * a level by more than 1.5 dB, more departs at 1 kHz from what a simulation of the wave equation finds at a point.
 */
const PLACE = 0.022;
/** Longer waves stay in step, m. */
const LONGEST = 0.4;
/** What phases are off by: `phaseSpread` by band, and the lowest band in which it is more than 0. */
type PhaseSpread = { readonly spread: Bands; readonly firstSpread: number };

/** Half the variance of a phase whose path changes as much as its end is shifted, by wavelength in m. */
const phaseSpread = (wavelength: number): number =>
  wavelength < LONGEST ? ((2 * Math.PI * PLACE) / wavelength) ** 2 / 2 : 0;

/**
 * Share γ of a wave that stays in step with the others: the mean of e^{iψ} of a phase ψ off by Laplace's law,
 * `1/(1 + (kσ)²|∇δ|²/2)` with k the wave number and σ the place. `drift` is |∇δ|², `spread` the rest. Bands below it are in step
 * whole, and the energy of the wave itself is not touched.
 */
export function setCoherence(
  into: EdgeWave,
  at: number,
  drift: number,
  { spread, firstSpread }: PhaseSpread,
): void {
  for (let band = firstSpread; band < BAND_COUNT; band++)
    into[at + band * BAND_SIZE + STEADY] = 1 / (1 + drift * (spread[band] as number));
}

/**
 * |∇δ|², how much the detour of a path round one edge changes as either end is shifted, squared and summed over both: 2 − 2cos of the
 * angle between path and straight line at each. `flat` is the path square to the edge, `turn` the cosine of half the turn there.
 */
export const driftRound = (flat: number, turn: number, whole: number, straight: number): number =>
  (4 * flat * flat * turn * turn) / (whole * straight) - (4 * (whole - straight)) / straight;

/** The same of any path, from the points at which it bends first and last. */
export const driftOf = (source: Vec3, first: Vec3, last: Vec3, mic: Vec3): number =>
  apart(source, first, source, mic) + apart(last, mic, source, mic);

/** Squared distance between the unit vectors of two directions. */
function apart(a: Vec3, b: Vec3, c: Vec3, d: Vec3): number {
  const one = Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]) || 1;
  const other = Math.hypot(d[0] - c[0], d[1] - c[1], d[2] - c[2]) || 1;
  let sum = 0;
  for (let i = 0; i < 3; i++) {
    const along = ((b[i] as number) - (a[i] as number)) / one - ((d[i] as number) - (c[i] as number)) / other;
    sum += along * along;
  }
  return sum;
}

const NODES = 256;
const TABLE = unitCircle();

/**
 * Writes cos and sin of `turns[i]·detour` whole turns, ≥ 0, from `from` on: from the nearest of 256 points of the circle by the series of the rest,
 * 1e-14 off: five times as fast as `Math.cos` and `Math.sin`, and these were a quarter of all time among panels.
 */
export function setPhases(into: Float64Array, from: number, turns: Float64Array, detour: number): void {
  let to = from;
  for (let i = 0; i < turns.length; i++, to += 2) {
    const turn = (turns[i] as number) * detour;
    const node = (turn * NODES + 0.5) | 0;
    const at = (node & (NODES - 1)) * 2;
    const rest = (turn - node / NODES) * (2 * Math.PI);
    const square = rest * rest;
    const c = 1 - (square / 2) * (1 - square / 12);
    const s = rest * (1 - (square / 6) * (1 - square / 20));
    const nodeCos = TABLE[at] as number;
    const nodeSin = TABLE[at + 1] as number;
    into[to] = nodeCos * c - nodeSin * s;
    into[to + 1] = nodeSin * c + nodeCos * s;
  }
}

function unitCircle(): Float64Array {
  const table = new Float64Array(2 * NODES);
  for (let node = 0; node < NODES; node++) {
    table[2 * node] = Math.cos((2 * Math.PI * node) / NODES);
    table[2 * node + 1] = Math.sin((2 * Math.PI * node) / NODES);
  }
  return table;
}

// One edge wave of a thin half-plane, over the free direct field. Closed form of Hadden and Pierce 1981;
// within 0.6 dB of Macdonald's exact solution at 0.3 m and more from the edge, 0.05 dB rms.

/** Half of an angle between 0 and π, as its cosine and sine. */
export type HalfAngle = { cos: number; sin: number };

/** A path round one edge. Angles are those from the half-plane's own face on either side to the path. */
export type Bend = {
  /** Square to the edge: from the source to it, from it to the mic. */
  before: number;
  after: number;
  readonly toSource: HalfAngle;
  readonly toMic: HalfAngle;
  /** Length of the path and of the straight line. */
  whole: number;
  straight: number;
};

export const newBend = (): Bend => ({
  before: 0,
  after: 0,
  toSource: { cos: 1, sin: 0 },
  toMic: { cos: 1, sin: 0 },
  whole: 0,
  straight: 0,
});

/**
 * Sets half the angle of a path that goes `across` (at least 0) off the half-plane and `along` it. By roots, since
 * `Math.atan2` and `Math.cos` for every edge took as long as the waves themselves.
 */
export function setHalfAngle(into: HalfAngle, across: number, along: number): void {
  const length = Math.sqrt(across * across + along * along);
  const larger = length > 0 ? Math.sqrt((1 + Math.abs(along) / length) / 2) : 1;
  const smaller = length > 0 ? across / (2 * larger * length) : 0;
  into.cos = along < 0 ? smaller : larger;
  into.sin = along < 0 ? larger : smaller;
}

/** Cosine of half the turn from the source's face to the mic's: negative where the straight line passes on the open side. */
export const halfTurn = ({ toSource, toMic }: Bend): number =>
  toSource.cos * toMic.cos - toSource.sin * toMic.sin;

/** Whether the straight line passes the edge on the open side. Grazing counts as hidden; the sum is the same. */
export const passesClear = (bend: Bend): boolean => halfTurn(bend) < 0;

/**
 * `D = (d/L)·(1+i)/2·[AD(X1) + ρ·AD(X2)]` by band; ρ is the pressure the faces reflect, `waves.inverseRoot` is 1/√λ.
 * In terms of the design, φ0 is the source's angle and φ is 2π less the mic's.
 */
export function edgeWave(wave: EdgeWave, bend: Bend, rho: Bands, waves: Wavenumbers): void {
  const { toSource, toMic, before, after, whole, straight } = bend;
  const reach = 2 * Math.sqrt((2 * before * after) / whole) * (waves.inverseRoot[0] as number);
  const turn = halfTurn(bend);
  const image = toSource.cos * toMic.cos + toSource.sin * toMic.sin;
  const lift = turn < 0 ? edgeLift(angleOf(toSource), angleOf(toMic)) : 0;
  wave[DIRECT] = reach * turn;
  wave[IMAGE] = reach * image;
  wave[LIFT] = lift;
  wave[HALF] = straight / whole / 2;
  setWave(wave, 0, rho, waves);
}

/** Writes amplitudes of the wave at `at` from its X, lift and d/2L, which are already there. */
export function setWave(wave: EdgeWave, at: number, rho: Bands, waves: Wavenumbers): void {
  const direct = wave[at + DIRECT] as number;
  const image = wave[at + IMAGE] as number;
  const lift = wave[at + LIFT] as number;
  const half = wave[at + HALF] as number;
  const x1 = Math.abs(direct);
  if (!fresnel.isInTable(x1) || !fresnel.isInTable(image)) {
    setWaveByFits(wave, at, rho);
    return;
  }
  waves.fresnel ??= fresnel.fresnelTable();
  const table = waves.fresnel;
  const place1 = fresnel.fresnelPlace(x1);
  const place2 = fresnel.fresnelPlace(image);
  const share1 = place1 - (place1 | 0);
  const share2 = place2 - (place2 | 0);
  let at1 = (place1 | 0) * fresnel.PIECE_SIZE;
  let at2 = (place2 | 0) * fresnel.PIECE_SIZE;
  const straight = direct < 0 ? -half : half;
  let to = at;
  for (
    let band = 0;
    band < BAND_COUNT;
    band++, to += BAND_SIZE, at1 += fresnel.BAND_STEP, at2 += fresnel.BAND_STEP
  ) {
    const faces = rho[band] as number;
    const panelImage = half * (faces + (1 - faces) * lift);
    wave[to + RE] =
      straight * fresnel.quadraticAt(table, at1, share1) +
      panelImage * fresnel.quadraticAt(table, at2, share2);
    wave[to + IM] =
      straight * fresnel.quadraticAt(table, at1 + 3, share1) +
      panelImage * fresnel.quadraticAt(table, at2 + 3, share2);
  }
}

/** The same from the fits themselves, where X is beyond the table: at grazing above all, where it is 0. */
function setWaveByFits(wave: EdgeWave, at: number, rho: Bands): void {
  const direct = wave[at + DIRECT] as number;
  const lift = wave[at + LIFT] as number;
  const half = wave[at + HALF] as number;
  const sign = direct < 0 ? -1 : 1;
  for (let band = 0; band < BAND_COUNT; band++) {
    const scale = BAND_EDGE ** band;
    const faces = rho[band] as number;
    const panelImage = faces + (1 - faces) * lift;
    const x1 = Math.abs(direct) * scale;
    const x2 = (wave[at + IMAGE] as number) * scale;
    const f = sign * fresnel.auxiliaryF(x1) + panelImage * fresnel.auxiliaryF(x2);
    const g = sign * fresnel.auxiliaryG(x1) + panelImage * fresnel.auxiliaryG(x2);
    wave[at + band * BAND_SIZE + RE] = half * (f + g);
    wave[at + band * BAND_SIZE + IM] = half * (f - g);
  }
}

const angleOf = ({ sin, cos }: HalfAngle): number => Math.atan2(sin, cos);

/** Clear of the edge even an absorbent panel stops mattering as one comes level with it: 0 at the edge, 1 in its plane. */
export function edgeLift(source: number, mic: number): number {
  return Math.min(1, (source + mic - Math.PI / 2) / Math.min(source, mic));
}

/**
 * Of each band the amplitude over the free direct field, without the phase of the detour, and the share of it that is in step;
 * then e^{ikδ} of the detour at the nine edges of the bands, cosine and sine; then `DETOUR` to `HALF`.
 */
export type EdgeWave = Float64Array;
/** Within a band. */
export const RE = 0;
export const IM = 1;
export const STEADY = 2;
export const BAND_SIZE = 3;
/** Where the phases begin. */
export const PHASES = BAND_SIZE * BAND_COUNT;
const WAVE_END = PHASES + 2 * (BAND_COUNT + 1);
/** Detour in m, 1 where the straight line is clear of the edge, length in m, and share of it before the edge. */
export const DETOUR = WAVE_END;
export const CLEAR = WAVE_END + 1;
export const WHOLE = WAVE_END + 2;
export const BEFORE = WAVE_END + 3;
/**
 * What the wave is made of: X of the direct and of the image term in the lowest band, that of the direct term negative where the line
 * is clear of the edge; the share by which ρ has risen to 1; d/2L. Kept here, since numbers handed over in a call were put on the
 * heap each time.
 */
export const DIRECT = WAVE_END + 4;
export const IMAGE = WAVE_END + 5;
export const LIFT = WAVE_END + 6;
export const HALF = WAVE_END + 7;
/** Numbers that one edge wave takes. */
export const EDGE_WAVE_SIZE = WAVE_END + 8;

/** Room for some edge waves one after the other, all in step. */
export function newEdgeWave(count = 1): EdgeWave {
  const waves = new Float64Array(count * EDGE_WAVE_SIZE);
  for (let at = 0; at < waves.length; at += EDGE_WAVE_SIZE)
    for (let steady = STEADY; steady < PHASES; steady += BAND_SIZE) waves[at + steady] = 1;
  return waves;
}

/** Squared amplitude in the band that begins at `at`. */
export function edgeEnergy(wave: EdgeWave, at: number): number {
  const re = wave[at + RE] as number;
  const im = wave[at + IM] as number;
  return re * re + im * im;
}
