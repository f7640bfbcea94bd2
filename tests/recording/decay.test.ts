/** Decay times of made claps of known time: what is read must be what was made, within the spread that ISO 3382-2 states. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MID_BANDS } from '../../src/acoustics/bands.ts';
import {
  type AverageDecay,
  averageDecays,
  clapsIn,
  TIME_NAMES,
  type TimeName,
} from '../../src/recording/decay.ts';
import { sized } from '../sized.ts';
import { joined, type Made, madeClap, normal, RATE, type Slope, timeBetween, waveOf } from './made-claps.ts';

const READ: Readonly<Record<TimeName, readonly [number, number]>> = {
  edt: [0, 10],
  t20: [5, 25],
  t30: [5, 35],
};

const decaysOf = (channels: readonly Float64Array[], rate = RATE): AverageDecay[] =>
  averageDecays(clapsIn(waveOf(channels, rate)));

/** Several claps, each of its own noise. */
const several = (count: number, made: Made): Float64Array =>
  joined(...Array.from({ length: count }, (_, i) => madeClap({ ...made, seed: (made.seed ?? 1) + i })));

/**
 * Standard deviation of the mean of so many decays, s. ISO 3382-2: T20 0.88·T·√((1 + 1.9/n)/(N·B·T)), T30 0.55·T·√((1 + 1.52/n)/(N·B·T)),
 * n = 10 for an integrated impulse response (from memory). It has none for the early decay time: here twice that of T20.
 */
function deviation(name: TimeName, time: number, band: number, count: number): number {
  const bandwidth = (MID_BANDS[band] ?? 0) * (10 ** 0.15 - 10 ** -0.15);
  const [factor, per] = name === 't30' ? [0.55, 1.52] : [name === 'edt' ? 1.76 : 0.88, 1.9];
  return factor * time * Math.sqrt((1 + per / 10) / (count * bandwidth * time));
}

/** In every octave from `first` on, each time within three deviations and 2 % of what it must be. */
function expectTimes(
  rows: readonly AverageDecay[],
  slopes: readonly Slope[],
  count: number,
  first = 1,
): void {
  for (const { band, times } of rows.slice(first, 7)) {
    for (const name of TIME_NAMES) {
      const expected = timeBetween(slopes, ...READ[name]);
      const within = 3 * deviation(name, expected, band, count) + 0.02 * expected;
      expect(Math.abs((times[name] ?? 0) - expected), `${name} of band ${band}`).toBeLessThan(within);
    }
  }
}

/** A tone whose level falls by 60 dB in T has, in its octave, EDT = T20 = T30 = T to the letter. */
describe('a tone that decays', () => {
  const tone = (hertz: number, time: number) =>
    Float64Array.from({ length: 2.5 * RATE }, (_, i) => {
      const t = i / RATE - 0.3;
      return t < 0 ? 0 : 0.1 * 10 ** ((-3 * t) / time) * Math.sin(2 * Math.PI * hertz * t);
    });
  test.each([0.3, 0.8, 2])('is read as made: %d s', (time) => {
    for (const band of [1, 2, 3, 4, 5, 6]) {
      const { times } = decaysOf([tone(MID_BANDS[band] ?? 0, time)])[band] as AverageDecay;
      expect((times.edt ?? 0) / time, `EDT of band ${band}`).toBeCloseTo(1, 1);
      expect((times.t20 ?? 0) / time, `T20 of band ${band}`).toBeCloseTo(1, 2);
      if (time < 2) expect((times.t30 ?? 0) / time, `T30 of band ${band}`).toBeCloseTo(1, 2);
    }
  });
});

describe('noise that decays', () => {
  const count = sized(4, 16);
  // 125 Hz and 0.2 s: bandwidth times decay time 18, just enough for an early decay time
  test.each([0.2, 0.5, 1.2])('is read as made: %d s', (time) => {
    const slopes = [[time, 0]] as const;
    expectTimes(decaysOf([several(count, { slopes, noise: -62, after: 1.5 * time + 0.4 })]), slopes, count);
  });

  /** The decay meets the noise at the noise's level: that is its range. 20, 35 and 45 dB are what the times need. ISO 3382-2. */
  test.each([
    { noise: -55, told: ['edt', 't20', 't30'] },
    { noise: -40, told: ['edt', 't20'] },
    { noise: -27, told: ['edt'] },
    { noise: -12, told: [] },
  ])('over noise at $noise dB tells $told', ({ noise, told }) => {
    const slopes = [[0.6, 0]] as const;
    const rows = decaysOf([several(count, { slopes, noise, after: 1.2 })]);
    for (const { band, times, range } of rows.slice(3, 7)) {
      expect(TIME_NAMES.filter((name) => times[name] !== null)).toEqual(told);
      if (noise < -20) expect(Math.abs((range ?? 0) + noise)).toBeLessThan(2);
      for (const name of TIME_NAMES)
        if (times[name] !== null)
          expect(Math.abs(times[name] - 0.6)).toBeLessThan(3 * deviation(name, 0.6, band, count) + 0.02);
    }
  });

  /** The noise is taken off, and what it hides added: the same sound without noise has the same times. */
  test('has the times over noise that it has without', () => {
    for (const seed of [1, 2, 3]) {
      const made = { slopes: [[0.6, 0]], after: 1.2, seed } as const;
      const [quiet, noisy] = [decaysOf([madeClap(made)]), decaysOf([madeClap({ ...made, noise: -42 })])];
      for (const band of [3, 4, 5, 6])
        for (const name of ['edt', 't20'] as const)
          expect(noisy[band]?.times[name], `${name} of band ${band}`).toSatisfy(
            (time: number) => Math.abs(time / (quiet[band]?.times[name] ?? 0) - 1) < 0.04,
          );
    }
  });

  test('that was cut off is read as far as it goes', () => {
    const slopes = [[0.8, 0]] as const;
    for (const { times, range } of decaysOf([madeClap({ slopes, after: 0.5 })]).slice(3, 7)) {
      // 60 dB · 0.5/0.8, less what the filter needs
      expect(Math.abs((range ?? 0) - 37.5)).toBeLessThan(2.5);
      expect(times.t30).toBeNull();
      expect(Math.abs((times.t20 ?? 0) - 0.8)).toBeLessThan(0.12);
    }
  });
});

describe('a decay of two slopes', () => {
  const slopes = [
    [0.4, 0],
    [1.6, -15],
  ] as const;
  const count = sized(4, 16);
  const rows = decaysOf([several(count, { slopes, noise: -65, after: 2 })]);

  // lower octaves vary by more than the standard says of one slope
  test('is read as backward integration has it', () => expectTimes(rows, slopes, count, 3));

  test('is said to bend', () => {
    for (const { bend, curvature, times } of rows.slice(4, 7)) {
      expect(bend).toBe('slower');
      expect(curvature).toBeCloseTo(100 * ((times.t30 ?? 0) / (times.t20 ?? 1) - 1), 0);
    }
    expect(decaysOf([several(count, { slopes: [[0.6, 0]], noise: -60 })]).map(({ bend }) => bend)).toEqual(
      Array(8).fill(null),
    );
  });
});

/** A sum of decays only ever slows: what steepens is a noise gate, here one that closes at 200 dB a second after a quarter of one. */
test('a decay that steepens is the work of a recorder', () => {
  const made = madeClap({ slopes: [[0.8, 0]], after: 1 });
  const gated = made.map((sample, i) => {
    const closed = i / RATE - 0.55;
    return closed > 0 ? sample * 10 ** (-10 * closed) : sample;
  });
  for (const { bend } of decaysOf([gated]).slice(4, 7)) expect(bend).toBe('steeper');
});

/** Within 0.5 dB of range and 1 % of 0.6 s: half a bin shifts where a decay is taken to meet the noise. */
describe('what changes nothing', () => {
  const made = { slopes: [[0.6, 0]], noise: -50, after: 1.2 } as const;
  const clap = madeClap(made);
  const before = decaysOf([clap]);
  const silence = (seconds: number) => new Float64Array(Math.round(seconds * RATE));
  test.each<[string, Float64Array]>([
    ['gain', clap.map((sample) => sample / 1000)],
    ['delay', joined(silence(0.73125), clap)],
    ['silence before and after', joined(silence(2), clap, silence(3))],
    ['a steady voltage', clap.map((sample) => sample + 0.05)],
    ['16 bits', clap.map((sample) => Math.round(sample * 2 ** 15) / 2 ** 15)],
  ])('%s', (_, changed) => {
    for (const [band, { times, range }] of decaysOf([changed]).entries()) {
      const was = before[band] as AverageDecay;
      expect(Math.abs((range ?? 0) - (was.range ?? 0))).toBeLessThan(0.5);
      for (const name of TIME_NAMES)
        expect(Math.abs((times[name] ?? 0) - (was.times[name] ?? 0))).toBeLessThan(0.006);
    }
  });

  test('silence between claps, and a spare channel', () => {
    const twice = decaysOf([
      joined(clap, silence(1), clap),
      joined(silence(1.2), silence(1), silence(1.2)).subarray(0),
    ]);
    for (const [band, { times, counts }] of twice.entries()) {
      if (before[band]?.times.t20) expect(counts.t20).toBe(2);
      expect(Math.abs((times.t20 ?? 0) - (before[band]?.times.t20 ?? 0))).toBeLessThan(0.006);
    }
  });
});

describe('claps', () => {
  const made = { slopes: [[0.5, 0]], noise: -50, after: 1 } as const;

  test('are found where they are, on each channel as it arrives', () => {
    const clap = several(2, made);
    const later = joined(new Float64Array(0.02 * RATE), clap.slice(0, -0.02 * RATE));
    const claps = clapsIn(waveOf([clap, later]));
    expect(claps.map(({ number, channel, at }) => [number, channel, Math.round(1000 * at)])).toEqual([
      [0, 0, 300],
      [0, 1, 320],
      [1, 0, 1600],
      [1, 1, 1620],
    ]);
  });

  test('may begin with the recording, as an impulse response does', () => {
    const [clap] = clapsIn(waveOf([madeClap({ ...made, before: 0 })]));
    expect(clap?.at).toBe(0);
    expect(Math.abs((clap?.octaves[5]?.times.t20 ?? 0) - 0.5)).toBeLessThan(0.06);
  });

  /** 0.4 s into a decay of 0.5 s is 48 dB down: a knock of −20 dB stands 28 dB above it, and there the decay ends for us. */
  test('are read up to the next sound', () => {
    const knock = madeClap({ slopes: [[0.1, -20]], before: 0.7, after: 0.6, seed: 9 });
    const heard = madeClap({ ...made, noise: -70 }).map((sample, i) => sample + (knock[i] ?? 0));
    const [{ times, range }] = decaysOf([heard]).slice(5) as [AverageDecay];
    expect(Math.abs((range ?? 0) - 48)).toBeLessThan(3);
    expect(Math.abs((times.t20 ?? 0) - 0.5)).toBeLessThan(0.06);
  });

  test('do not grow, as speech does', () => {
    const next = normal(3);
    const speech = Float64Array.from({ length: RATE }, (_, i) => {
      const time = i / RATE - 0.3;
      return time < 0 ? 1e-5 * next() : 0.01 * (1 + 10 * time) * next();
    });
    expect(clapsIn(waveOf([speech]))).toEqual([]);
    expect(clapsIn(waveOf([new Float64Array(RATE)]))).toEqual([]);
  });

  test('disagree where their times differ by more than chance', () => {
    const other = { ...made, slopes: [[1, 0]], after: 1.8, seed: 20 } as const;
    for (const { disagree } of decaysOf([joined(several(2, made), madeClap(other))]).slice(2, 7)) {
      expect(Math.abs((disagree?.[0] ?? 0) - 0.5)).toBeLessThan(0.1);
      expect(Math.abs((disagree?.[1] ?? 0) - 1)).toBeLessThan(0.2);
    }
    const alike = decaysOf([several(4, made)]);
    expect(alike.map(({ disagree }) => disagree)).toEqual(Array(8).fill(null));
  });

  test('that clip are marked', () => {
    const loud = madeClap(made).map((sample) => Math.max(-1, Math.min(1, 100 * sample)));
    expect(clapsIn(waveOf([madeClap(made), loud])).map(({ clipped }) => clipped)).toEqual([false, true]);
  });
});

describe('bass', () => {
  /** A high-pass of first order, so many times over: 6 dB an octave each. */
  const highPassed = (samples: Float64Array, hertz: number, times: number): Float64Array => {
    if (times === 0) return samples;
    const keep = Math.exp((-2 * Math.PI * hertz) / RATE);
    let [out, last] = [0, 0];
    const passed = samples.map((sample) => {
      out = keep * (out + sample - last);
      last = sample;
      return out;
    });
    return highPassed(passed, hertz, times - 1);
  };
  const clap = madeClap({ slopes: [[0.6, 0]], after: 1.2 });
  const room = normal(77);

  test('that a phone leaves out does not rise above the noise', () => {
    const phone = highPassed(clap, 400, 5).map((sample) => sample + (0.003 / 30) * room());
    const rows = decaysOf([phone]);
    expect(rows[0]).toMatchObject({ lack: 'range', times: { edt: null, t20: null, t30: null } });
    expect(rows.slice(3, 7).map(({ lack }) => lack)).toEqual([null, null, null, null]);
  });

  /** 60 dB down at 63 Hz against 250 Hz, less than what the filter for 63 Hz lets through of it. */
  test('that is not there at all is not read from what leaks in from above', () => {
    const rows = decaysOf([highPassed(clap, 1000, 5)]);
    expect(rows[0]).toMatchObject({ lack: 'bass', times: { edt: null, t20: null, t30: null } });
    expect(rows[4]?.lack).toBeNull();
  });
});

test('an octave that the sample rate does not hold has no time', () => {
  const rows = decaysOf([madeClap({ slopes: [[0.6, 0]], noise: -50, rate: 8000 })], 8000);
  expect(rows.map(({ lack }) => lack)).toEqual([
    null,
    null,
    null,
    null,
    null,
    null,
    'sample-rate',
    'sample-rate',
  ]);
});

test('no recording whatever stops the reader, or makes a time that is none', () => {
  const bursts = fc.array(
    fc.record({
      length: fc.nat(1500),
      loud: fc.constantFrom(0, 1e-300, 1e-9, 1e-3, 1, 1e150),
      seed: fc.nat(99),
    }),
    { maxLength: 5 },
  );
  const rates = fc.constantFrom(8000, 11_025, 48_000, 384_000);
  fc.assert(
    fc.property(bursts, rates, fc.boolean(), (parts, rate, twice) => {
      const samples = joined(
        ...parts.map(({ length, loud, seed }) => {
          const next = normal(seed);
          return Float64Array.from({ length }, () => loud * next());
        }),
      );
      for (const { times, range, falls } of decaysOf(
        twice ? [samples, samples.toReversed()] : [samples],
        rate,
      )) {
        for (const name of TIME_NAMES) expect(times[name] ?? 1).toBeGreaterThan(0);
        for (const value of [range ?? 0, ...falls, times.edt ?? 1, times.t20 ?? 1])
          expect(value).toSatisfy(Number.isFinite);
      }
    }),
    { numRuns: sized(40, 2000) },
  );
});
