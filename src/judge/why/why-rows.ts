/** Ways put together: those of a section's points that go alike are one row, added as energies. */
import { type Bands, bands, decibels } from '../../acoustics/bands.ts';
import type { EdgeTrace } from '../../acoustics/screen-trace.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import { type Course, GAIN_KINDS, type GainKind } from './why-gains.ts';
import type { Range, WhyEdge, WhyGain, WhyPath, WhyScreen } from './why-shape.ts';
import type { Met } from './why-told.ts';
import type { Way } from './why-ways.ts';

/** Losses of this many dB stand for nothing left. */
const GONE = 299;

/** Rows of what carries sound, largest share first. `weights` say which octaves count, `whole` is all that arrives in them. */
export function rowsOf(ways: readonly Way[], weights: Bands, whole: number, soundSpeed: number): WhyPath[] {
  const alike = new Map<string, Way[]>();
  for (const way of ways) {
    const key = JSON.stringify([way.kind, way.of, way.by]);
    alike.set(key, [...(alike.get(key) ?? []), way]);
  }
  return [...alike.values()]
    .map((group) => rowOf(group, weights, whole, soundSpeed))
    .filter(({ level }) => level !== null)
    .sort((a, b) => b.fraction - a.fraction || (b.level ?? -Infinity) - (a.level ?? -Infinity));
}

function rowOf(group: readonly Way[], weights: Bands, whole: number, soundSpeed: number): WhyPath {
  const loudest = group.reduce((best, way) => (sum(way.energy) > sum(best.energy) ? way : best));
  const energy = added(group.map((way) => way.energy));
  const over = (value: (course: Course) => number) => rangeOf(group, value);
  return {
    kind: loudest.kind,
    share: loudest.share,
    by: loudest.by,
    of: loudest.of,
    points: group.length,
    fraction: whole > 0 ? weightedSum(energy, weights) / whole : 0,
    level: dbOf(sum(energy)),
    byBand: inDb(energy),
    length: over(({ travelled }) => travelled),
    delay: over(({ travelled }) => travelled / soundSpeed),
    offAxis: over(({ cosLeave }) => degrees(cosLeave)),
    offAim: over(({ cosArrive }) => degrees(cosArrive)),
    gains: gainsOf(group),
    screens: loudest.screens.map(screenOf),
    edges: edgesOf(loudest.edges),
  };
}

/** Each gain is what the energies of all points together rise by as it acts on each: they multiply to the whole. */
function gainsOf(group: readonly Way[]): WhyGain[] {
  const kinds = GAIN_KINDS.filter((kind) => group.some((way) => factorOf(way, kind)));
  let before = bands(() => 1);
  let running = group.map(() => bands(() => 1));
  return kinds.map((kind) => {
    running = group.map((way, w) => multiplied(running[w] as Bands, factorOf(way, kind)));
    const after = added(running);
    const byBand = inDb(bands((band) => (after[band] as number) / (before[band] as number)));
    before = after;
    return { kind, byBand };
  });
}

const factorOf = (way: Way, kind: GainKind): Bands | undefined =>
  way.factors.find((one) => one.kind === kind)?.by;

const multiplied = (energy: Bands, by: Bands | undefined): Bands =>
  by ? energy.map((one, band) => one * (by[band] as number)) : energy;

function added(energies: readonly Bands[]): Bands {
  return bands((band) => energies.reduce((total, energy) => total + (energy[band] as number), 0));
}

const sum = (energy: Bands): number => energy.reduce((total, one) => total + one, 0);

function rangeOf(group: readonly Way[], value: (course: Course) => number): Range | null {
  const values = group.flatMap(({ course }) => (course ? [value(course)] : []));
  return values.length > 0 ? { from: Math.min(...values), to: Math.max(...values) } : null;
}

const degrees = (cosine: number): number => (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI;

const screenOf = ({ where, panels, tau, past, loss, edges }: Met): WhyScreen => ({
  panels,
  where,
  through: inDb(tau),
  past: inDb(past),
  whole: lossDb(loss),
  edges: edgesOf(edges),
});

const SIDES = ['left', 'right', 'top', 'bottom'] as const;

const edgesOf = (edges: readonly EdgeTrace[]): WhyEdge[] =>
  SIDES.flatMap((side) => edges.filter((edge) => edge.side === side)).map(edgeOf);

const edgeOf = ({ side, detour, clear, loss }: EdgeTrace): WhyEdge => ({
  side,
  detour,
  hidden: !clear,
  wave: lossDb(loss),
});

/** A loss as a gain; what nothing is left of has none. */
const lossDb = (loss: Bands): (number | null)[] => Array.from(loss, (db) => (db < GONE ? -db : null));

const inDb = (energies: Bands): (number | null)[] => Array.from(energies, dbOf);
const dbOf = (energy: number): number | null =>
  energy > 0 && Number.isFinite(energy) ? decibels(energy) : null;
