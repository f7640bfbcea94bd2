/** Octave filters of recordings: IEC 61260-1, class 2, by Butterworth band-passes of eighth order and the bilinear transform. */
import { BAND_EDGE, MID_BANDS } from './bands.ts';

/** A second-order section: `y = g·(x − x₋₂) − a1·y₋₁ − a2·y₋₂`. */
type Section = { readonly gain: number; readonly a1: number; readonly a2: number };

/** Keeps what it has heard from one stretch to the next. */
export type OctaveFilter = {
  /** Writes the filtered samples of a stretch. */
  readonly run: (into: Float64Array, samples: Float64Array) => void;
};

/** Order of the low-pass that the band-pass is made of. */
const ORDER = 4;
/** The upper edge of a band must lie below this share of the sample rate. */
const HIGHEST = 0.45;

/** One filter for each band; null where the sample rate is too low for it. */
export const octaveFilters = (rate: number): (OctaveFilter | null)[] =>
  Array.from(MID_BANDS, (mid) => (mid * BAND_EDGE < HIGHEST * rate ? octaveFilter(mid, rate) : null));

function octaveFilter(mid: number, rate: number): OctaveFilter {
  const sections = sectionsOf(mid, rate);
  // x₋₁, x₋₂, y₋₁, y₋₂ of each section
  const memory = new Float64Array(4 * sections.length);
  return {
    run: (into, samples) => {
      into.set(samples);
      for (const [i, section] of sections.entries())
        runSection(into, section, memory.subarray(4 * i, 4 * i + 4));
    },
  };
}

function runSection(samples: Float64Array, { gain, a1, a2 }: Section, memory: Float64Array): void {
  let [x1 = 0, x2 = 0, y1 = 0, y2 = 0] = memory;
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i] as number;
    const y = gain * (x - x2) - a1 * y1 - a2 * y2;
    x2 = x1;
    x1 = x;
    y2 = y1;
    y1 = y;
    samples[i] = y;
  }
  memory.set([x1, x2, y1, y2]);
}

type Complex = readonly [number, number];

/**
 * Poles of the low-pass to poles of the band-pass, `s = (p·B ± √((p·B)² − 4ω₀²))/2` (B width, ω₀² product of the edges, both
 * bent beforehand by tan(πf/rate)), and those to z = (1 + s)/(1 − s). Zeros lie at z = 1 and −1. Each section is 1 at the
 * middle of the band.
 */
function sectionsOf(mid: number, rate: number): Section[] {
  const bent = (hertz: number) => Math.tan((Math.PI * hertz) / rate);
  const [low, high] = [bent(mid / BAND_EDGE), bent(mid * BAND_EDGE)];
  const [width, square] = [high - low, low * high];
  const middle = 2 * Math.atan(Math.sqrt(square));
  return Array.from({ length: ORDER / 2 }, (_, k) => lowPassPole(k)).flatMap(([re, im]) => {
    const [a, b]: Complex = [(re * width) / 2, (im * width) / 2];
    const [rootRe, rootIm] = squareRoot([a * a - b * b - square, 2 * a * b]);
    return [1, -1].map((sign) => sectionAt(toDigital([a + sign * rootRe, b + sign * rootIm]), middle));
  });
}

/** On the unit circle's left half, upper quarter. */
const lowPassPole = (k: number): Complex => {
  const angle = (Math.PI * (2 * k + 1 + ORDER)) / (2 * ORDER);
  return [Math.cos(angle), Math.sin(angle)];
};

function squareRoot([re, im]: Complex): Complex {
  const size = Math.hypot(re, im);
  const root = Math.sqrt(Math.max(0, (size + re) / 2));
  return [root, (im < 0 ? -1 : 1) * Math.sqrt(Math.max(0, (size - re) / 2))];
}

function toDigital([re, im]: Complex): Complex {
  const under = (1 - re) ** 2 + im ** 2;
  return [((1 + re) * (1 - re) - im * im) / under, (2 * im) / under];
}

/** The section of a pole and its mirror, of gain 1 at the angle `middle`. */
function sectionAt([re, im]: Complex, middle: number): Section {
  const [a1, a2] = [-2 * re, re * re + im * im];
  const [cos, sin] = [Math.cos(middle), Math.sin(middle)];
  const [cos2, sin2] = [Math.cos(2 * middle), Math.sin(2 * middle)];
  const above = Math.hypot(1 - cos2, sin2);
  const below = Math.hypot(1 + a1 * cos + a2 * cos2, a1 * sin + a2 * sin2);
  return { gain: below / above, a1, a2 };
}
