/** What `why` knows, as plain values: the only thing that its rendering reads. Levels in dB re 20 µPa. */
import type { PathKind, Share } from '../../acoustics/path.ts';
import type { Shares } from '../rows.ts';
import type { GainKind } from './why-gains.ts';

export type Why = {
  readonly title: string;
  /** As asked: a microphone, pair, capsule or line; a source, kit, part or player. */
  readonly mic: string;
  readonly source: string;
  /** A direct line: no capsule, so that nothing reaches it by air. */
  readonly line: boolean;
  /** Each capsule with each source, capsule by capsule, the loudest source first. */
  readonly pairs: readonly WhyPair[];
};

export type WhyPair = {
  readonly mic: string;
  readonly pattern: string;
  readonly source: string;
  readonly role: 'own' | 'mate' | 'bleed';
  readonly level: number | null;
  readonly byBand: readonly (number | null)[];
  /** Level in the octaves that count at this microphone, and those octaves as nominal hertz. */
  readonly judgedLevel: number | null;
  readonly judgedBands: readonly number[];
  /** The channel has filters: shares count after them, levels before. */
  readonly filtered: boolean;
  /** Distance of the source's nearest point, m. */
  readonly distance: number | null;
  /** How many points the source speaks from. */
  readonly points: number;
  /** In the octaves that count, fractions of one; all 0 where nothing arrives. */
  readonly shares: Shares;
  /** Schroeder frequency of the microphone's room, Hz; null in the open. */
  readonly schroeder: number | null;
  /** Largest share first. */
  readonly paths: readonly WhyPath[];
};

/** All ways of one kind off one thing; those of a section's points are one, added as energies. */
export type WhyPath = {
  readonly kind: PathKind;
  readonly share: Share;
  /** Surface, panel or element in the plan's words; null where there is none. */
  readonly by: string | null;
  /** The partition that the element is in, or the room whose surface it is. */
  readonly of: string | null;
  readonly points: number;
  /** Of this source's energy here, in the octaves that count; a fraction of one. */
  readonly fraction: number;
  readonly level: number | null;
  readonly byBand: readonly (number | null)[];
  /** Metres, seconds, degrees off the source's axis and off the microphone's aim; null for a field. */
  readonly length: Range | null;
  readonly delay: Range | null;
  readonly offAxis: Range | null;
  readonly offAim: Range | null;
  /** In order; they add up to `byBand`. */
  readonly gains: readonly WhyGain[];
  /** Screens met, as the loudest point's way meets them. */
  readonly screens: readonly WhyScreen[];
  /** Edges of an opening. */
  readonly edges: readonly WhyEdge[];
};

export type Range = { readonly from: number; readonly to: number };

/** dB by band; null where nothing is left to multiply. */
export type WhyGain = { readonly kind: GainKind; readonly byBand: readonly (number | null)[] };

export type WhyScreen = {
  readonly panels: readonly string[];
  /** On the whole way, or before or after it comes off a surface or through a wall. */
  readonly where: 'whole' | 'before' | 'after';
  /** dB by band: through it, past it, and both together, without the angles in which ways leave and arrive. */
  readonly through: readonly (number | null)[];
  readonly past: readonly (number | null)[];
  readonly whole: readonly (number | null)[];
  readonly edges: readonly WhyEdge[];
};

export type WhyEdge = {
  readonly side: 'left' | 'right' | 'top' | 'bottom';
  /** How much longer the way round it is than the straight one, m. */
  readonly detour: number;
  /** The straight line passes on the screen's, or the opening's, side of it. */
  readonly hidden: boolean;
  readonly wave: readonly (number | null)[];
};

/** Capsules and sources by number, and the names they were asked for by. */
export type Asked = {
  readonly mic: string;
  readonly source: string;
  readonly line: boolean;
  readonly capsules: readonly number[];
  readonly sources: readonly number[];
};
