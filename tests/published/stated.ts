/**
 * How right the model is: the table of shared/model.md, row by row. Each figure is held by the test that finds it, and is what
 * was found rounded up to the last digit shown.
 */
export type Stated = {
  readonly against: string;
  readonly cases: string;
  /** Root mean square and largest difference, with their unit. */
  readonly rms?: string;
  readonly worst?: string;
};

const EDGE = 'exact field past a rigid edge without end, Macdonald 1915';
const GRID = 'simulation of the wave equation, rigid strips';
const IMAGES = 'sum of all mirror images in box rooms';
const BOOKS = 'worked examples of handbooks and standards';
const TABLES = 'printed tables';
const LINED = '0.05 elsewhere, omni';

export const STATED = {
  edge: { against: EDGE, cases: '24 places of a table, 125 Hz to 8 kHz', worst: '0.15 dB' },
  edgeFrom250: { against: EDGE, cases: 'the same, from 250 Hz up', worst: '0.04 dB' },
  edgeFurther: { against: EDGE, cases: '36 further places, 63 Hz to 8 kHz', worst: '0.32 dB' },
  strips125: { against: GRID, cases: '0.6, 1.2 and 2.4 m wide, 125 Hz', rms: '1.2 dB', worst: '2.3 dB' },
  strips250: { against: GRID, cases: 'the same, 250 Hz', rms: '0.77 dB', worst: '1.7 dB' },
  strips500: { against: GRID, cases: 'the same, 500 Hz', rms: '0.36 dB', worst: '0.74 dB' },
  strips1k: { against: GRID, cases: 'the same, 1 kHz', rms: '0.36 dB', worst: '1.5 dB' },
  narrowStrip: { against: GRID, cases: '0.6 m alone, 250 Hz', rms: '1.1 dB', worst: '1.7 dB' },
  oneTwo: {
    against: IMAGES,
    cases: 'direct sound and first reflections, six different walls',
    worst: '0.001 dB',
  },
  omni: {
    against: IMAGES,
    cases: 'three rooms, 0.1 to 0.5 all over, omni',
    rms: '0.20 dB',
    worst: '0.74 dB',
  },
  cardioid10: { against: IMAGES, cases: '0.1 all over, cardioid', rms: '0.12 dB', worst: '0.20 dB' },
  cardioid20: { against: IMAGES, cases: '0.2 all over, cardioid', rms: '0.26 dB', worst: '0.57 dB' },
  cardioid30: { against: IMAGES, cases: '0.3 all over, cardioid', rms: '0.45 dB', worst: '0.99 dB' },
  cardioid50: { against: IMAGES, cases: '0.5 all over, cardioid', rms: '0.78 dB', worst: '1.8 dB' },
  carpet: { against: IMAGES, cases: `floor 0.6, ${LINED}`, rms: '1.0 dB', worst: '1.3 dB' },
  ceiling: { against: IMAGES, cases: `ceiling 0.8, ${LINED}`, rms: '0.7 dB', worst: '1.1 dB' },
  wall: { against: IMAGES, cases: `one wall 0.7, ${LINED}`, rms: '0.5 dB', worst: '0.9 dB' },
  floorAndCeiling: {
    against: IMAGES,
    cases: `floor 0.4, ceiling 0.8, ${LINED}`,
    rms: '1.6 dB',
    worst: '2.0 dB',
  },
  wallAndCeiling: {
    against: IMAGES,
    cases: `one wall 0.6, ceiling 0.8, ${LINED}`,
    rms: '0.5 dB',
    worst: '0.8 dB',
  },
  facing: { against: IMAGES, cases: 'a source of Q 4 that faces a wall of 0.9', worst: '1.5 dB' },
  facingWithout: { against: IMAGES, cases: 'the same, were the first-hit share left out', worst: '4.2 dB' },
  turned: {
    against: 'the same room turned on the page',
    cases: '500 fixed directions: diffuse field',
    rms: '0.02 dB',
    worst: '0.10 dB',
  },
  levels: { against: BOOKS, cases: 'levels in one room', worst: '0.1 dB' },
  rooms: { against: BOOKS, cases: 'two rooms and a wall', worst: '0.04 dB' },
  air: { against: TABLES, cases: 'air, ISO 9613-1, five entries', worst: '0.2 %' },
  weightings: { against: TABLES, cases: 'A and C weighting, IEC 61672-1', worst: '0.04 dB' },
  pairs: { against: TABLES, cases: 'recording angles of six stereo pairs, the nearest print', worst: '7°' },
  fresnel: {
    against: 'integrals by quadrature',
    cases: 'auxiliary Fresnel functions, 0 to 40',
    worst: '1.1e-7',
  },
} as const satisfies Readonly<Record<string, Stated>>;
