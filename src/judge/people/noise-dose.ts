/** Criteria for noise at work: a level for eight hours, and by how many dB less or more time doubles or halves. */

export type Criterion = { readonly level: number; readonly exchange: number };

/** NIOSH (1998), publication 98-126. */
export const NIOSH: Criterion = { level: 85, exchange: 3 };
/** 29 CFR 1910.95, appendix A, table G-16a. */
export const OSHA: Criterion = { level: 90, exchange: 5 };

const DAY = 480;

/** Minutes a day at a level in dBA: 480 / 2^((L − criterion)/exchange). May be more than a day has. */
export function safeMinutes({ level, exchange }: Criterion, dBA: number): number {
  return DAY / 2 ** ((dBA - level) / exchange);
}

/** Level in dBA at which so many minutes a day are just allowed. */
export function levelAllowedFor({ level, exchange }: Criterion, minutes: number): number {
  return level + exchange * Math.log2(DAY / minutes);
}
