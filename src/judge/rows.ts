/** Rows of the report on microphones, their spacing and the rooms, as plain values. */
import type { Bands } from '../acoustics/bands.ts';
import type { Vec3 } from '../geometry.ts';
import type { Basis, Verdict } from './verdict.ts';

export type RoomRow = {
  readonly name: string;
  readonly volume: number;
  readonly sabine: Bands;
  readonly eyring: Bands;
  readonly measured: Bands | null;
  /** For Q = 1, mean of 500 Hz and 1 kHz, m. */
  readonly criticalDistance: number;
  readonly schroeder: number;
};

/** Energies of one capsule's bleed by share. */
export type Shares = {
  readonly direct: number;
  readonly reflections: number;
  readonly room: number;
  readonly walls: number;
};

export type LevelRow = {
  readonly source: string;
  readonly wanted: boolean;
  /** Neither wanted nor bleed: a mate of the same kit or part. */
  readonly ignored: boolean;
  readonly level: number | null;
  readonly byBand: readonly (number | null)[];
  readonly distance: number | null;
  readonly offAxis: number | null;
  /** Energy in the octaves that this mic is judged in: what makes a bleeder loud here. */
  readonly judgedLevel: number | null;
  /** Of this source's energy here (judged octaves), what each share brings; fractions of one. */
  readonly shares: Shares;
};

/** One capsule, or a pair's capsules together as an energy sum (`PairRow`). Levels in dB re 20 µPa. */
export type MicRow = {
  readonly name: string;
  /** The pair it belongs to, or null. */
  readonly pair: string | null;
  readonly purpose: 'parts' | 'all' | 'room';
  readonly for: readonly string[];
  readonly at: Vec3;
  readonly room: string | null;
  readonly pattern: string;
  /** The passage it is judged in, the worst; null where the plan has none. */
  readonly passage: string | null;
  readonly signal: number | null;
  readonly bleed: number | null;
  /** As judged, in the weighting of the plan. */
  readonly signalToBleed: number | null;
  readonly signalToBleedUnweighted: number | null;
  /** As judged, but for the channel's filters; the same where it has none. */
  readonly signalToBleedUnfiltered: number | null;
  readonly signalToDirectBleed: number | null;
  /** Octaves it is judged in, as nominal hertz. */
  readonly judgedBands: readonly number[];
  readonly limit: number | null;
  readonly limitFrom: string | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  /** Why there is no figure, or why there is no verdict, in words. */
  readonly remark: string | null;
  /** Share of the judged bleed by kind, fractions of one; null without bleed. */
  readonly bleedShares: Shares | null;
  /** What screens that stop all direct sound and every first reflection would buy, dB; null where nothing would be left. */
  readonly screensBuyAtMost: number | null;
  readonly levels: readonly LevelRow[];
  /** Whether its S/B was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

export type PairRow = MicRow & { readonly capsules: readonly string[] };

export type LineRow = { readonly name: string; readonly for: readonly string[] };

export type SpacingRow = {
  readonly mics: readonly [string, string];
  readonly ratio: number;
  readonly micToMic: number;
  readonly micToSource: number;
  readonly margin: number;
  /** Null where the plan does not have the rule judged. */
  readonly verdict: Verdict | null;
};
