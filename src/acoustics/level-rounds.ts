/** Ways over the tops and under the bottoms of several panels that the straight line crosses. */
import type { Vec3 } from '../scene/vector.ts';
import { setHalfAngle } from './edge.ts';
import type { ReadyPanel } from './panel.ts';
import { roundLevel } from './panel-pass.ts';
import type { Pass, Round } from './rectangle.ts';
import { place as put } from './round.ts';
import { addBend, type BendChain } from './several-bends.ts';
import { closeRound } from './string-round.ts';

type Ends = readonly [Vec3, Vec3];

/** Where the straight line crosses panels on the plan, in its order: share of its length, and which panel. */
export type Crossings = { count: number; readonly at: number[]; readonly panels: ReadyPanel[] };

/** Over the tops (or under the bottoms) of all panels crossed; a single one bends it as a panel alone does. */
export function roundLevels(pass: Pass, below: boolean, ends: Ends, way: LevelWay): void {
  const { crossings, chain, hull } = way;
  const round = pass.caps[below ? 1 : 0];
  round.there = true;
  for (let i = 0; i < crossings.count; i++) {
    const panel = crossings.panels[i] as ReadyPanel;
    if (!(below ? panel.edgeBottom : panel.edgeTop)) round.there = false;
  }
  if (!round.there) return;
  pullOver(hull, crossings, below, ends);
  if (hull.length === 0) roundNearest(pass, round, below, ends, crossings);
  else if (hull.length === 1)
    roundLevel(pass, crossings.panels[hull[0] as number] as ReadyPanel, below, ...ends);
  else roundHull(pass, round, ends, { below, crossings, chain, hull });
}

export type LevelWay = { readonly crossings: Crossings; readonly chain: BendChain; readonly hull: number[] };

const levelOf = (panel: ReadyPanel, below: boolean): number => (below ? panel.low : panel.high);

/** Crossings that a string pulled taut over all of them touches. */
function pullOver(hull: number[], crossings: Crossings, below: boolean, [source, mic]: Ends): void {
  const down = below ? -1 : 1;
  hull.length = 0;
  let place = 0;
  let height = source[2];
  let next = 0;
  while (next < crossings.count) {
    let steepest = (down * (mic[2] - height)) / (1 - place);
    let touched = -1;
    for (let i = next; i < crossings.count; i++) {
      const level = levelOf(crossings.panels[i] as ReadyPanel, below);
      const slope = (down * (level - height)) / Math.max((crossings.at[i] as number) - place, 1e-9);
      if (slope >= steepest) {
        steepest = slope;
        touched = i;
      }
    }
    if (touched < 0) return;
    hull.push(touched);
    place = crossings.at[touched] as number;
    height = levelOf(crossings.panels[touched] as ReadyPanel, below);
    next = touched + 1;
  }
}

/** The line is clear of every level edge: the one it passes at the least detour counts. */
function roundNearest(pass: Pass, round: Round, below: boolean, ends: Ends, crossings: Crossings): void {
  let nearest = 0;
  let least = Infinity;
  for (let i = 0; i < crossings.count; i++) {
    roundLevel(pass, crossings.panels[i] as ReadyPanel, below, ...ends);
    if (round.detour < least) {
      least = round.detour;
      nearest = i;
    }
  }
  roundLevel(pass, crossings.panels[nearest] as ReadyPanel, below, ...ends);
}

/** Lengths and angles in the upright plane of the straight line. */
function roundHull(pass: Pass, round: Round, [source, mic]: Ends, way: LevelWay & { below: boolean }): void {
  const { crossings, chain, hull, below } = way;
  const flat = Math.hypot(mic[0] - source[0], mic[1] - source[1]);
  const place = (i: number): number =>
    i < 0 ? 0 : i < hull.length ? (crossings.at[hull[i] as number] as number) * flat : flat;
  const height = (i: number): number => {
    if (i < 0) return source[2];
    return i < hull.length ? levelOf(crossings.panels[hull[i] as number] as ReadyPanel, below) : mic[2];
  };
  const leg = (i: number): number => Math.hypot(place(i) - place(i - 1), height(i) - height(i - 1));
  let whole = 0;
  for (let i = 0; i <= hull.length; i++) whole += leg(i);
  const { bend } = chain;
  chain.count = 0;
  let gone = 0;
  for (let i = 0; i < hull.length; i++) {
    gone += leg(i);
    const down = below ? -1 : 1;
    bend.before = gone;
    bend.after = whole - gone;
    bend.whole = whole;
    setHalfAngle(bend.toSource, place(i) - place(i - 1), down * (height(i) - height(i - 1)));
    setHalfAngle(bend.toMic, place(i + 1) - place(i), down * (height(i) - height(i + 1)));
    addBend(chain, (crossings.panels[hull[i] as number] as ReadyPanel).rho, pass.waves.inverseRoot);
  }
  const end = hull.length - 1;
  const x = (mic[0] - source[0]) / flat;
  const y = (mic[1] - source[1]) / flat;
  put(round.first, source[0] + place(0) * x, source[1] + place(0) * y, height(0));
  put(round.last, source[0] + place(end) * x, source[1] + place(end) * y, height(end));
  closeRound(pass, round, chain, [source, mic], [whole, whole]);
}
