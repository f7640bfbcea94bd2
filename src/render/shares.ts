import type { Shares } from '../judge/report.ts';

/** What each share of a bleed is called and what there is to do about it. Cures: common practice, no source. */
export type Kind = {
  readonly key: keyof Shares;
  readonly name: string;
  readonly against: string;
  readonly cure: string;
};

const KINDS: readonly Kind[] = [
  { key: 'direct', name: 'direct', against: 'direct sound', cure: 'aim, null or screen' },
  { key: 'reflections', name: 'first reflections', against: 'first reflections', cure: 'where one stands' },
  { key: 'room', name: 'room', against: 'the room', cure: 'closer, softer, absorption or another room' },
  { key: 'walls', name: 'through walls', against: 'sound through walls', cure: 'the door' },
];

/** The kinds that make up at least half a percent, largest first. */
export function kindsIn(shares: Shares): Kind[] {
  return KINDS.filter(({ key }) => shares[key] >= 0.005).sort((a, b) => shares[b.key] - shares[a.key]);
}
