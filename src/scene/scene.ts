/** The scene: rooms, people, sources and microphones as plain values in SI units, degrees and dB. */
import type { Bands, Filter, Weighting } from '../acoustics/bands.ts';
import type { Directivity, DirectivityTable } from '../acoustics/directivity.ts';
import type { Path } from '../finding.ts';
import { span, type Vec2, type Vec3 } from '../geometry.ts';
import type { LimitsEntry } from '../plan/limits.ts';

/** What the engineer wants to do with a part later, and the S/B that needs, dB. Common practice, no source. */
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

/** Stands where a room's index would: the open air, or the free field of a plan without rooms. */
export const OUTSIDE = -1;

export type Scene = {
  readonly title: string;
  readonly air: Air;
  readonly rooms: readonly Room[];
  readonly partitions: readonly Partition[];
  readonly panels: readonly Panel[];
  readonly players: readonly Player[];
  readonly sources: readonly Source[];
  readonly parts: readonly Part[];
  /** Microphones and lines as the plan names them; a pair is one. */
  readonly mics: readonly Mic[];
  /** Single capsules: what energy is computed at. */
  readonly capsules: readonly Capsule[];
  /** Who sounds when; without any in the plan, one in which everyone does. */
  readonly passages: readonly Passage[];
  readonly limits: Limits;
  readonly tolerance: Tolerance;
  /** Set where measured levels were applied to it, whatever they tell. */
  readonly asRead?: true;
};

export type Passage = {
  /** Null for the one that stands for "all at once". */
  readonly name: string | null;
  readonly path: Path;
  /** Whether each source sounds in it. */
  readonly sounds: readonly boolean[];
};

export type Air = {
  readonly soundSpeed: number;
  /** Attenuation in dB per metre, by band. ISO 9613-1. */
  readonly loss: Bands;
};

export type Room = {
  readonly name: string;
  readonly path: Path;
  /** Corners, anticlockwise; wall i runs from corner i to corner i + 1. */
  readonly outline: readonly Vec2[];
  /** Heights of floor and ceiling above the ground. */
  readonly floor: number;
  readonly ceiling: number;
  /** Floor, ceiling, then wall i at 2 + i; `area` is what is left of it after booths that stand on or against it. */
  readonly surfaces: readonly Surface[];
  /** Own volume, the booths standing in it taken out. */
  readonly volume: number;
  /** Absorption areas in m² by band: things in the room and booth outsides; people in it; baffle faces. */
  readonly contents: Bands;
  readonly people: Bands;
  readonly added: Bands;
  readonly measured: MeasuredTime | null;
  /** The room in which this one stands free, as a booth does, or null. */
  readonly host: number | null;
  /** Noise level in dBA, or null where the plan gives none. */
  readonly noise: number | null;
  /** A closed booth, small and with little air. */
  readonly booth: boolean;
  /** Loudspeakers play in it, as in a control room. */
  readonly control: boolean;
};

/** What was measured of a decay. It holds contents and air; people too where `setUp`. */
export type MeasuredTime = {
  /** Seconds for 60 dB by band: the early decay time where `earlyBands`, else T20 or T30. */
  readonly times: Bands;
  readonly earlyBands: readonly boolean[];
  readonly setUp: boolean;
  /** Whether the plan names the finish of every surface. */
  readonly named: boolean;
};

export type Surface = {
  readonly name: string;
  readonly area: number;
  /** Finish, patches, doors and windows as an area mean, before any scaling to a measured time. */
  readonly alpha: Bands;
  /** Area of openings and open doors in it, m²: they swallow what meets them, and `alpha` counts them as 1. */
  readonly open: number;
  /** Doors, windows and openings in it, with what they absorb: 1 where they stand open. */
  readonly elements: readonly SurfaceElement[];
};

/** A T20 or T30 with nothing else known: in a room of uneven absorption levels are lower than it says. */
export const isLateAlone = ({ measured }: Room): boolean =>
  measured?.earlyBands.includes(false) === true && !measured.named;

/** By so many dB at most, as found in rooms solved by the wave equation [this model]. */
export const LATE_ALONE_LOWER = 2;

export type SurfaceElement = WallStretch & { readonly alpha: Bands; readonly area: number };

/** Area of an upright rectangle, m². */
export const wallArea = ({ a, b, low, high }: WallStretch): number => span(a, b) * (high - low);

/** A wall between two rooms, or between a room and the outside. */
export type Partition = {
  readonly name: string;
  readonly path: Path;
  readonly rooms: readonly [number, number];
  /** Stretches of wall on the plan with the heights they span above the ground; a booth's roof is `roof`. */
  readonly stretches: readonly WallStretch[];
  readonly roof: { readonly outline: readonly Vec2[]; readonly height: number } | null;
  readonly area: number;
  /** Transmission factor of the bare wall, by band. */
  readonly wall: Bands;
  /** Doors, windows and openings; an ajar door is two: its leaf and its slit. */
  readonly elements: readonly WallElement[];
  /** Composite transmission factor over wall and elements, by band: Σ S_k τ_k / Σ S_k. */
  readonly tau: Bands;
};

/** Heights above the ground. */
export type WallStretch = { readonly a: Vec2; readonly b: Vec2; readonly low: number; readonly high: number };

export type WallElement = WallStretch & {
  readonly name: string;
  readonly kind: 'door' | 'window' | 'opening';
  readonly state: 'closed' | 'ajar' | 'open';
  /** True for what sound passes freely: an opening, an open door, the slit of an ajar one. */
  readonly free: boolean;
  readonly tau: Bands;
};

/** A baffle, or one wall of a booth that stands free in its host room; `low` above the floor means a gap under it. */
export type Panel = WallStretch & {
  readonly name: string;
  readonly path: Path;
  readonly room: number;
  readonly tau: Bands;
  /** Absorption of its faces, by band. */
  readonly alpha: Bands;
  /** Height above the ground from which one can see through, or Infinity. */
  readonly windowFrom: number;
  /** The booth whose ring this panel belongs to, or null for a baffle. */
  readonly booth: number | null;
};

/** A gap between panels, or to wall or ceiling, counts as a whole one from this width on, m. */
export const NEAR = 0.2;

export type Player = {
  readonly name: string;
  readonly path: Path;
  /** Where the body stands, on the floor it stands on. */
  readonly at: Vec3;
  /** Where the person looks, degrees. */
  readonly facing: number;
  readonly standing: boolean;
  readonly room: number;
  readonly ears: Vec3;
  readonly eyes: Vec3;
  readonly listener: boolean;
  readonly cue: Cue;
};

/** Headphones as they are worn; `none` is a kind too. */
export type Cue = {
  readonly wearing: Wearing;
  /** Level of what comes over them at the ear, dBA; null where the plan gives none. */
  readonly level: number | null;
  /** Energy at 1 m over that at the wearer's ear, by band; null where nothing leaks. */
  readonly leak: Bands | null;
  /** Share of the energy in the room that still reaches the ear, by band. */
  readonly passes: Bands;
  /** False where the wearer is taken to hear nobody by air. */
  readonly hearsByAir: boolean;
};

export type Wearing = 'closed' | 'open' | 'one-off' | 'in-ear' | 'none';

export type Source = {
  readonly name: string;
  readonly path: Path;
  /** Name of the instrument in the catalogue, or null for a spectrum of the plan's own. */
  readonly instrument: string | null;
  /** The instrument's family in the catalogue, such as brass; of a kit percussion. Null for a spectrum of the plan's own. */
  readonly family: string | null;
  readonly player: number | null;
  /** The kit it belongs to ("drums" for "drums.snare"), or null. */
  readonly kit: string | null;
  readonly part: number;
  /** True where it repeats the part as a wedge does: bleed everywhere, counted in the part's ghost. */
  readonly repeats: boolean;
  /** Sound power by band, p²·m² re (20 µPa)²·m² with ρc = 400: 10^(Lw/10). Without cover. */
  readonly power: Bands;
  /** True where power or level was read or given, false where it is the catalogue's for a dynamic. */
  readonly measured: boolean;
  /** How far its level stands above what the catalogue gives for mf, dB; left out where that gives none. */
  readonly aboveMf?: number;
  readonly directivity: Directivity;
  /** Radius of the incoherent disc, m. */
  readonly radius: number;
  readonly points: readonly SourcePoint[];
  /** Energy factor of the cover over it, by band, or null. */
  readonly cover: Bands | null;
  readonly lowestNote: number;
  /** Nearest and furthest that a close mic on a stand usually is, m; 0 where the catalogue does not know. */
  readonly closest: number;
  readonly furthest: number;
  readonly crest: number;
  /** Set where its power is what measured levels say. */
  readonly read?: ReadLevel;
};

export type ReadLevel = {
  /** Names of the sources that were measured as one, its own among them: between these no levels are known. */
  readonly with: readonly string[];
  /** Only levels of one group are known against each other. */
  readonly group: number;
  /** Evenly within so many dB either way. */
  readonly within: number;
};

/** What measured levels hold of a path beyond what plan and levels say. */
export type MeasuredPath = {
  /** Energy factor by band. */
  readonly factor: Bands;
  /** As in `ReadLevel`. */
  readonly with: readonly string[];
  /** Set where it was read over all octaves, so weighted: its spectrum is the plan's. */
  readonly over?: Weighting;
  /** Set where something was moved since: the factor is kept, the value is no longer a reading. */
  readonly moved?: true;
};

/** A section is several points; `share` is each one's part of the power. */
export type SourcePoint = Pick<Capsule, 'at' | 'room'> & { readonly axis: Vec3; readonly share: number };
export type Later = 'leave' | 'rebalance' | 'tune' | 'replace';

/** What one edits or replaces as a whole: a voice, a kit, an instrument on line and amplifier. */
export type Part = {
  readonly name: string;
  readonly path: Path;
  readonly sources: readonly number[];
  readonly later: Later;
};

/** Response about the aim: `A + B·cos θ`, A + B = 1, by band, or a measured table. */
export type Pattern = {
  readonly name: string;
  readonly a: Bands;
  /** Measured table, or null for first order. */
  readonly table: DirectivityTable | null;
  /** Noise of the microphone itself, dBA; left out where unknown. */
  readonly selfNoise?: number;
};

export type Capsule = {
  /** "voice-mic", or "overheads.left" for one of a pair. */
  readonly name: string;
  readonly mic: number;
  readonly at: Vec3;
  readonly aim: Vec3;
  readonly room: number;
  readonly pattern: Pattern;
  /** Energy floor ε² of the null, by band; 0 for a textbook null. */
  readonly nullFloor: Bands;
  /** Set where nothing gives the null's depth, so that it may turn out otherwise. */
  readonly usualNull?: true;
  readonly proximity: boolean;
  /** Random energy efficiency by band: `ε² + (1−ε²)(A² + B²/3)`, or a table's sphere mean. */
  readonly ree: Bands;
  /** Paths from sources, by name, that were measured here. */
  readonly read?: ReadonlyMap<string, MeasuredPath>;
};

export type Mic = {
  readonly name: string;
  readonly path: Path;
  readonly purpose: 'parts' | 'all' | 'room';
  /** A DI: no capsule, no bleed. */
  readonly line: boolean;
  /** Indices of its capsules: one, two for a pair, none for a line. */
  readonly capsules: readonly number[];
  readonly stereo: string | null;
  /** Sources it is for; every source for `all` and `room`. */
  readonly wanted: readonly number[];
  /** Sources that count neither as signal nor as bleed: pieces of the same kit or part. */
  readonly ignored: readonly number[];
  /** S/B it must reach, dB, and what set it. */
  readonly limit: number;
  readonly limitFrom: string;
  /** Its place in the mix, dB. */
  readonly mix: number;
  /** High-pass and low-pass of its channel, and the energy factor of both by band; null without. */
  readonly highPass: Filter | null;
  readonly lowPass: Filter | null;
  readonly filter: Bands | null;
  /** Source under whose cover it stands, or null. */
  readonly inside: number | null;
  readonly switchable: readonly string[];
  readonly channels: readonly string[];
};

/** Single values as the plan gives them; of parts and people by their numbers. Those by microphone are the mics' own. */
export type Limits = Omit<LimitsEntry, 'signalToBleed' | keyof ResolvedLimits> & ResolvedLimits;

type ResolvedLimits = {
  /** Ratio of the 3:1 rule where the plan has it judged, else null. */
  readonly threeToOne: number | null;
  /** The loudest permitted ghost of a part, dB, by part. */
  readonly ghost: ReadonlyMap<number, number>;
  /** S/B at which a part can be edited alone, dB, by part. */
  readonly isolation: ReadonlyMap<number, number>;
  /** Pairs of players who must see each other. */
  readonly seeEachOther: readonly (readonly [number, number])[];
  /** Whom a player must hear: any sources of a name. */
  readonly hear: readonly {
    readonly player: number;
    readonly whom: string;
    readonly sources: readonly number[];
  }[];
  /** Targets of balance at main mics: one group of sources so many dB over another at least. */
  readonly balance: readonly BalanceTarget[];
  /** The least direct-to-reverberant ratio, dB, by main mic. */
  readonly directToReverberant: ReadonlyMap<number, number>;
  /** Seconds that the session lasts, or null. */
  readonly sessionLength: number | null;
  /** Percentile, as a fraction, at which limits are judged; null for the plain value. */
  readonly confidence: number | null;
};

export type BalanceTarget = Readonly<Record<'of' | 'over', readonly number[]>> & {
  readonly mic: number;
  readonly least: number;
  /** The groups in the plan's words: "choir", "violin and cello". */
  readonly names: readonly [of: string, over: string];
  readonly path: Path;
};

/** Bounds within which each thing varies at the session, evenly and independently; half widths but for the null depth: degrees, metres, dB, shares of one. */
export type Tolerance = {
  /** Of a mic's aim, in any direction. Common practice, no source. */
  readonly aim: number;
  /** Of a player, and of what stands by itself. Common practice, no source. */
  readonly facing: number;
  /** Of players, mics and what stands by itself, along each axis. Common practice, no source. */
  readonly place: number;
  /** Of a close mic's distance, a share of it; instead of `place`. Common practice, no source. */
  readonly near: number;
  /** Of a level or power that the plan gives, dB: a meter in class 2, its reader, another day. Common practice, no source. */
  readonly level: number;
  /** Of a level that the catalogue gives for a dynamic, dB. Common practice, no source. */
  readonly guessedLevel: number;
  /** Shallowest and deepest null by band, dB, of mics for which the plan gives no depth. Common practice, no source. */
  readonly nullDepth: { readonly from: Bands; readonly to: Bands };
  /** Of the sound reduction index of panels, walls, doors and windows, dB. Common practice, no source. */
  readonly panel: number;
  /** Of all that absorbs in a room without a measured time, a share of it. Common practice, no source. */
  readonly absorption: number;
  /** Of a measured reverberation time, a share of it. Common practice, no source. */
  readonly reverberation: number;
  readonly seed: number;
  readonly draws: number;
};

/** Main mics, which are for all, by number. */
export const mainMics = (mics: readonly Mic[]): number[] =>
  mics.flatMap(({ purpose, line }, index) => (purpose === 'all' && !line ? [index] : []));
