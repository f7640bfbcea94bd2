/** ANSI S3.5-1997, standard speech spectrum levels at 1 m before the mouth, dB re 20 µPa per hertz, by third-octave. */
export const THIRDS = [
  160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000,
] as const;

export const SPEECH = {
  normal: {
    overall: 62.35,
    weighted: 59.2,
    levels: [
      32.41, 34.48, 34.75, 33.98, 34.59, 34.27, 32.06, 28.3, 25.01, 23.0, 20.15, 17.32, 13.18, 11.55, 9.33,
      5.31, 2.59, 1.13,
    ],
  },
  raised: {
    overall: 68.34,
    weighted: 66.4,
    levels: [
      33.81, 33.92, 38.98, 38.57, 39.11, 40.15, 38.78, 36.37, 33.86, 31.89, 28.58, 25.32, 22.35, 20.15, 16.78,
      11.47, 7.67, 5.07,
    ],
  },
  loud: {
    overall: 74.85,
    weighted: 73.9,
    levels: [
      35.29, 37.76, 41.55, 43.78, 43.4, 44.85, 45.55, 44.05, 42.16, 40.53, 37.7, 34.39, 30.98, 28.21, 25.41,
      18.35, 13.87, 11.39,
    ],
  },
  shouted: {
    overall: 82.3,
    weighted: 82.2,
    levels: [
      30.77, 36.65, 42.5, 46.51, 47.4, 49.24, 51.21, 51.44, 51.31, 49.63, 47.65, 44.32, 40.8, 38.13, 34.41,
      28.24, 23.45, 20.72,
    ],
  },
} as const;

/** Octave levels: each third is its spectrum level plus 10 lg(0.2316 f), its bandwidth. */
export function octaveLevel(levels: readonly number[], nominal: number): number {
  const inside = THIRDS.map((third, i) => ({ third, level: levels[i] ?? 0 })).filter(
    ({ third }) => third > nominal / 1.42 && third < nominal * 1.42,
  );
  const energy = inside.map(({ third, level }) => 10 ** ((level + 10 * Math.log10(0.2316 * third)) / 10));
  return 10 * Math.log10(energy.reduce((sum, one) => sum + one, 0));
}
