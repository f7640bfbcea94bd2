/**
 * One edge wave of a thin half-plane, over the free direct field. Closed form of Hadden and Pierce 1981;
 * within 0.6 dB of Macdonald's exact solution at 0.3 m and more from the edge, 0.05 dB rms.
 */
import { BAND_COUNT, type Bands } from './bands.ts';
import { fresnelF, fresnelG, fresnelPlace } from './fresnel-table.ts';

/** Half of an angle between 0 and π, as its cosine and sine. */
export type HalfAngle = { cos: number; sin: number };

/** A way round one edge. Angles are those from the half-plane's own face on either side to the way. */
export type Bend = {
  /** Square to the edge: from the source to it, from it to the mic. */
  before: number;
  after: number;
  readonly toSource: HalfAngle;
  readonly toMic: HalfAngle;
  /** Length of the way and of the straight line. */
  whole: number;
  straight: number;
};

/** Complex amplitude by band, without the phase of the detour. */
export type EdgeWave = { readonly re: Bands; readonly im: Bands };

export const newBend = (): Bend => ({
  before: 0,
  after: 0,
  toSource: { cos: 1, sin: 0 },
  toMic: { cos: 1, sin: 0 },
  whole: 0,
  straight: 0,
});

/**
 * Sets half the angle of a way that goes `across` (at least 0) off the half-plane and `along` it. By roots, since
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
 * `D = (d/L)·(1+i)/2·[AD(X1) + ρ·AD(X2)]` by band; ρ is the pressure the faces reflect, `inverseRoot` is 1/√λ.
 * In terms of the design, φ0 is the source's angle and φ is 2π less the mic's.
 */
export function edgeWave(into: EdgeWave, bend: Bend, rho: Bands, inverseRoot: Bands): void {
  const { toSource, toMic } = bend;
  const { re, im } = into;
  const reach = 2 * Math.sqrt((2 * bend.before * bend.after) / bend.whole);
  const turn = halfTurn(bend);
  const direct = reach * Math.abs(turn);
  const image = reach * (toSource.cos * toMic.cos + toSource.sin * toMic.sin);
  const sign = turn < 0 ? -1 : 1;
  const lift = turn < 0 ? riseBesidePanel(toSource, toMic) : 0;
  const half = bend.straight / bend.whole / 2;
  for (let band = 0; band < BAND_COUNT; band++) {
    const scale = inverseRoot[band] as number;
    const p1 = fresnelPlace(direct * scale);
    const p2 = fresnelPlace(image * scale);
    const faces = rho[band] as number;
    const mirrored = faces + (1 - faces) * lift;
    const f = sign * fresnelF(p1) + mirrored * fresnelF(p2);
    const g = sign * fresnelG(p1) + mirrored * fresnelG(p2);
    re[band] = half * (f + g);
    im[band] = half * (f - g);
  }
}

/** Clear of the edge even an absorbent panel stops mattering as one comes level with it: 0 at the edge, 1 in its plane. */
function riseBesidePanel(toSource: HalfAngle, toMic: HalfAngle): number {
  const source = Math.atan2(toSource.sin, toSource.cos);
  const mic = Math.atan2(toMic.sin, toMic.cos);
  return Math.min(1, (source + mic - Math.PI / 2) / Math.min(source, mic));
}
