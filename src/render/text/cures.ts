import type { MicRow } from '../../judge/report.ts';
import { kindsIn } from '../shares.ts';
import { figure, percent } from '../words.ts';

/** Shares below this are not worth a cure of their own. */
const WORTH_CURING = 0.2;

/** What the bleed is made of, and which cures that leaves: one phrase each, largest share first. */
export function cures({ bleedShares, screensBuyAtMost }: MicRow): string[] {
  if (bleedShares === null) return [];
  const kinds = kindsIn(bleedShares);
  const made = kinds.map(({ key, name }) => `${percent(bleedShares[key])} ${name}`).join(', ');
  const worth = kinds.filter(({ key }, i) => i === 0 || bleedShares[key] >= WORTH_CURING);
  return [
    ...(kinds.length > 0 ? [`the bleed is ${made}`] : []),
    ...worth.map(({ against, cure }) => `against ${against}: ${cure}`),
    ...screens(screensBuyAtMost),
  ];
}

function screens(most: number | null): string[] {
  if (most === null) return [];
  return [
    `screens can buy ${most < 0.05 ? 'nothing' : `at most ${figure(most, 1)} dB`} here, what they absorb aside`,
  ];
}
