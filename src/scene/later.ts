/** What the engineer wants to do with a part later, and the S/B that needs. Common practice, no source. */
import type { Later } from './scene.ts';

/** dB. */
export const LATER_LIMITS: Readonly<Record<Later, number>> = {
  leave: 6,
  rebalance: 10,
  tune: 20,
  replace: 10,
};

/** Strictest first; of two that need the same, the one that asks for more besides. */
const STRICTNESS: readonly Later[] = ['tune', 'replace', 'rebalance', 'leave'];

/** What the strictest of several parts needs; `rebalance` where there is none. */
export function strictest(wishes: readonly Later[]): { readonly later: Later; readonly limit: number } {
  const later = STRICTNESS.find((wish) => wishes.includes(wish)) ?? 'rebalance';
  return { later, limit: LATER_LIMITS[later] };
}
