/** Several losses on one path: bends of a taut string, and panels in a line of sight whose gaps count as open and shut in part. */
import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import type { Bend, EdgeWave, Wavenumbers } from './edge-diffraction.ts';
import {
  BAND_SIZE,
  edgeEnergy,
  edgeWave,
  halfTurn,
  IM,
  newBend,
  newEdgeWave,
  RE,
} from './edge-diffraction.ts';

/**
 * Losses on one path in one octave: `L = (Σ L^p of those that lose)^(1/p) − (Σ |L|^p of those that gain)^(1/p)`,
 * p = 5/3, and what is sealed adds in full.
 * It needs no order, and does not step as one overtakes another [this model, held to the wave equation].
 */
export type LossSum = {
  count: number;
  losing: number;
  gaining: number;
  whole: number;
  /** Weights A of the directions, and Σ A·ln of what these make of the energy. */
  weights: number;
  directions: number;
  /** Of the loss added last; of all once the sum is finished. */
  factor: number;
  energy: number;
  sealed: number;
};

const newLossSum = (): LossSum => ({
  count: 0,
  losing: 0,
  gaining: 0,
  whole: 0,
  weights: 0,
  directions: 0,
  factor: 1,
  energy: 0,
  sealed: 0,
});

function startSum(sum: LossSum): void {
  sum.count = 0;
  sum.losing = 0;
  sum.gaining = 0;
  sum.whole = 0;
  sum.weights = 0;
  sum.directions = 0;
}

/**
 * Adds an energy factor; `energy` is the factor with the directions in it, times the free energy of the straight line. Of `sealed`,
 * 0 to 1, the sound goes straight through what has no free edge.
 */
function addLoss(sum: LossSum, factor: number, energy: number, sealed: number): void {
  if (sum.count++ > 0) fold(sum);
  sum.factor = factor;
  sum.energy = energy;
  sum.sealed = sealed;
}

/** So little is left of any sound. */
const LEAST = 1e-30;
const DB = 10 / Math.LN10;
/** Of the losses added: two panels in the open are right on average with it, too deep with 1, not deep enough with 2. */
const POWER = 5 / 3;
/** Keeps a mean of directions where nothing loses. */
const SLIGHT = 1e-9;

const lowered = (x: number): number => (x > 0 ? Math.exp(Math.log(x) / POWER) : 0);

/** x^p, by a cube root: `**` takes three times as long. */
function raised(x: number): number {
  const root = Math.cbrt(x);
  return x * root * root;
}

function fold(sum: LossSum): void {
  const factor = Math.max(sum.factor, LEAST);
  const loss = -DB * Math.log(factor);
  const free = (1 - sum.sealed) * loss;
  sum.whole += sum.sealed * loss;
  if (free > 0) sum.losing += raised(free);
  else sum.gaining += raised(-free);
  const weight = (1 - sum.sealed) * Math.max(0, 1 - factor) + SLIGHT;
  sum.weights += weight;
  sum.directions += weight * Math.log(sum.energy / factor);
}

/** Shares of several factors in their combined loss, each by its weight; 0 where nothing loses. */
export function lossShares(factors: readonly number[], weights: readonly number[]): number[] {
  const parts = factors.map((factor, i) => {
    const loss = Math.max(0, -DB * Math.log(Math.max(factor, LEAST)));
    return (weights[i] as number) * raised(loss);
  });
  const all = parts.reduce((sum, part) => sum + part, 0);
  return parts.map((part) => (all > 0 ? part / all : 0));
}

/** Leaves factor and energy of all: directions by the mean of their dB, weighted by what each takes away. */
function finishSum(sum: LossSum): void {
  if (sum.count < 2) return;
  fold(sum);
  const loss = sum.whole + lowered(sum.losing) - lowered(sum.gaining);
  sum.factor = Math.exp(-loss / DB);
  sum.energy = sum.factor * Math.exp(sum.directions / sum.weights);
}

// The edge wave of a path that bends several times.

/** Working memory: what each bend along a path does. */
export type BendChain = {
  count: number;
  readonly bend: Bend;
  readonly waves: EdgeWave[];
  /** Sine of half the angle by which the path turns at each bend. */
  readonly turns: Float64Array;
  readonly losses: LossSum;
};

/** More bends than a path past a few panels can have; further ones are left out. */
const MOST = 16;

export const newBendChain = (): BendChain => ({
  count: 0,
  bend: newBend(),
  waves: Array.from({ length: MOST }, newEdgeWave),
  turns: new Float64Array(MOST),
  losses: newLossSum(),
});

/** Room for the wave of one more bend, which turns the path by so much (sine of half the angle); the last one's once there is no more. */
export function nextWave(chain: BendChain, turn: number): EdgeWave {
  if (chain.count < MOST) chain.turns[chain.count++] = turn;
  return chain.waves[chain.count - 1] as EdgeWave;
}

/** Adds the bend set in `chain.bend`, of which only the turn and the lengths before and after count. */
export function addBend(chain: BendChain, rho: Bands, waves: Wavenumbers): void {
  chain.bend.straight = chain.bend.whole;
  edgeWave(nextWave(chain, Math.max(0, halfTurn(chain.bend))), chain.bend, rho, waves);
}

/** A bend counts whole from this part of the sharpest turn on. */
const SOON = 1 / 8;

/**
 * The path's wave over the free direct field: the combined loss of its bends. `spread`, the straight distance over the whole path,
 * counts once. A bend that hardly turns counts in part, so that none steps in as the string comes to touch it; phases
 * are the mean, weighted by the losses squared.
 */
export function chainWave(into: EdgeWave, chain: BendChain, spread: number): void {
  const { count, waves, turns, losses } = chain;
  let sharpest = LEAST;
  for (let i = 0; i < count; i++) sharpest = Math.max(sharpest, turns[i] as number);
  for (let band = 0; band < BAND_COUNT; band++) {
    const at = band * BAND_SIZE;
    if (count === 1) {
      const [wave] = waves as [EdgeWave];
      into[at + RE] = spread * (wave[at + RE] as number);
      into[at + IM] = spread * (wave[at + IM] as number);
      continue;
    }
    startSum(losses);
    let weights = SLIGHT;
    let phases = 0;
    for (let i = 0; i < count; i++) {
      const wave = waves[i] as EdgeWave;
      const share = Math.min(1, (turns[i] as number) / (SOON * sharpest));
      const factor = edgeEnergy(wave, at) ** share;
      addLoss(losses, factor, factor, 0);
      const weight = Math.log(factor) ** 2 + SLIGHT;
      weights += weight;
      phases += weight * Math.atan2(wave[at + IM] as number, wave[at + RE] as number);
    }
    finishSum(losses);
    const amplitude = spread * Math.sqrt(losses.factor);
    into[at + RE] = amplitude * Math.cos(phases / weights);
    into[at + IM] = amplitude * Math.sin(phases / weights);
  }
}

// Panels that act on one path: groups of near ones, each in the states of its gaps, in each state its barriers.

/** Where a barrier stands among those that act, and what it is worth in its state. */
export type Place = {
  readonly group: number;
  readonly state: number;
  /** Barrier of the state: the whole of it and its straight parts share one. */
  readonly barrier: number;
  readonly weight: number;
  /** It has no free edge, and lets sound only through. */
  readonly sealed: boolean;
  /** It is all of its group, in one state, and not sealed. */
  readonly single: boolean;
};

/** What acts alone on a path, by so much of its waves. */
export const wholeOf = (diffracted: Bands) => ({
  place: { group: 0, state: 0, barrier: 0, weight: 1, sealed: false, single: true } satisfies Place,
  factors: diffracted,
  through: sameInAllBands(0),
  diffracted,
});

/** Working memory: the barriers that act on a path, entry by entry in the order of their places. */
export type Acting = {
  count: number;
  readonly places: Place[];
  /** Each entry is a group by itself, in one state, and has a free edge. */
  plain: boolean;
  /** On which leg of the path each acts: the same barrier on two legs counts twice. */
  readonly legs: number[];
  /** Energy factors, and parts of the straight sound that goes through and of the waves that go round; packed [entry][band]. */
  factors: Float64Array;
  through: Float64Array;
  diffracted: Float64Array;
  /** Energy of those waves with their directions. */
  weighted: Float64Array;
  /** Of all in the current band. */
  factor: number;
  energy: number;
  readonly across: LossSum;
  readonly within: LossSum;
};

export const newActing = (): Acting => ({
  count: 0,
  places: [],
  plain: true,
  legs: [],
  factors: new Float64Array(0),
  through: new Float64Array(0),
  diffracted: new Float64Array(0),
  weighted: new Float64Array(0),
  factor: 1,
  energy: 0,
  across: newLossSum(),
  within: newLossSum(),
});

/** Adds an entry on a leg; its rows are to be written from the place in the arrays that is returned. */
export function addEntry(acting: Acting, place: Place, leg: number): number {
  const row = acting.count * BAND_COUNT;
  if (row === acting.factors.length)
    for (const key of ['factors', 'through', 'diffracted', 'weighted'] as const) {
      const longer = new Float64Array(2 * row + 4 * BAND_COUNT);
      longer.set(acting[key]);
      acting[key] = longer;
    }
  acting.places[acting.count] = place;
  acting.legs[acting.count++] = leg;
  acting.plain &&= place.single;
  return row;
}

/** Adds an entry that acts by its energy factors alone, whatever the directions. */
export function addFactors(acting: Acting, place: Place, factors: Bands, leg = 0): void {
  const row = addEntry(acting, place, leg);
  for (let band = 0; band < BAND_COUNT; band++) {
    acting.factors[row + band] = factors[band] as number;
    acting.through[row + band] = factors[band] as number;
    acting.diffracted[row + band] = 0;
  }
}

/**
 * Writes the factor of all entries, whatever the directions. Nearly always each is alone in its group: in one loop, since a dozen legs are
 * asked about for each pair.
 */
export function combineFactors(into: Bands, acting: Acting): void {
  const { count, factors, plain } = acting;
  if (count === 1 && plain) {
    for (let band = 0; band < BAND_COUNT; band++) into[band] = factors[band] as number;
    return;
  }
  for (let band = 0; band < BAND_COUNT; band++) {
    if (plain) into[band] = combinedPlain(acting, band);
    else {
      combine(acting, band, 1);
      into[band] = acting.factor;
    }
  }
}

/** Factor of entries that are each alone in their group. */
function combinedPlain({ count, factors }: Acting, band: number): number {
  let losing = 0;
  let gaining = 0;
  for (let at = band; at < count * BAND_COUNT; at += BAND_COUNT) {
    const factor = factors[at] as number;
    if (factor <= 1) losing += raisedLoss(factor);
    else gaining += raised(DB * Math.log(factor));
  }
  return gaining === 0 ? factorOf(losing) : Math.exp((lowered(gaining) - lowered(losing)) / DB);
}

// Tables of both ways, straight from one entry to the next and 0.002 dB off: with logarithms and roots for each of two dozen factors of a
// pair all that is computed among six baffles took a quarter longer.

const FOURTHS = 2048;
/** By the fourth root of the factor: below this part of it, 68 dB, the formula itself. */
const LEAST_ROOT = 0.02;
const RAISED = Float64Array.from({ length: FOURTHS + 2 }, (_, i) =>
  raised(Math.max(0, -4 * DB * Math.log(Math.max(i, 1) / FOURTHS))),
);

/** L^p of an energy factor of at most 1. */
function raisedLoss(factor: number): number {
  const root = Math.sqrt(Math.sqrt(factor));
  if (root < LEAST_ROOT) return raised(-DB * Math.log(Math.max(factor, LEAST)));
  const place = root * FOURTHS;
  const i = place | 0;
  const low = RAISED[i] as number;
  return low + (place - i) * ((RAISED[i + 1] as number) - low);
}

const PER_ROOT = 64;
const ROOTS = 40 * PER_ROOT;
/** By the root of the sum, up to 84 dB. */
const FACTORS = Float64Array.from({ length: ROOTS + 1 }, (_, i) =>
  Math.exp(-lowered((i / PER_ROOT) ** 2) / DB),
);

/** Energy factor of Σ L^p. */
function factorOf(sum: number): number {
  const place = Math.sqrt(sum) * PER_ROOT;
  if (place >= ROOTS) return Math.exp(-lowered(sum) / DB);
  const i = place | 0;
  const low = FACTORS[i] as number;
  return low + (place - i) * ((FACTORS[i + 1] as number) - low);
}

/** How much of the place of two entries is compared. */
const GROUP = 1;
const STATE = 2;
const BARRIER = 3;

/** Whether an entry is there and belongs to the group, state or barrier of another, on the same leg. */
function isAt({ places, legs, count }: Acting, entry: number, first: number, level: number): boolean {
  if (entry >= count || legs[entry] !== legs[first]) return false;
  const one = places[entry] as Place;
  const other = places[first] as Place;
  return (
    one.group === other.group &&
    (level < STATE || one.state === other.state) &&
    (level < BARRIER || one.barrier === other.barrier)
  );
}

/**
 * Leaves factor and energy of all entries in a band, `direct` being the free energy of the straight line: of each group the mean of its
 * states by their weights, of each state the combined loss of its barriers, and so of all groups.
 */
export function combine(acting: Acting, band: number, direct: number): void {
  const { count, places, across, within } = acting;
  startSum(across);
  let i = 0;
  while (i < count) {
    const group = i;
    let rest = 1;
    let factor = 0;
    let energy = 0;
    let shut = 0;
    while (isAt(acting, i, group, GROUP)) {
      const state = i;
      const { weight } = places[i] as Place;
      let sealed = true;
      startSum(within);
      while (isAt(acting, i, state, STATE)) {
        sealed &&= (places[i] as Place).sealed;
        i = addBarrier(acting, i, band, direct);
      }
      finishSum(within);
      rest -= weight;
      factor += weight * within.factor;
      energy += weight * within.energy;
      if (sealed) shut += weight * within.factor;
    }
    // states in which nothing acts
    if (rest > SLIGHT) {
      factor += rest;
      energy += rest * direct;
    }
    addLoss(across, factor, energy, shut / Math.max(factor, LEAST));
  }
  finishSum(across);
  acting.factor = across.factor;
  acting.energy = across.energy;
}

/**
 * Adds the barrier that begins at entry `first`, which lets through no more than any of its straight parts does, and returns the entry
 * after them. Directions are those of what lets least through; of nearly equal ones the mean, so that they do not step.
 */
function addBarrier(acting: Acting, first: number, band: number, direct: number): number {
  const { places, factors, within } = acting;
  let least = factors[first * BAND_COUNT + band] as number;
  let end = first + 1;
  for (; isAt(acting, end, first, BARRIER); end++)
    least = Math.min(least, factors[end * BAND_COUNT + band] as number);
  let energy = energyOf(acting, first, band, direct);
  if (end > first + 1) {
    let weights = 0;
    let directions = 0;
    for (let i = first; i < end; i++) {
      const factor = Math.max(factors[i * BAND_COUNT + band] as number, LEAST);
      const weight = (Math.max(least, LEAST) / factor) ** 4;
      weights += weight;
      directions += weight * Math.log(energyOf(acting, i, band, direct) / factor);
    }
    energy = least * Math.exp(directions / weights);
  }
  addLoss(within, least, energy, (places[first] as Place).sealed ? 1 : 0);
  return end;
}

function energyOf(
  { through, diffracted, weighted }: Acting,
  entry: number,
  band: number,
  direct: number,
): number {
  const i = entry * BAND_COUNT + band;
  return (through[i] as number) * direct + (diffracted[i] as number) * (weighted[i] as number);
}
