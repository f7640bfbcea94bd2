/** The way round a screen of several panels along a taut string on the plan. */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { driftOf, setCoherence } from './coherence.ts';
import { type HalfAngle, setHalfAngle } from './edge.ts';
import type { Pass, Round } from './rectangle.ts';
import { place } from './round.ts';
import type { Screen, ScreenNode } from './screen.ts';
import { addBend, type BendChain, chainWave } from './several-bends.ts';
import type { TautString } from './taut-string.ts';

type Ends = readonly [Vec3, Vec3];

/** Round the upright edges at which a taut string bends. */
export function roundString(pass: Pass, round: Round, [source, mic]: Ends, way: StringWay): void {
  const { screen, string, chain } = way;
  const { bend } = chain;
  const rise = mic[2] - source[2];
  const whole = Math.hypot(string.length, rise);
  chain.count = 0;
  let gone = 0;
  let last: Vec2 | Vec3 = source;
  for (let i = 0; i < string.count; i++) {
    const node = screen.nodes[string.bends[i] as number] as ScreenNode;
    const next = i + 1 < string.count ? (screen.nodes[string.bends[i + 1] as number] as ScreenNode).at : mic;
    gone += Math.hypot(node.at[0] - last[0], node.at[1] - last[1]);
    bend.before = gone;
    bend.after = string.length - gone;
    bend.whole = whole;
    setAngleAt(bend.toSource, node, last);
    setAngleAt(bend.toMic, node, next);
    addBend(chain, node.rho, pass.waves.inverseRoot);
    const height = source[2] + (rise * gone) / string.length;
    if (i === 0) place(round.first, node.at[0], node.at[1], height);
    place(round.last, node.at[0], node.at[1], height);
    last = node.at;
  }
  closeRound(pass, round, chain, [source, mic], [whole, string.length]);
}

export type StringWay = { readonly screen: Screen; readonly string: TautString; readonly chain: BendChain };

/** Angle from the half-plane at a node to a point. A joint in a straight line has none and takes the point's own side. */
function setAngleAt(into: HalfAngle, node: ScreenNode, point: Vec2 | Vec3): void {
  const { solid, at } = node;
  const x = point[0] - at[0];
  const y = point[1] - at[1];
  if (solid) setHalfAngle(into, Math.abs(solid[0] * y - solid[1] * x), solid[0] * x + solid[1] * y);
  else setHalfAngle(into, 1, 0);
}

/**
 * Ends a way whose bends are in the chain, and the first and last of them in place: its length, detour and wave. `flat` is the length
 * along which they are placed.
 */
export function closeRound(
  pass: Pass,
  round: Round,
  chain: BendChain,
  [source, mic]: Ends,
  [whole, flat]: readonly [number, number],
): void {
  round.there = true;
  round.clear = false;
  round.lift = 0;
  round.whole = whole;
  round.detour = Math.max(0, whole - pass.straight.whole);
  setCoherence(round.wave, 0, driftOf(source, round.first, round.last, mic), pass.waves);
  chainWave(round.wave, chain, pass.straight.whole / whole, flat);
}
