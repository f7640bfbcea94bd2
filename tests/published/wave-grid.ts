/** A two-dimensional wave simulation for checks: staggered grid in time, rigid strip, absorbing rim (split PML). */
export const C = 343.2;
export const STEP = 0.015;
const TIME = STEP / (C * Math.SQRT2);
const DURATION = 0.03;
const RIM = 26;

export type Flat = readonly [number, number];

/** The strip lies along x on y = 0 between both ends; null for the free field. */
export type Strip = readonly [number, number] | null;

const LOW: Flat = [-2.1, -1.5];
const HIGH: Flat = [2.1, 1.9];
const NX = Math.round((HIGH[0] - LOW[0]) / STEP) + 2 * RIM;
const NY = Math.round((HIGH[1] - LOW[1]) / STEP) + 2 * RIM;

const column = (x: number): number => Math.round((x - LOW[0]) / STEP - 0.5) + RIM;
const row = (y: number): number => Math.round((y - LOW[1]) / STEP - 0.5) + RIM;
/** Where the cell really is that holds a point. */
export const snapped = ([x, y]: Flat): Flat => [
  (column(x) - RIM + 0.5) * STEP + LOW[0],
  (row(y) - RIM + 0.5) * STEP + LOW[1],
];

/** Pressure over time at each mic. */
export function simulate(source: Flat, mics: readonly Flat[], strip: Strip): Float64Array[] {
  const size = NX * NY;
  const [px, py, vx, vy] = [0, 1, 2, 3].map(() => new Float64Array(size)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const [keepX, giveX] = rim(NX, 0);
  const [keepY, giveY] = rim(NY, 0);
  const [keepU, giveU] = rim(NX, 0.5);
  const [keepV, giveV] = rim(NY, 0.5);
  const wall = row(-STEP / 2);
  const [first, last] = strip ? [column(strip[0] + STEP / 2), column(strip[1] - STEP / 2)] : [1, 0];
  const steps = Math.round(DURATION / TIME);
  const heard = mics.map(() => new Float64Array(steps));
  const spots = mics.map(([x, y]) => row(y) * NX + column(x));
  const spot = row(source[1]) * NX + column(source[0]);
  for (let n = 0; n < steps; n++) {
    for (let j = 0; j < NY - 1; j++) {
      const [kv, gv] = [keepV[j] as number, giveV[j] as number];
      for (let i = 0, at = j * NX; i < NX - 1; i++, at++) {
        const here = (px[at] as number) + (py[at] as number);
        vx[at] =
          (keepU[i] as number) * (vx[at] as number) -
          (giveU[i] as number) * ((px[at + 1] as number) + (py[at + 1] as number) - here);
        vy[at] = kv * (vy[at] as number) - gv * ((px[at + NX] as number) + (py[at + NX] as number) - here);
      }
    }
    for (let i = first; i <= last; i++) vy[wall * NX + i] = 0;
    for (let j = 1; j < NY; j++) {
      const [kp, gp] = [keepY[j] as number, giveY[j] as number];
      for (let i = 1, at = j * NX + 1; i < NX; i++, at++) {
        px[at] =
          (keepX[i] as number) * (px[at] as number) -
          (giveX[i] as number) * ((vx[at] as number) - (vx[at - 1] as number));
        py[at] = kp * (py[at] as number) - gp * ((vy[at] as number) - (vy[at - NX] as number));
      }
    }
    px[spot] = (px[spot] as number) + pulse(n * TIME);
    for (let m = 0; m < mics.length; m++) {
      const at = spots[m] as number;
      (heard[m] as Float64Array)[n] = (px[at] as number) + (py[at] as number);
    }
  }
  return heard;
}

/** First derivative of a Gaussian: nothing at 0 Hz, all of 100 to 1500 Hz. */
function pulse(t: number): number {
  const width = 0.00022;
  const x = (t - 5 * width) / width;
  return -x * Math.exp((-x * x) / 2);
}

/** What a field keeps and takes in a step, along one axis: free inside, cubic loss in the rim. Courant number 1/√2. */
function rim(count: number, shift: number): [Float64Array, Float64Array] {
  const keep = new Float64Array(count);
  const give = new Float64Array(count);
  const strongest = (2 * C * Math.log(1e6)) / (RIM * STEP);
  for (let i = 0; i < count; i++) {
    const deep = Math.max(0, RIM - (i + shift), i + shift - (count - 1 - RIM)) / RIM;
    const loss = (strongest * deep ** 3 * TIME) / 2;
    keep[i] = (1 - loss) / (1 + loss);
    give[i] = Math.SQRT1_2 / (1 + loss);
  }
  return [keep, give];
}

/** Energy of a record over that of another, as the mean of 48 frequencies spread evenly over a band. */
export function energyRatio(record: Float64Array, free: Float64Array, [low, high]: Flat): number {
  const COUNT = 48;
  let sum = 0;
  for (let i = 0; i < COUNT; i++) {
    const turn = 2 * Math.PI * (low + ((i + 0.5) * (high - low)) / COUNT) * TIME;
    sum += power(record, turn) / power(free, turn);
  }
  return sum / COUNT;
}

function power(record: Float64Array, turn: number): number {
  let re = 0;
  let im = 0;
  for (let n = 0; n < record.length; n++) {
    re += (record[n] as number) * Math.cos(turn * n);
    im += (record[n] as number) * Math.sin(turn * n);
  }
  return re * re + im * im;
}
