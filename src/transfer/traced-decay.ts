/** The decay that a clap in a room would show: the directions of the first-hit share traced on, from surface to surface. */
import { BAND_COUNT, type Bands, bands, MID_BANDS, sameInAllBands } from '../acoustics/bands.ts';
import { angleAbsorption, wallAdmittance } from '../acoustics/room-acoustics.ts';
import { holds } from '../geometry.ts';
import { timeOn } from '../recording/decay.ts';
import type { Room } from '../scene/scene.ts';
import type { RoomAbsorption } from './diffuse-field.ts';
import { type Hit, newHit, SPIRAL, surfaceMet } from './first-surface.ts';
import { DIRECTIONS, type RoomShape, type Wall } from './image-sources.ts';

/** Early decay time and T20 by band, s. */
export type TracedDecay = { readonly early: Bands; readonly late: Bands };

/** Energy is followed down to this share, −40 dB: what lies beyond moves a T20 by less than 1 %. */
const LEAST_LEFT = 1e-4;
/** Steps of half a mean free path: enough for a T20 where 1 % is absorbed. */
const MOST_STEPS = 2000;

/**
 * Traces 500 rays from places all over a room. Surfaces reflect like mirrors and absorb by angle, as a real admittance of their α
 * does; contents, people, baffles and air absorb along the way. No wave skims a surface without touching it: see `skimmingOf`.
 * Surfaces take of the interior level, while the room holds w times as much energy: it decays w times as slowly. Scattering is
 * left out, so a tail that lives between bare walls may come out too long.
 */
export function tracedDecay(
  room: Room,
  shape: RoomShape,
  absorption: RoomAbsorption,
  soundSpeed: number,
): TracedDecay {
  const step = absorption.freePath / 2;
  const surfaces = {
    admittances: absorption.surfaces.map(wallAdmittance),
    skimming: skimmingOf(room, absorption, soundSpeed),
  };
  const curves = energyCurves(shape, surfaces, absorption, step).map(backwardSum);
  const timeOf = (band: number, name: 'edt' | 't20'): number =>
    timeOn(curves[band] as Float64Array, step / (soundSpeed * (absorption.interior[band] as number)), name);
  return { early: bands((band) => timeOf(band, 'edt')), late: bands((band) => timeOf(band, 't20')) };
}

/** Share of the energy that is left after each step, by band. */
function energyCurves(
  shape: RoomShape,
  surfaces: Surfaces,
  absorption: RoomAbsorption,
  step: number,
): Float64Array[] {
  const rays = raysFrom(shape);
  for (const ray of rays) skim(ray, shape.walls, surfaces);
  const onTheWay = bands((band) => Math.exp(-step * lossPerMetre(absorption, band)));
  const curves = Array.from({ length: BAND_COUNT }, () => new Float64Array(MOST_STEPS));
  const sums = sameInAllBands(0);
  let count = 0;
  for (let sounds = true; sounds && count < MOST_STEPS; count++) {
    sounds = false;
    sums.fill(0);
    for (const ray of rays) {
      advance(ray, count * step, shape, surfaces);
      for (let band = 0; band < BAND_COUNT; band++)
        sums[band] = (sums[band] as number) + (ray.energy[band] as number);
    }
    for (let band = 0; band < BAND_COUNT; band++) {
      const left = ((sums[band] as number) / DIRECTIONS) * (onTheWay[band] as number) ** count;
      (curves[band] as Float64Array)[count] = left;
      if (left > LEAST_LEFT) sounds = true;
    }
  }
  return curves.map((curve) => curve.subarray(0, count));
}

/** What all but the surfaces absorbs, as in a diffuse field: its area over 4V. */
function lossPerMetre({ area, surface, freePath, finishes }: RoomAbsorption, band: number): number {
  return ((area[band] as number) - (finishes[band] as number)) / (surface * freePath);
}

/** Backward integration, in place. */
function backwardSum(curve: Float64Array): Float64Array {
  for (let i = curve.length - 2; i >= 0; i--) curve[i] = (curve[i] as number) + (curve[i + 1] as number);
  return curve;
}

/** Admittance of each surface by band, eight bands a surface, and what it takes of sound that skims it. */
type Surfaces = { readonly admittances: Float64Array; readonly skimming: readonly Skimming[] };

/** Up to a cosine of incidence by band, what a surface takes per metre at that cosine, and hits per metre and cosine. */
type Skimming = { readonly cosine: Bands; readonly loss: Bands; readonly hits: number };

/**
 * No wave travels quite parallel to a surface. Rays nearer to it than cos θ = λ/(8h), h = V over the area of the surface, lose as much
 * as at that angle [this model: half the angle of the first mode between a soft and a hard wall; found in solved rooms].
 */
function skimmingOf(
  room: Room,
  { surface, freePath, surfaces }: RoomAbsorption,
  soundSpeed: number,
): Skimming[] {
  const volume = (surface * freePath) / 4;
  return room.surfaces.map(({ area }, i) => {
    const hits = area / (2 * volume);
    const cosine = bands((band) => Math.min(1, (soundSpeed / (MID_BANDS[band] ?? 0)) * (hits / 4)));
    const lossAt = (band: number) =>
      hits *
      (cosine[band] ?? 0) *
      angleAbsorption(wallAdmittance(surfaces[i * BAND_COUNT + band] ?? 0), cosine[band] ?? 0);
    return { hits, cosine, loss: bands(lossAt) };
  });
}

type Ray = {
  readonly at: [number, number, number];
  readonly toward: [number, number, number];
  /** Travelled up to `at`, m. */
  gone: number;
  /** What it meets next. */
  readonly next: Hit;
  readonly energy: Bands;
  /** Loss per metre to surfaces that it skims. */
  readonly skimmed: Bands;
};

/** Follows a ray until it has gone so far. */
function advance(ray: Ray, length: number, shape: RoomShape, surfaces: Surfaces): void {
  const { at, toward, next, energy, skimmed } = ray;
  const { admittances } = surfaces;
  while (ray.gone + next.distance <= length) {
    const { surface, distance } = next;
    for (let i = 0; i < 3; i++) at[i] = (at[i] as number) + distance * (toward[i] as number);
    ray.gone += distance;
    const cosine = mirror(toward, surface, shape.walls);
    for (let band = 0; band < BAND_COUNT; band++) {
      const admittance = admittances[surface * BAND_COUNT + band] as number;
      energy[band] =
        (energy[band] as number) *
        (1 - angleAbsorption(admittance, cosine)) *
        Math.exp(-(skimmed[band] as number) * distance);
    }
    skim(ray, shape.walls, surfaces);
    surfaceMet(next, at, toward, shape);
  }
}

/** Sets what a ray loses to the surfaces that it skims, less what it loses where it hits them. */
function skim({ toward, skimmed }: Ray, walls: readonly Wall[], { admittances, skimming }: Surfaces): void {
  skimmed.fill(0);
  for (let surface = 0; surface < skimming.length; surface++) {
    const { cosine, loss, hits } = skimming[surface] as Skimming;
    const wall = walls[surface - 2];
    const own = Math.abs(wall ? toward[0] * wall.inX + toward[1] * wall.inY : toward[2]);
    for (let band = 0; band < BAND_COUNT && own < (cosine[band] as number); band++) {
      const admittance = admittances[surface * BAND_COUNT + band] as number;
      const lost = own > 0 ? hits * own * angleAbsorption(admittance, own) : 0;
      skimmed[band] = (skimmed[band] as number) + Math.max(0, (loss[band] as number) - lost);
    }
  }
}

/** Turns a direction back off a surface; returns the cosine of its angle to the normal. */
function mirror(toward: Ray['toward'], surface: number, walls: readonly Wall[]): number {
  const wall = walls[surface - 2];
  if (!wall) {
    toward[2] = -toward[2];
    return Math.abs(toward[2]);
  }
  const into = toward[0] * wall.inX + toward[1] * wall.inY;
  toward[0] -= 2 * into * wall.inX;
  toward[1] -= 2 * into * wall.inY;
  return Math.abs(into);
}

function raysFrom(shape: RoomShape): Ray[] {
  const places = placesIn(shape);
  return places.map((at, i) => {
    const toward: Ray['toward'] = [...SPIRAL.subarray(3 * i, 3 * i + 3)] as Ray['toward'];
    const next = newHit();
    surfaceMet(next, at, toward, shape);
    return { at, toward, gone: 0, next, energy: sameInAllBands(1), skimmed: sameInAllBands(0) };
  });
}

/** As many places as directions, spread evenly by Halton's sequence. */
function placesIn({ outline, floor, ceiling }: RoomShape): Ray['at'][] {
  const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)];
  const between = (values: readonly number[], share: number) =>
    Math.min(...values) + share * (Math.max(...values) - Math.min(...values));
  const places: Ray['at'][] = [];
  for (let i = 1; places.length < DIRECTIONS; i++) {
    const [x, y] = [between(xs, radicalInverse(i, 2)), between(ys, radicalInverse(i, 3))];
    if (holds(outline, x, y)) places.push([x, y, between([floor, ceiling], radicalInverse(i, 5))]);
  }
  return places;
}

/** The digits of a number behind the point in reverse order: evenly spread between 0 and 1. Halton 1960. */
function radicalInverse(index: number, base: number): number {
  let [left, place, sum] = [index, 1, 0];
  while (left > 0) {
    place /= base;
    sum += place * (left % base);
    left = Math.floor(left / base);
  }
  return sum;
}
