/** Reverberation time and what follows from it. */

/** 24·ln 10: decay by 60 dB in classical room acoustics. */
const SIXTY_DB = 24 * Math.LN10;

/** Sabine decay time in s of volume m³ and absorption area m² (air included) at c m/s. Sabine 1922. */
export function sabineTime(volume: number, absorptionArea: number, soundSpeed: number): number {
  return (SIXTY_DB * volume) / (soundSpeed * absorptionArea);
}

/** Eyring decay time in s; `mean` is the mean absorption, air and contents inside. Eyring 1930. */
export function eyringTime(volume: number, surface: number, mean: number, soundSpeed: number): number {
  return (SIXTY_DB * volume) / (-soundSpeed * surface * Math.log1p(-mean));
}

/** Mean absorption that gives a decay time by Eyring's formula: 1 − exp(−24 ln10·V/(c·S·T)). */
export function eyringAbsorption(volume: number, surface: number, time: number, soundSpeed: number): number {
  return -Math.expm1((-SIXTY_DB * volume) / (soundSpeed * surface * time));
}

/** Room constant R = A/(1 − ᾱ), m². */
export const roomConstant = (absorptionArea: number, mean: number): number => absorptionArea / (1 - mean);

/** Distance in m at which the direct sound of a source of directivity factor Q equals the room's: √(QR/16π) = 0.141·√(QR). */
export const criticalDistance = (constant: number, q = 1): number =>
  Math.sqrt((q * constant) / (16 * Math.PI));

/** Frequency in Hz below which single modes rule: 2000·√(T/V). Schroeder 1962, Kuttruff. */
export const schroederFrequency = (time: number, volume: number): number => 2000 * Math.sqrt(time / volume);
