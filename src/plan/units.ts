/** The common units, as factors to metres, hertz, degrees, °C, square metres, seconds, dB and fractions of one. */

export type Dimension =
  | 'length'
  | 'area'
  | 'surface-mass'
  | 'frequency'
  | 'angle'
  | 'temperature'
  | 'time'
  | 'ratio'
  | 'percent'
  | 'decibel'
  | 'count';

type Units = Readonly<Record<string, number>>;

/** Exact by definition: 1 ft = 0.3048 m and 1 in = 25.4 mm (international yard and pound agreement, 1959). */
export const FOOT = 0.3048;
export const INCH = 0.0254;

const LENGTH: Units = {
  m: 1,
  metre: 1,
  metres: 1,
  meter: 1,
  meters: 1,
  cm: 0.01,
  mm: 0.001,
  ft: FOOT,
  foot: FOOT,
  feet: FOOT,
  "'": FOOT,
  in: INCH,
  inch: INCH,
  inches: INCH,
  '"': INCH,
};
const AREA: Units = {
  m2: 1,
  'm²': 1,
  cm2: 1e-4,
  'cm²': 1e-4,
  ft2: FOOT * FOOT,
  'ft²': FOOT * FOOT,
  sqft: FOOT * FOOT,
};
/** 1 lb = 0.45359237 kg, exact (1959). */
const SURFACE_MASS: Units = {
  'kg/m2': 1,
  'kg/m²': 1,
  'lb/ft2': 0.45359237 / FOOT ** 2,
  'lb/ft²': 0.45359237 / FOOT ** 2,
};
const FREQUENCY: Units = { Hz: 1, hz: 1, HZ: 1, kHz: 1000, khz: 1000, KHz: 1000, k: 1000 };
const ANGLE: Units = { deg: 1, '°': 1, degree: 1, degrees: 1 };
const TEMPERATURE: Units = { C: 1, '°C': 1, degC: 1 };
const TIME: Units = { s: 1, sec: 1, ms: 0.001, min: 60, h: 3600, hour: 3600, hours: 3600 };
const PERCENT: Units = { '%': 1 };
const RATIO: Units = { '%': 0.01 };
const DECIBEL: Units = { dB: 1, db: 1, DB: 1 };
const COUNT: Units = {};

export const UNITS: Readonly<Record<Dimension, ReadonlyMap<string, number>>> = {
  length: new Map(Object.entries(LENGTH)),
  area: new Map(Object.entries(AREA)),
  'surface-mass': new Map(Object.entries(SURFACE_MASS)),
  frequency: new Map(Object.entries(FREQUENCY)),
  angle: new Map(Object.entries(ANGLE)),
  temperature: new Map(Object.entries(TEMPERATURE)),
  time: new Map(Object.entries(TIME)),
  ratio: new Map(Object.entries(RATIO)),
  percent: new Map(Object.entries(PERCENT)),
  decibel: new Map(Object.entries(DECIBEL)),
  count: new Map(Object.entries(COUNT)),
};

/** What our results are shown in, and what a bare number counts in where the file's own unit does not rule. */
export const BASE: Readonly<Record<Dimension, string>> = {
  length: 'm',
  area: 'm²',
  'surface-mass': 'kg/m²',
  frequency: 'Hz',
  angle: '°',
  temperature: '°C',
  time: 's',
  ratio: '',
  percent: '%',
  decibel: 'dB',
  count: '',
};

/** How each may be written: the mend of a value that cannot be read. */
export const EXAMPLES: Readonly<Record<Dimension, string>> = {
  length: '2.5, 250 cm, 6 ft or 5 ft 3 in',
  area: '6, 6 m2 or 64 ft2',
  'surface-mass': '12 or 12 kg/m2',
  frequency: '100, 100 Hz or 1.2 kHz',
  angle: '30 or 30 deg',
  temperature: '20 or 68 °F',
  time: '0.4 s or 3 h',
  ratio: '0.2 or 20 %',
  percent: '50 or 50 %',
  decibel: '20 or 20 dB',
  count: '3',
};
