/** Pitfalls: what commonly goes wrong in a session, each kind a rule of one table. */
import type { Bands } from '../acoustics/bands.ts';
import { bands, KILOHERTZ, MID_BANDS, NOMINAL_BANDS, weightedSum } from '../acoustics/bands.ts';
import { nullAngle } from '../acoustics/directivity.ts';
import type { Path } from '../finding.ts';
import * as geo from '../geometry.ts';
import { type Lengths, METRES } from '../plan/units.ts';
import { AS_DRAWN, NEARLY } from '../scene/plausibility.ts';
import { type Mic, type Part, type Passage, type Player, type Scene, wallArea } from '../scene/scene.ts';
import { allOf, duration, figure } from '../text.ts';
import { gapsBetween, type Joint, openness } from '../transfer/gaps.ts';
import { type Transfer, transferOn } from '../transfer/transfer.ts';
import { HEARS } from './hearing.ts';
import type { PartRow, Report } from './report.ts';
import { bafflesBetween } from './sight.ts';
import type { LevelRow, MicEnergies, MicRow } from './signal-to-bleed.ts';
import {
  energiesIn,
  judgedEnergy,
  micEnergies,
  micsAsNamed,
  pickedUp,
  signalToBleed,
} from './signal-to-bleed.ts';
import type { TimingRow } from './timing.ts';

/** Most serious first: what harms people, what cannot be fixed in the mix, what spoils the session, what may. A choice of this program. */
const RULES = {
  exposure: tooLoud,
  committed: ofParts(committed),
  'open-in-control': openInControl,
  wedge: ofParts(wedges),
  ghost: ofParts(ghosts),
  'not-loudest': atMics(notLoudest),
  'ajar-door': atMics(ajarDoors),
  'baffle-gap': baffleGaps,
  'cannot-hear': (ask) => [...unheard(ask), ...leaders(ask, unheardLeader, HEAR_BETTER)],
  'cannot-see': (ask) => [...unseen(ask), ...leaders(ask, unseenLeader, SEE_BETTER)],
  'narrow-null': narrowNulls,
  'room-bleed': atMics(roomBleed),
  'low-bleed': atMics(lowBleed),
  'comb-filtering': combs,
  'headphone-leak': leaks,
  'beyond-critical-distance': atMics(tooFar),
  'too-close': atMics(tooNear),
  'below-schroeder': atMics(belowSchroeder),
} satisfies Record<string, Rule>;

export type PitfallKind = keyof typeof RULES;
export const PITFALL_KINDS = Object.keys(RULES) as PitfallKind[];
export type Pitfall = Found & { readonly kind: PitfallKind };

type Found = {
  /** Microphones, parts and people it is about, as the plan names them. */
  readonly about: readonly string[];
  /** Ranks pitfalls of one kind: the more, the worse. */
  readonly weight: number;
  /** One sentence with names and values. */
  readonly text: string;
  /** What would fix it. */
  readonly fix: string;
  /** The setting of the plan that one would change. */
  readonly path: Path;
};

type Ask = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly report: Report;
  /** A length as sentences have it: "53 cm", "1.25 m"; "21 in", "4 ft 1 in". */
  readonly say: (metres: number) => string;
  readonly mics: readonly JudgedMic[];
};

type Rule = (ask: Ask) => Found[];

const found = (about: readonly string[], weight: number, text: string, fix: string, path: Path): Found[] => [
  { about, weight, text, fix, path },
];

function atMics(rule: (judged: JudgedMic, ask: Ask) => Found[]): Rule {
  return (ask) => ask.mics.flatMap((judged) => rule(judged, ask));
}

/** For parts that are to be replaced. */
function ofParts(rule: (row: PartRow, part: Part, scene: Scene) => Found[]): Rule {
  return ({ scene, report }) =>
    report.parts.flatMap((row, i) => (row.limit === null ? [] : rule(row, scene.parts[i] as Part, scene)));
}

/** A mic for parts that has a verdict; of a pair its worse channel. */
type JudgedMic = {
  readonly mic: Mic;
  readonly row: MicRow;
  readonly atMic: MicEnergies;
  /** The passage it is judged in, and what sounds in it. */
  readonly passage: Passage;
  readonly wanted: readonly number[];
  readonly bleeders: readonly number[];
  /** Weights of the octaves it is judged in. */
  readonly weights: Bands;
};

/** `report` is that of the scene; sentences have lengths in metres unless stated. Most serious first: by kind, then the worse. */
export function pitfalls(
  scene: Scene,
  result: Transfer,
  report: Report,
  { close, apart }: Lengths = METRES,
): Pitfall[] {
  const say = (metres: number) => (metres < 1 ? close(metres) : apart(metres));
  const ask = { scene, result, report, say, mics: judgedMics(scene, result, report) };
  return PITFALL_KINDS.flatMap((kind) => {
    const all: readonly Found[] = RULES[kind](ask);
    return all.map((one) => ({ kind, ...one })).sort((a, b) => b.weight - a.weight);
  });
}

/** In the order of the scene. */
function judgedMics(scene: Scene, result: Transfer, report: Report): JudgedMic[] {
  return scene.mics.flatMap((mic) => {
    const row = micsAsNamed(report).find(({ name }) => name === mic.name);
    const passage = row && scene.passages.find((one) => one.name === row.passage);
    if (mic.purpose !== 'parts' || !row || !passage || row.verdict === null) return [];
    const worse = mic.capsules.filter((one) => 'worse' in row && scene.capsules[one]?.name === row.worse);
    const atMic = micEnergies(result, mic, worse.length > 0 ? worse : mic.capsules);
    const { wanted, bleeders, weights } = energiesIn(atMic, passage, scene.limits.weighting);
    return [{ mic, row, atMic, passage, wanted, bleeders, weights }];
  });
}

/** Weighted energy of some sources at a mic, after its filters. */
const amount = ({ atMic, weights }: JudgedMic, sources: readonly number[], by = weights): number =>
  weightedSum(pickedUp(atMic, sources, { filtered: true }), by);

const total = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0);

/** The one with the most, the first of equals; −1 of none. */
function greatest(sources: readonly number[], of: (source: number) => number): number {
  const [first = -1, ...rest] = sources;
  return rest.reduce((best, source) => (of(source) > of(best) ? source : best), first);
}

const inDb = (value: number): string => figure(value, 1);
const inPercent = (fraction: number): string => `${Math.round(100 * fraction)}%`;

/** From this share on, a kind of bleed dominates. */
const MOST = 0.5;

/** Where the plan gives no session length, a daily limit below this is a pitfall, min. A choice of this program. */
const TOO_SHORT = 60;

function tooLoud({ scene: { limits, players }, report }: Ask): Found[] {
  const session = limits.sessionLength === null ? null : limits.sessionLength / 60;
  return report.exposure.flatMap(({ player, minutes, isLeast, level, verdict }, index) => {
    const isOver = verdict === 'short' || (verdict === null && minutes !== null && minutes < TOO_SHORT);
    if (!isOver || minutes === null || level === null) return [];
    const asked = session === null ? '' : `, session ${duration(session)}`;
    const text = `${player}: ${inDb(level)} dBA, NIOSH limit ${isLeast ? 'at most ' : ''}${duration(minutes)} a day${asked}`;
    const path = session === null ? (players[index]?.path ?? []) : ['limits', 'session-length'];
    return found([player], level, text, 'hearing protection, breaks, softer playing, distance', path);
  });
}

const HEAR_BETTER = 'move them closer, or headphones';
const SEE_BETTER = 'a lower baffle, a window in it, or another position';

function unheard({ scene: { limits }, report }: Ask): Found[] {
  return report.hearing.limits.flatMap(({ player, whom, verdict, ratio, margin }, index) => {
    if (verdict !== 'short') return [];
    const earlier = limits.hear.slice(0, index);
    const place = earlier.filter((one) => limits.hear[index]?.player === one.player).length;
    const under = ratio !== null && `${inDb(-ratio)} dB below the rest, limit ${inDb(-HEARS)} dB`;
    const how = under || 'inaudible';
    const text = `${player} must hear ${whom} and cannot (${how})`;
    return found([player, whom], -(margin ?? -Infinity), text, HEAR_BETTER, [
      'limits',
      'hear',
      player,
      place,
    ]);
  });
}

function unseen({ report }: Ask): Found[] {
  return report.sight.limits.flatMap(({ players: [one, other], hiddenBy, verdict }) => {
    if (verdict === 'clear') return [];
    const text = `${one} and ${other} must see each other and cannot (${allOf(hiddenBy)} in between)`;
    return found([one, other], hiddenBy.length, text, SEE_BETTER, ['limits', 'see-each-other']);
  });
}

/** A player faces another within this angle, degrees. */
const STRAIGHT_AT = 1;

/** A player follows the one faced; pairs that the plan's limits name are left out. */
function leaders(
  { scene: { players }, report }: Ask,
  find: (report: Report, player: Player, leader: Player) => string | null,
  fix: string,
): Found[] {
  return players.flatMap((player) => {
    const leader = player.listener ? null : facedBy(player, players);
    const text = leader && find(report, player, leader);
    return leader && text ? found([player.name, leader.name], 0, text, fix, player.path) : [];
  });
}

function facedBy(player: Player, players: readonly Player[]): Player | null {
  const ahead = players.flatMap((other) => {
    const away = geo.span(player.at, other.at);
    const off = Math.abs(geo.turnBetween(player.facing, geo.bearingOf(geo.subtract(other.at, player.at))));
    return away > 0.01 && off <= STRAIGHT_AT ? [{ other, away }] : [];
  });
  return ahead.sort((a, b) => a.away - b.away)[0]?.other ?? null;
}

function unseenLeader({ sight }: Report, { name }: Player, leader: Player): string | null {
  const isTheirs = ({ players }: { readonly players: readonly string[] }) =>
    players.includes(name) && players.includes(leader.name);
  const row = sight.limits.some(isTheirs) ? undefined : sight.rows.find(isTheirs);
  if (!row || row.sees) return null;
  return `${name} cannot see ${leader.name}, whom it faces (${allOf(row.hiddenBy)} in between)`;
}

function unheardLeader({ hearing }: Report, { name, cue }: Player, leader: Player): string | null {
  const isTheirs = ({ player, whom }: { readonly player: string; readonly whom: string }) =>
    player === name && whom === leader.name;
  const row = hearing.limits.some(isTheirs) ? undefined : hearing.rows.find(isTheirs);
  if (row?.hears !== 'cannot hear' || cue.wearing !== 'none') return null;
  const how = row.ratio === null ? 'inaudible' : `${inDb(-row.ratio)} dB below the rest`;
  return `${name} cannot hear ${leader.name}, whom it faces (${how})`;
}

function leaks({ scene, report }: Ask): Found[] {
  return report.phones.flatMap(({ player, mic, leak, audible }) => {
    const heardBy = scene.mics.find(({ name }) => name === mic);
    if (!audible || leak === null || heardBy?.purpose !== 'parts') return [];
    const wearer = scene.players.find(({ name }) => name === player);
    const text = `the headphones of ${player} leak into ${mic}, ${inDb(-leak)} dB below its quietest signal`;
    const fix = wearer?.cue.wearing === 'closed' ? 'a softer cue without click' : 'closed headphones';
    return found([player, mic], leak, text, fix, wearer?.path ?? []);
  });
}

function committed({ name, committed: stays }: PartRow, { path }: Part): Found[] {
  if (!stays) return [];
  const text = `${name} cannot be replaced: every mic for it is shared, ${stays.because} has most of it`;
  return found([name], 0, text, 'a mic of its own', path);
}

function ghosts(row: PartRow, { path }: Part): Found[] {
  const { name, ghost, margin, loudestIn } = row;
  if (row.committed || ghost === null || margin === null || margin >= 0) return [];
  const where = loudestIn === null ? '' : `, mostly in ${loudestIn}`;
  const text = `${name} leaves a ghost of ${inDb(ghost)} dB when replaced, ${inDb(-margin)} dB too loud${where}`;
  const about = loudestIn === null ? [name] : [name, loudestIn];
  return found(about, -margin, text, 'another room, or record it later', path);
}

/** Wedges and loudspeakers that play a part to be replaced. */
function wedges({ name, loudestIn, ghost }: PartRow, part: Part, { sources }: Scene): Found[] {
  const where = loudestIn === null ? 'all other mics' : `${loudestIn} above all`;
  return part.sources.flatMap((i) => {
    const wedge = sources[i];
    if (!wedge?.repeats) return [];
    const text = `${wedge.name} carries ${name}, a part to be replaced; it bleeds into ${where}`;
    return found([wedge.name, name], ghost ?? 0, text, `headphones instead of ${wedge.name}`, wedge.path);
  });
}

/** Mics that stand where loudspeakers play: what these play goes to the take, and may howl. */
function openInControl({ scene }: Ask): Found[] {
  return scene.mics.flatMap(({ name, capsules, path }) => {
    const room = capsules
      .flatMap((index) => scene.rooms[scene.capsules[index]?.room ?? -1] ?? [])
      .find(({ control }) => control);
    if (!room) return [];
    const text = `${name} is open in ${room.name}, where loudspeakers play: they bleed into it and may howl`;
    return found([name], 1, text, 'loudspeakers off and headphones on while it is open', path);
  });
}

/** A bleeding source is louder than the signal; the pieces of a kit that is the signal count together. */
function notLoudest({ mic, row, wanted, bleeders }: JudgedMic): Found[] {
  const energyAt = (source: number) => judgedEnergy(row.levels[source]);
  const { name, path } = mic;
  const own = total(wanted.map(energyAt));
  const whom = row.for.join(', ');
  if (own <= 0) {
    const text = `${name} picks up nothing of ${whom}`;
    return found([name], Number.MAX_VALUE, text, 'another position or aim', path);
  }
  const loudest = greatest(bleeders, energyAt);
  const over = 10 * Math.log10(energyAt(loudest) / own);
  if (!(over > 0)) return [];
  const other = row.levels[loudest]?.source ?? '';
  const text = `${name}: ${other} is ${inDb(over)} dB louder than ${whom}`;
  return found([name, other], over, text, `move it closer to ${whom}, or further from ${other}`, path);
}

/** Doors ajar through which most of a mic's bleed comes: by `S τ` of the gap over the whole wall's, mean over its octaves. */
function ajarDoors({ mic, row }: JudgedMic, { scene: { rooms, partitions } }: Ask): Found[] {
  const walls = row.bleedShares?.walls ?? 0;
  if (row.verdict === 'clear' || walls < MOST) return [];
  const room = rooms.findIndex(({ name }) => name === row.room);
  return partitions.flatMap((partition) => {
    const slit = partition.elements.find(({ free, state }) => free && state === 'ajar');
    if (!slit || !partition.rooms.includes(room)) return [];
    const shares = row.judgedBands.map((hertz) => {
      const band = (NOMINAL_BANDS as readonly number[]).indexOf(hertz);
      return (wallArea(slit) * (slit.tau[band] ?? 0)) / (partition.area * (partition.tau[band] ?? 1));
    });
    const share = total(shares) / Math.max(1, shares.length);
    if (share < MOST) return [];
    const text = `the ${slit.name} of ${partition.name} is ajar: ${inPercent(walls)} of the bleed in ${mic.name} comes through walls, ${inPercent(share)} of it through that gap`;
    return found([mic.name, partition.name], walls, text, 'close it', partition.path);
  });
}

function baffleGaps({ scene: { panels }, say }: Ask): Found[] {
  const baffles = panels.filter(({ booth }) => booth === null);
  const widths = new Map<string, Joint>();
  for (const gap of gapsBetween(baffles, null)) {
    if (gap.kind !== 'joint' || gap.end.panel.room !== gap.to.panel.room) continue;
    const pair = [gap.end.panel.name, gap.to.panel.name].sort().join('\n');
    if (gap.width < (widths.get(pair)?.width ?? Infinity)) widths.set(pair, gap);
  }
  return [...widths.values()].flatMap(({ end, to, width }) => {
    if (width <= AS_DRAWN || width > NEARLY) return [];
    const text = `${end.panel.name} and ${to.panel.name} nearly touch: the gap of ${say(width)} counts as ${inPercent(openness(width))} open`;
    const fix = 'push them together, and give both ends the same point';
    return found([end.panel.name, to.panel.name], openness(width), text, fix, end.panel.path);
  });
}

function roomBleed(judged: JudgedMic, { scene }: Ask): Found[] {
  const { mic, row } = judged;
  const share = row.bleedShares?.room ?? 0;
  const means = row.verdict === 'clear' || share < MOST ? [] : reliedOn(scene, judged);
  if (means.length === 0) return [];
  const text = `${inPercent(share)} of the bleed in ${mic.name} is room sound, which ${allOf(means)} cannot reject: without direct sound and first reflections it gains ${inDb(row.baffleGainMax ?? 0)} dB at most`;
  const fix = 'closer mic, softer neighbours, absorption or another room';
  return found([mic.name], share, text, fix, mic.path);
}

/** A source this close to the null's angle counts as in the null, degrees. */
const IN_NULL = 5;

/** A null pointed at a source, and baffles in the line to one. */
function reliedOn(scene: Scene, { mic, row, bleeders }: JudgedMic): string[] {
  const pattern = scene.capsules[mic.capsules[0] ?? -1]?.pattern;
  const angle = pattern && !pattern.table ? nullAngle(pattern.a[KILOHERTZ] ?? 1) : null;
  const isInNull = (source: number) =>
    angle !== null && Math.abs((row.levels[source]?.micOffAxis ?? Number.NaN) - angle) <= IN_NULL;
  const nulled = mic.capsules.length === 1 ? bleeders.filter(isInNull) : [];
  const names = nulled.map((source) => scene.sources[source]?.name ?? '');
  const baffles = new Set(bleeders.flatMap((source) => bafflesBetween(scene, source, mic)));
  return [...(names.length > 0 ? [`its null at ${allOf(names)}`] : []), ...baffles];
}

/** Portable baffles hardly attenuate octaves below this one, Hz. */
const LOW = 250;

function lowBleed(judged: JudgedMic, { scene }: Ask): Found[] {
  const { mic, row, wanted, bleeders, weights } = judged;
  if (row.verdict === 'clear' || row.bleedShares === null) return [];
  const low = bands((band) => ((NOMINAL_BANDS[band] ?? 0) < LOW ? (weights[band] ?? 0) : 0));
  const share = amount(judged, bleeders, low) / amount(judged, bleeders);
  const loudest = greatest(bleeders, (source) => amount(judged, [source], low));
  const baffles = share >= MOST ? bafflesBetween(scene, loudest, mic) : [];
  if (baffles.length === 0) return [];
  const name = scene.sources[loudest]?.name ?? '';
  const text = `${inPercent(share)} of the bleed in ${mic.name} is below ${LOW} Hz, mostly ${name}: ${allOf(baffles)} cannot stop that`;
  const fix = highPass(scene, wanted, low) ?? `${name} further away or in another room`;
  return found([mic.name, name], share, text, fix, mic.path);
}

/** A high-pass below the lowest note of the signal, where that takes out at least one of the octaves that bleed. */
function highPass({ sources }: Scene, wanted: readonly number[], low: Bands): string | null {
  const lowest = Math.min(...wanted.map((source) => sources[source]?.lowestNote ?? 0));
  const cuts = low.some((weight, band) => weight > 0 && (MID_BANDS[band] ?? 0) < lowest);
  return cuts ? `a high-pass below its lowest note, ${Math.floor(lowest)} Hz` : null;
}

/** A smaller loss does not matter, dB: the margin of a clear verdict. */
const LOSS = 3;

/** Axes about which an aim turns: upright for left and right, sideways for up and down. */
const POLES = [(aim: geo.Vec3): geo.Vec3 => geo.unit(geo.cross(geo.rightOf(aim), aim)), geo.rightOf];

/** S/B lost when the mics turn by the tolerance of the aim: to either side, up and down. */
function narrowNulls({ scene, result, mics }: Ask): Found[] {
  const { aim } = scene.tolerance;
  const judged = mics.filter(({ row }) => row.signalToBleed !== null);
  if (judged.length === 0 || aim <= 0) return [];
  const turned = POLES.flatMap((poleOf) =>
    [aim, -aim].map((degrees) => {
      const turn = (from: geo.Vec3) => geo.rotateAbout(from, poleOf(from), degrees);
      const capsules = scene.capsules.map((capsule) => ({ ...capsule, aim: turn(capsule.aim) }));
      return transferOn({ ...result.prepared, scene: { ...scene, capsules } });
    }),
  );
  return judged.flatMap((one) => narrowNull(scene, one, turned));
}

function narrowNull(scene: Scene, judged: JudgedMic, turned: readonly Transfer[]): Found[] {
  const { mic, row, passage, bleeders } = judged;
  const readings = turned.flatMap((day) => {
    const atMic = micEnergies(day, mic, mic.capsules);
    const ratio = signalToBleed(atMic, { ...scene, passages: [passage] })?.ratio ?? Number.NaN;
    return Number.isFinite(ratio) ? [{ ratio, atMic }] : [];
  });
  const [first, ...rest] = readings;
  if (!first || row.signalToBleed === null) return [];
  const { ratio, atMic } = rest.reduce((a, b) => (b.ratio < a.ratio ? b : a), first);
  const loss = row.signalToBleed - ratio;
  if (loss < LOSS) return [];
  const gains = bleeders.map((source) => amount({ ...judged, atMic }, [source]) - amount(judged, [source]));
  const risen = bleeders[gains.indexOf(Math.max(...gains))] ?? -1;
  const who = scene.sources[risen]?.name ?? '';
  const text = `${mic.name} relies on its null at ${who}: ${Math.round(scene.tolerance.aim)}° off aim, S/B drops ${inDb(row.signalToBleed)} → ${inDb(ratio)} dB`;
  const fix = `lock it off; set the null by ear with ${who} playing`;
  return found([mic.name, who], loss, text, fix, mic.path);
}

/** From peak to notch, dB: what a copy 9.5 dB down leaves, as the 3:1 rule allows. 20·lg((1+⅓)/(1−⅓)) = 6.0. */
export const RIPPLE = 6;

/** The deepest comb filtering of each two mics for parts. */
function combs({ scene, report }: Ask): Found[] {
  const seen = new Set<string>();
  return report.timing.rows.flatMap((row) => {
    const [own, other] = [row.own, row.other].map((name) => micNamed(scene, name));
    if (!own || !other || row.ripple < RIPPLE || !row.notches || !isBleed(scene, row, other, own)) return [];
    const key = JSON.stringify([own.name, other.name].sort());
    if (seen.has(key)) return [];
    seen.add(key);
    const direct = `${row.over ? 'over ' : ''}${row.over ? Math.round(row.ripple) : inDb(row.ripple)}`;
    const depth = `${inDb(row.rippleWithRoom)} dB ripple (${direct} in direct sound)`;
    const notch = Math.round(row.notches.find((hertz) => hertz > 0) ?? 0);
    const text = `comb filtering, ${row.part} in ${row.own} + ${row.other}: ${depth}, first notch ${notch} Hz`;
    const fix = combFix(row, [own, other]);
    return found([row.own, row.other, row.part], row.ripple, text, fix, own.path);
  });
}

/** By its own name or that of one of its capsules. */
const micNamed = ({ mics, capsules }: Scene, name: string): Mic | undefined =>
  mics.find((mic) => mic.name === name) ??
  mics.find((mic) => mic.capsules.some((index) => capsules[index]?.name === name));

/** One capsule of a pair cannot be delayed alone, and a DI cannot be moved. */
function combFix({ align, otherRests, other, part }: TimingRow, mics: readonly Mic[]): string {
  if (otherRests) return `mute ${other} while ${part} plays`;
  const move = 'move the mics further apart';
  if (align === null || mics.some(({ capsules }) => capsules.length > 1)) return move;
  const delay = `delay ${align.mic} by ${(1000 * align.by).toFixed(2)} ms`;
  return mics.some(({ line }) => line) ? delay : `${delay}, or ${move}`;
}

/** Neither is a main or room mic, and overheads above a spot are no bleed; a DI and an amplifier's mic are. */
function isBleed({ sources }: Scene, { source }: TimingRow, other: Mic, own: Mic): boolean {
  if (own.purpose !== 'parts' || other.purpose !== 'parts') return false;
  const index = sources.findIndex(({ name }) => name === source);
  return own.line || other.line || !other.wanted.includes(index);
}

/** Beyond the critical distance of an omnidirectional source, and the direct sound is less than half of the whole. */
function tooFar({ mic, row, wanted }: JudgedMic, { report: { rooms }, say }: Ask): Found[] {
  const own = wanted.flatMap((source) => row.levels[source] ?? []);
  const nearest = nearestOf(own);
  const critical = rooms.find(({ name }) => name === row.room)?.criticalDistance ?? Number.POSITIVE_INFINITY;
  const away = nearest?.distance ?? 0;
  const direct =
    total(own.map((level) => judgedEnergy(level) * level.shares.direct)) / total(own.map(judgedEnergy));
  if (!nearest || away <= critical || !(direct < 0.5)) return [];
  const text = `${mic.name} is ${say(away)} from ${nearest.source}, critical distance ${say(critical)}: ${inPercent(1 - direct)} of its signal is room sound`;
  return found([mic.name, nearest.source], away / critical, text, 'move it closer', mic.path);
}

function nearestOf(levels: readonly LevelRow[]): LevelRow | undefined {
  const placed = levels.filter(({ distance }) => distance !== null);
  return placed.sort((a, b) => (a.distance ?? 0) - (b.distance ?? 0))[0];
}

/** Rounding of a mic at exactly this distance, m. */
const ROUNDING = 1e-6;

/** Closer than the closest useful distance. Under a cover there is no choice. */
function tooNear({ mic, row, wanted }: JudgedMic, { scene: { sources }, say }: Ask): Found[] {
  if (mic.inside !== null) return [];
  return wanted.flatMap((source) => {
    const { distance } = row.levels[source] ?? { distance: null };
    const { closest, name } = sources[source] ?? { closest: 0, name: '' };
    if (distance === null || distance >= closest - ROUNDING) return [];
    const text = `${mic.name} is ${say(distance)} from ${name}, closer than ${say(closest)}: too close to pick up the whole instrument`;
    const weight = closest / Math.max(distance, 1e-3);
    return found([mic.name, name], weight, text, `at least ${say(closest)} away`, mic.path);
  });
}

/** Uncertainty of levels below the Schroeder frequency, dB. Unverified. */
const UNCERTAIN = 5;

/** Verdicts that rest on octaves in which room modes dominate. */
function belowSchroeder(judged: JudgedMic, { report: { rooms } }: Ask): Found[] {
  const { mic, row, wanted, bleeders, weights } = judged;
  const isTight = row.margin !== null && Math.abs(row.margin) < UNCERTAIN;
  if (!isTight || row.signalToBleed === null) return [];
  const schroeder = rooms.find(({ name }) => name === row.room)?.schroeder ?? 0;
  const low = bands((band) => ((MID_BANDS[band] ?? 0) < schroeder ? (weights[band] ?? 0) : 0));
  const share = Math.max(
    ...[wanted, bleeders].map((side) => amount(judged, side, low) / amount(judged, side)),
  );
  if (!(share >= MOST)) return [];
  const text = `${mic.name} is judged mostly below the Schroeder frequency of ${row.room}, ${Math.round(schroeder)} Hz: S/B ${inDb(row.signalToBleed)} dB is uncertain by ±${UNCERTAIN} dB, more than its margin`;
  const fix = 'trust a meter over this value';
  return found([mic.name], share, text, fix, mic.path);
}
