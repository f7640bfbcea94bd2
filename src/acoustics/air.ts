/** Air after ISO 9613-1: speed of sound and attenuation. */
import { type Bands, bands, MID_BANDS } from './bands.ts';

const KELVIN = 273.15;
const REFERENCE_KELVIN = 293.15;
/** Temperature of the triple point of water, K. */
const TRIPLE_POINT = 273.16;

/** Speed of sound in m/s at a temperature in °C. ISO 9613-1, annex A. */
export function soundSpeed(celsius: number): number {
  return 343.2 * Math.sqrt((celsius + KELVIN) / REFERENCE_KELVIN);
}

/**
 * Absorption of air in dB per metre at a frequency in Hz, at 101.325 kPa. ISO 9613-1, equations (3) to (5);
 * valid from −20 to 50 °C and 10 to 100 % relative humidity.
 */
export function airLoss(hertz: number, celsius: number, humidityPercent: number): number {
  const warmth = (celsius + KELVIN) / REFERENCE_KELVIN;
  const vapour = humidityPercent * 10 ** (-6.8346 * (TRIPLE_POINT / (celsius + KELVIN)) ** 1.261 + 4.6151);
  const oxygen = 24 + (4.04e4 * vapour * (0.02 + vapour)) / (0.391 + vapour);
  const nitrogen = (9 + 280 * vapour * Math.exp(-4.17 * (warmth ** (-1 / 3) - 1))) / Math.sqrt(warmth);
  const square = hertz * hertz;
  const oxygenPart = (0.01275 * Math.exp(-2239.1 / (celsius + KELVIN))) / (oxygen + square / oxygen);
  const nitrogenPart = (0.1068 * Math.exp(-3352 / (celsius + KELVIN))) / (nitrogen + square / nitrogen);
  return 8.686 * square * (1.84e-11 * Math.sqrt(warmth) + warmth ** -2.5 * (oxygenPart + nitrogenPart));
}

/** Absorption of air in dB per metre, by band. */
export function airLossByBand(celsius: number, humidityPercent: number): Bands {
  return bands((band) => airLoss(MID_BANDS[band] ?? 0, celsius, humidityPercent));
}

/** Energy attenuation m per metre from a loss in dB per metre: m = α/(10·lg e). */
export const energyLoss = (lossDb: number): number => (lossDb * Math.LN10) / 10;
