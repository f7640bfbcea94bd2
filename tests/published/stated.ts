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
const OPEN = 'panels in the open solved by the wave equation, 40 places';
const ROOMS = 'rooms solved by the wave equation, omni mics';
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
  openPanel: { against: OPEN, cases: 'one, 500 Hz to 4 kHz', rms: '0.76 dB', worst: '3.7 dB' },
  openTwo: { against: OPEN, cases: 'two, one behind the other', rms: '2.5 dB', worst: '9.1 dB' },
  openL: { against: OPEN, cases: 'two that touch, an L', rms: '1.6 dB', worst: '5.7 dB' },
  roomsMiddle: { against: ROOMS, cases: 'nine rooms, 500 Hz to 2 kHz', rms: '0.95 dB', worst: '4.5 dB' },
  rooms250: { against: ROOMS, cases: 'the same, 250 Hz', rms: '1.9 dB', worst: '5.5 dB' },
  rooms125: { against: ROOMS, cases: 'the same, 125 Hz', rms: '2.5 dB', worst: '6.2 dB' },
  oneTwo: {
    against: IMAGES,
    cases: 'direct sound and first reflections, six different walls',
    worst: '0.001 dB',
  },
  omni: {
    against: IMAGES,
    cases: 'three rooms, 0.1 to 0.5 all over, omni',
    rms: '0.21 dB',
    worst: '0.73 dB',
  },
  cardioid10: { against: IMAGES, cases: '0.1 all over, cardioid', rms: '0.14 dB', worst: '0.26 dB' },
  cardioid20: { against: IMAGES, cases: '0.2 all over, cardioid', rms: '0.16 dB', worst: '0.27 dB' },
  cardioid30: { against: IMAGES, cases: '0.3 all over, cardioid', rms: '0.21 dB', worst: '0.40 dB' },
  cardioid50: { against: IMAGES, cases: '0.5 all over, cardioid', rms: '0.29 dB', worst: '0.63 dB' },
  carpet: { against: IMAGES, cases: `floor 0.6, ${LINED}`, rms: '1.1 dB', worst: '1.6 dB' },
  ceiling: { against: IMAGES, cases: `ceiling 0.8, ${LINED}`, rms: '0.9 dB', worst: '1.4 dB' },
  wall: { against: IMAGES, cases: `one wall 0.7, ${LINED}`, rms: '0.4 dB', worst: '0.6 dB' },
  floorAndCeiling: {
    against: IMAGES,
    cases: `floor 0.4, ceiling 0.8, ${LINED}`,
    rms: '1.8 dB',
    worst: '2.7 dB',
  },
  wallAndCeiling: {
    against: IMAGES,
    cases: `one wall 0.6, ceiling 0.8, ${LINED}`,
    rms: '0.4 dB',
    worst: '0.7 dB',
  },
  facing: { against: IMAGES, cases: 'a source of Q 4 that faces a wall of 0.9', worst: '1.3 dB' },
  facingWithout: { against: IMAGES, cases: 'the same, were the first-hit share left out', worst: '3.8 dB' },
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

/** Octaves of the solved rooms. */
export const ROOM_OCTAVES = [63, 125, 250, 500, 1000, 2000] as const;

/**
 * Rooms solved by the wave equation, by scene: mean/rms over its mics of the computed less the solved levels in dB, octave by octave;
 * the rms is rounded up. A dash where an octave was not solved.
 */
export const STATED_ROOMS = {
  'even-20': {
    room: '0.2 all over',
    levels: '−0.70/2.29 1.20/2.39 1.23/2.13 0.23/0.87 0.10/0.73 −0.10/0.42',
  },
  'live-8': {
    room: '0.08 all over',
    levels: '−1.64/2.69 0.46/2.28 0.68/1.58 0.11/0.84 0.16/0.63 −0.06/0.46',
  },
  'one-wall-lined': {
    room: 'one wall 0.85, else 0.08',
    levels: '0.16/1.97 1.39/2.58 1.24/1.97 0.51/0.88 0.45/0.86 0.32/0.59',
  },
  'floor-and-ceiling': {
    room: 'floor 0.35, ceiling 0.6, else 0.08',
    levels: '−0.13/2.14 1.66/2.56 1.63/2.28 0.45/0.96 0.04/0.69 −0.44/0.61',
  },
  'even-20-screen': {
    room: '0.2, a baffle',
    levels: '−1.82/2.31 1.37/2.06 −0.04/1.13 −0.10/0.75 0.42/0.97 0.02/0.69',
  },
  'dry-45-soft-screen': {
    room: '0.45, a soft baffle',
    levels: '0.31/1.67 2.42/3.18 0.79/1.61 0.34/1.26 0.59/1.21 0.14/0.83',
  },
  'dry-45-two-screens': {
    room: '0.45, two baffles',
    levels: '−1.48/3.00 1.21/2.45 0.05/1.62 −0.04/1.45 0.32/1.21 −0.37/1.26',
  },
  'l-room': {
    room: '0.15, L-shaped',
    levels: '2.38/3.64 1.36/2.36 1.32/2.02 0.00/0.87 0.20/0.96 0.17/0.89',
  },
  doorway: {
    room: '0.15, two rooms and a doorway',
    levels: '−1.55/5.43 1.53/2.26 0.07/1.75 −0.32/1.34 0.29/1.18 0.41/1.08',
  },
  omni: { room: 'these nine', levels: '−0.50/3.00 1.40/2.48 0.77/1.82 0.13/1.05 0.29/0.96 0.01/0.81' },
  'first-order-mics-0-even': {
    room: '0.16, first-order mics',
    levels: '– −0.29/1.58 −0.02/1.55 0.65/0.99 0.21/0.64 −0.15/0.58',
  },
  'first-order-mics-3-random': {
    room: '0.19 to 0.77, first-order mics',
    levels: '– 3.03/3.96 1.31/2.57 0.78/2.25 −0.11/0.78 −0.03/0.88',
  },
} as const satisfies Readonly<Record<string, { readonly room: string; readonly levels: string }>>;
