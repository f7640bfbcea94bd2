/** Who hears whom by air, what headphones must carry, and what they leak into microphones. */
import { bands, decibels, energyOf, sameInAllBands, WEIGHTS, weightedSum } from '../acoustics/bands.ts';
import { OMNIDIRECTIONAL } from '../acoustics/directivity.ts';
import { type Capsule, OUTSIDE, type Passage, type Player, type Scene, type Source } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import { type PreparedScene, prepareEmitters, prepareScene } from '../transfer/prepared-scene.ts';
import { energyAt, PAIR_SIZE, pairEnergy, type Transfer, transferOn } from '../transfer/transfer.ts';
import { softestPassage } from './inputs.ts';
import { micEnergies, pickedUp } from './signal-to-bleed.ts';
import { type Verdict, verdictOf } from './verdict.ts';

export type HeadphoneLeakRow = {
  readonly player: string;
  /** A pair's capsules together. */
  readonly mic: string;
  /** Of what leaks, dB unweighted, before the channel's filters; null where it is inaudible. */
  readonly level: number | null;
  /** Re the mic's signal in its quietest passage, in the octaves the mic is judged in, after its filters, dB. */
  readonly leak: number | null;
  readonly passage: string | null;
  /** True from 40 dB under the signal on. */
  readonly audible: boolean;
  /** At the wearer's ear, dBA; assumed where the plan gives none. */
  readonly cueLevel: number;
  readonly guessed: boolean;
};

/** Level of a cue where the plan gives none, dBA. Common practice, no source. */
export const USUAL_CUE = 85;
/** A leak at this level or above is reported, dB re the signal. Common practice, no source. */
const AUDIBLE = -40;

/**
 * A row for each wearer of headphones that leak and each microphone but lines. The cue is taken alike in all octaves, and the
 * headphones as an omnidirectional point at the ears.
 */
export function headphoneLeak(scene: Scene, result: Transfer): HeadphoneLeakRow[] {
  const how = { filtered: true, weighting: scene.limits.weighting };
  const wearers = scene.players.filter(({ cue }) => cue.leak !== null);
  const leaking = leakTransfer(scene, result, wearers.map(phonesOf));
  const mics = scene.mics.filter(({ line }) => !line);
  return wearers.flatMap((wearer, phones) =>
    mics.map((mic) => {
      const atMic = micEnergies(leaking, mic, mic.capsules);
      const quietest = softestPassage(micEnergies(result, mic, mic.capsules), scene.passages, how);
      const weights = quietest?.weights ?? sameInAllBands(0);
      const leaked = weightedSum(pickedUp(atMic, [phones], { filtered: true }), weights);
      const leak = quietest && leaked > 0 ? decibels(leaked / quietest.energy) : null;
      const total = weightedSum(pickedUp(atMic, [phones], { filtered: false }), WEIGHTS.Z);
      return {
        player: wearer.name,
        mic: mic.name,
        level: total > 0 ? decibels(total) : null,
        leak,
        passage: quietest?.passage ?? null,
        audible: leak !== null && leak >= AUDIBLE,
        cueLevel: wearer.cue.level ?? USUAL_CUE,
        guessed: wearer.cue.level === null,
      };
    }),
  );
}

/** Sound power of what leaks: `W = 4π·p²` at 1 m, p² the even cue at the ear less the kind's leak. */
function phonesOf(player: Player): Source {
  const atEar = energyOf(player.cue.level ?? USUAL_CUE) / weightedSum(sameInAllBands(1), WEIGHTS.A);
  return {
    name: player.name,
    path: player.path,
    ...{ instrument: null, family: null, player: null, kit: null, part: -1, repeats: false, cover: null },
    ...{ radius: 0, lowestNote: 0, closest: 0, furthest: 0, crest: 0 },
    power: bands((band) => 4 * Math.PI * atEar * (player.cue.leak?.[band] ?? 0)),
    measured: player.cue.level !== null,
    directivity: OMNIDIRECTIONAL,
    points: [{ at: player.ears, axis: [0, 0, 1], room: player.room, share: 1 }],
  };
}

/** Energies of the headphones alone, beside the scene's own sources so that covers keep whom they belong to. */
function leakTransfer(scene: Scene, { prepared, capsules }: Transfer, phones: readonly Source[]): Transfer {
  const own = scene.sources.length;
  const emitters = [...prepared.emitters, ...phones.map((one) => prepareEmitters(one, prepared))];
  const joined = { ...prepared, scene: { ...scene, sources: [...scene.sources, ...phones] }, emitters };
  const energy = new Float64Array(phones.length * capsules * PAIR_SIZE);
  for (let pair = 0; pair < phones.length * capsules; pair++) {
    const into = energy.subarray(pair * PAIR_SIZE, (pair + 1) * PAIR_SIZE);
    pairEnergy(into, joined, own + Math.floor(pair / capsules), pair % capsules);
  }
  return { sources: phones.length, capsules, energy, prepared: joined };
}

export type CueRow = {
  readonly player: string;
  readonly listener: boolean;
  readonly wearing: Player['cue']['wearing'];
  /** False where the headphones shut out everything: everyone must be in them. */
  readonly hearsByAir: boolean;
  /** Who must be in the headphones, and who would be nice to have, as barely heard by air; those that limits demand first. */
  readonly mustHave: readonly CueNeed[];
  readonly niceToHave: readonly CueNeed[];
  /** Why the wearer's own sound must be in them: the headphones shut it out, or all of it comes out elsewhere. Null where not. */
  readonly own: 'shut out' | 'elsewhere' | null;
};

/** Wears none, and needs some. */
export const lacksHeadphones = ({ wearing, mustHave }: CueRow): boolean =>
  wearing === 'none' && mustHave.length > 0;

export type CueNeed = Pick<HearsRow, 'whom' | 'passage' | 'ratio'> & {
  /** True where a limit of the plan demands it. */
  readonly isDemanded: boolean;
};

/**
 * Whomever they do not hear by air of those who sound in their passages, and whom they must hear by the plan's limits. Everyone
 * who wears headphones has a row; those who wear none, where they would need them: a player for whomever they do not hear, a
 * listener only for what the limits demand.
 */
export function cueList(
  { players, sources }: Pick<Scene, 'players' | 'sources'>,
  hearing: Hearing,
): CueRow[] {
  return players.flatMap((one, index): CueRow[] => {
    const { name, listener, cue } = one;
    const { wearing, hearsByAir } = cue;
    const played = sources.filter(({ player, repeats }) => player === index && !repeats);
    const wanted = needsOf(name, hearing, listener && wearing === 'none');
    const own = ownIn(one, played);
    if (wearing === 'none' && wanted.mustHave.length === 0 && own === null) return [];
    return [{ player: name, listener, wearing, hearsByAir, ...wanted, own }];
  });
}

/** An amplifier in another room, or a DI alone, gives its player nothing by air. */
function ownIn({ room, cue }: Player, played: readonly Source[]): CueRow['own'] {
  if (played.length === 0) return null;
  if (played.every(({ points }) => points.every((point) => point.room !== room))) return 'elsewhere';
  return cue.hearsByAir ? null : 'shut out';
}

function needsOf(
  name: string,
  hearing: Hearing,
  onlyLimits: boolean,
): Pick<CueRow, 'mustHave' | 'niceToHave'> {
  const limits = hearing.limits.filter(({ player, needsCue }) => player === name && needsCue);
  const demanded = new Set(limits.map(({ whom }) => whom));
  const others = hearing.rows.filter(({ player, whom }) => player === name && !demanded.has(whom));
  const heard = (how: Heard) =>
    onlyLimits ? [] : others.filter(({ hears }) => hears === how).map((row) => needOf(row, false));
  return {
    mustHave: [...limits.map((row) => needOf(row, true)), ...heard('cannot hear')],
    niceToHave: heard('barely hears'),
  };
}

const needOf = (
  { whom, passage, ratio }: Pick<HearsRow, 'whom' | 'passage' | 'ratio'>,
  isDemanded: boolean,
): CueNeed => ({ whom, passage, ratio, isDemanded });

export type HearsRow = {
  readonly player: string;
  readonly listener: boolean;
  readonly whom: string;
  /** The passage it is judged in, of those in which both sound the worst; null where the plan has none. */
  readonly passage: string | null;
  /** At the ear, under the headphones, dBA; null where it is inaudible. */
  readonly level: number | null;
  /** Re everything else at that ear and the room's noise, dB; null where it is inaudible. */
  readonly ratio: number | null;
  readonly hears: Heard;
  /** What the values do not say, in words. */
  readonly remark: string | null;
};

/** A demand of the plan, for a person, a kit or a single source. */
export type HearLimitRow = Omit<HearsRow, 'hears'> & {
  /** Above the level that counts as heard, dB; null where it is not judged or is inaudible. */
  readonly margin: number | null;
  /** Null for who is not to hear by air: their headphones must carry it. */
  readonly verdict: Verdict | null;
  /** True where headphones must carry it. */
  readonly needsCue: boolean;
};

export type Hearing = { readonly rows: readonly HearsRow[]; readonly limits: readonly HearLimitRow[] };

/**
 * Every player and listener with everyone who sounds together with them; who never does is left out. `ears` is `earTransfer`.
 * Thresholds are common practice, no source; heads are left out, and what comes over headphones masks nothing.
 */
export function judgeHearing(scene: Scene, ears: Transfer): Hearing {
  const sounders = audibleSources(scene);
  return {
    rows: scene.players.flatMap((_, player) => rowsOf(scene, ears, player, sounders)),
    limits: scene.limits.hear.map((limit) => limitRow(scene, ears, limit, sounders)),
  };
}

function rowsOf(scene: Scene, ears: Transfer, index: number, sounders: readonly AudibleSource[]): HearsRow[] {
  const player = scene.players[index];
  if (!player) return [];
  const own = sounders.find((one) => one.player === index)?.sources ?? [];
  const { wearing, hearsByAir } = player.cue;
  return sounders.flatMap((whom) => {
    const heard = whom.player === index ? null : worstOf(scene, ears, index, { own, whom: whom.sources });
    if (!heard) return [];
    const row = { player: player.name, listener: player.listener, whom: whom.name, ...heard };
    if (!hearsByAir) return [{ ...row, hears: 'cannot hear' as const, remark: `wears ${NAMES[wearing]}` }];
    return [{ ...row, hears: audibilityOf(heard.ratio), remark: remarkOn(heard.ratio, wearing) }];
  });
}

function limitRow(
  scene: Scene,
  ears: Transfer,
  { player: index, whom, sources }: Scene['limits']['hear'][number],
  sounders: readonly AudibleSource[],
): HearLimitRow {
  const player = scene.players[index] as Player;
  const { wearing, hearsByAir } = player.cue;
  const own = sounders.find((one) => one.player === index)?.sources ?? [];
  const all = withWedges(scene, sources);
  const heard =
    worstOf(scene, ears, index, { own, whom: all }) ?? worstOf(scene, ears, index, { own: [], whom: all });
  const row = { player: player.name, listener: player.listener, whom };
  if (!heard) return { ...row, ...NEVER };
  const margin = heard.ratio === null ? null : heard.ratio - HEARS;
  const met = hearsByAir && margin !== null && margin >= 0;
  if (!met && wearing !== 'none') return { ...row, ...heard, ...OVER_HEADPHONES };
  const verdict = margin === null ? 'short' : verdictOf(margin);
  return { ...row, ...heard, margin, verdict, needsCue: !met, remark: remarkOn(heard.ratio, wearing) };
}

const NEVER = {
  ...{ passage: null, level: null, ratio: null, margin: null, verdict: null, needsCue: false },
  remark: 'silent in every passage; not judged',
} as const;
const OVER_HEADPHONES = {
  ...{ margin: null, verdict: null, needsCue: true },
  remark: 'not by air; needs it in the headphones',
} as const;

/** A loudspeaker that repeats the whole of a part counts with it. */
function withWedges({ sources: all }: Scene, sources: readonly number[]): number[] {
  const parts = new Set(sources.map((i) => all[i]?.part));
  return all.flatMap(({ repeats, part }, i) =>
    sources.includes(i) || (repeats && parts.has(part)) ? [i] : [],
  );
}

function remarkOn(ratio: number | null, wearing: CueRow['wearing']): string | null {
  if (ratio === null) return 'inaudible';
  return wearing === 'one-off' ? 'with one ear' : null;
}

const NAMES = {
  closed: 'closed headphones',
  open: 'open headphones',
  'one-off': 'one cup off',
  'in-ear': 'in-ears',
  none: 'nothing',
} as const;

type AudibleSource = {
  readonly name: string;
  /** Who plays it, or null. */
  readonly player: number | null;
  /** All of it, loudspeakers that repeat it included: a singer in a wedge is that singer. */
  readonly sources: readonly number[];
};

/** In the order of the scene. */
function audibleSources(scene: Scene): AudibleSource[] {
  const { players, sources } = scene;
  const own = [...sources.keys()].filter((i) => !sources[i]?.repeats);
  // the same key for all that belongs together; names hold no line break
  const keyOf = ({ player, kit, name }: Source) => (player === null ? (kit ?? name) : `player\n${player}`);
  return [...groupBy(own, (i) => keyOf(sources[i] as Source)).values()].map((members) => {
    const { player, kit, name } = sources[members[0] as number] as Source;
    const known = player === null ? kit : players[player]?.name;
    return { name: known ?? name, player, sources: withWedges(scene, members) };
  });
}

export type Heard = 'hears' | 'barely hears' | 'cannot hear';
/** Heard from the first level on, barely heard from the second, dB re everything else. Common practice, no source. */
export const HEARS = -8;
const BARELY_HEARS = -15;

function audibilityOf(ratio: number | null): Heard {
  if (ratio === null || ratio < BARELY_HEARS) return 'cannot hear';
  return ratio >= HEARS ? 'hears' : 'barely hears';
}

/** Noise of a room that the plan gives none for, dBA: a quiet one. Assumed, unverified. */
export const QUIET_ROOM = 25;
type InPassage = Pick<HearsRow, 'passage' | 'level' | 'ratio'>;

/**
 * The worst of the passages in which both sound, or all of theirs for one who plays nothing ownSignal; null where they never
 * meet. Own instruments are among everything else.
 */
function worstOf(
  scene: Scene,
  ears: Transfer,
  player: number,
  { own, whom }: { readonly own: readonly number[]; readonly whom: readonly number[] },
): InPassage | null {
  const ear = earLevelsOf(scene, ears, player);
  const noise = energyOf(scene.rooms[scene.players[player]?.room ?? OUTSIDE]?.noise ?? QUIET_ROOM);
  const together = scene.passages.filter(
    ({ sounds }) => whom.some((i) => sounds[i]) && (own.length === 0 || own.some((i) => sounds[i])),
  );
  const all = together.map((passage) => inPassage(passage, ear, whom, noise));
  return all.reduce<InPassage | null>((a, b) => (a === null || rank(b) < rank(a) ? b : a), null);
}

const rank = ({ ratio }: InPassage): number => ratio ?? Number.NEGATIVE_INFINITY;

function inPassage({ name, sounds }: Passage, ear: Ear, whom: readonly number[], noise: number): InPassage {
  const sounding = sounds.flatMap((is, i) => (is ? [i] : []));
  const among = new Set(whom);
  const theirs = ear(sounding.filter((i) => among.has(i)));
  if (theirs <= 0) return { passage: name, level: null, ratio: null };
  const rest = noise + ear(sounding.filter((i) => !among.has(i)));
  return { passage: name, level: decibels(theirs), ratio: decibels(theirs / rest) };
}

/** Energies of every source at each player's ears: capsule i is player i, before headphones. `prepared` is the scene's own. */
export function earTransfer(scene: Scene, prepared: PreparedScene = prepareScene(scene)): Transfer {
  return transferOn({ ...prepared, scene: { ...scene, capsules: scene.players.map(earOf), mics: [] } });
}

/** A-weighted energy of some sources. */
type Ear = (sources: readonly number[]) => number;

/** What reaches a player's ear, past the headphones worn. */
export function earLevelsOf({ players }: Scene, ears: Transfer, player: number): Ear {
  const passes = players[player]?.cue.passes;
  const weights = bands((band) => (WEIGHTS.A[band] ?? 0) * (passes?.[band] ?? 1));
  const at = (source: number) => bands((band) => energyAt(ears, source, player, band));
  return (sources) => sources.reduce((sum, source) => sum + weightedSum(at(source), weights), 0);
}

/** The ears as one omnidirectional point, without the head between them. */
const earOf = (player: Player, index: number): Capsule => ({
  name: player.name,
  mic: index,
  at: player.ears,
  aim: [0, 0, 1],
  room: player.room,
  pattern: { name: 'omni', a: sameInAllBands(1), table: null },
  nullFloor: sameInAllBands(0),
  proximity: false,
  ree: sameInAllBands(1),
});
