/** Rules: one function each in one table, sharing the mic context. */
import {
  BAND_COUNT,
  type Bands,
  bands,
  energyOf,
  MID_BANDS,
  NOMINAL_BANDS,
  weightedSum,
} from '../acoustics/bands.ts';
import { nullAngle } from '../acoustics/pattern.ts';
import type { Path } from '../finding.ts';
import {
  bearingOf,
  cross,
  rightOf,
  rotateAbout,
  span,
  subtract,
  turnBetween,
  unit,
  type Vec3,
} from '../geometry.ts';
import { type Lengths, METRES } from '../plan/units.ts';
import type { Capsule, Mic, Partition, Passage, Player, Scene, WallElement } from '../scene/scene.ts';
import { type Transfer, transferOn } from '../transfer/transfer.ts';
import { LISTENS } from './hearing.ts';
import type { PartRow, Report } from './report.ts';
import { panelsInSight } from './sight.ts';
import {
  type LevelRow,
  type MicEnergies,
  type MicRow,
  micEnergies,
  pickedUp,
  sidesOf,
  signalToBleed,
  weightsFor,
} from './signal-to-bleed.ts';
import type { TimingRow } from './timing.ts';

/** `report` is that of the scene; sentences have lengths in metres unless told. Most serious first: by kind, then the worse. */
export function pitfalls(scene: Scene, result: Transfer, report: Report, lengths = METRES): Pitfall[] {
  const all = FINDERS.flatMap((find) => find(scene, result, report, lengths));
  return all.sort((a, b) => rank(a) - rank(b) || b.weight - a.weight);
}

type Finder = (scene: Scene, result: Transfer, report: Report, lengths: Lengths) => Pitfall[];

// People who do not hear or see whom they must or follow, whose ears get too much, whose headphones the mics hear.

/** Without a session length of the plan's, ears that may do no longer than this deserve a word, minutes. Our own choice. */
const HARDLY = 60;

// Players who face somebody whom they neither see nor hear.

/** Who faces another within this looks at nobody else, degrees. */
const STRAIGHT_AT = 1;

// Microphones that pitfalls are looked for at: those for parts that are judged, a pair as one.

const passageOf = ({ passages }: Scene, { passage }: MicRow): Passage | undefined =>
  passages.find(({ name }) => name === passage);

// Microphones in which somebody else is louder than what they are for.

const energy = (row: LevelRow | undefined): number =>
  row === undefined || row.judgedLevel === null ? 0 : energyOf(row.judgedLevel);

// Bleed that what the plan puts against it cannot stop: the room's past a null or screens, and low sound past screens.

/** Share from which on a kind of bleed rules. */
const MOST = 0.5;

// Figures as a sentence has them.

const inPercent = (fraction: number): string => `${Math.round(100 * fraction)}%`;

// Ratios that hang on a null: gone as soon as the mic is turned as far as stands turn.

const uprightTo = (aim: Vec3): Vec3 => unit(cross(rightOf(aim), aim));

const TURNS: readonly ((aim: Vec3, degrees: number) => Vec3)[] = [
  (aim, degrees) => rotateAbout(aim, uprightTo(aim), degrees),
  (aim, degrees) => rotateAbout(aim, uprightTo(aim), -degrees),
  (aim, degrees) => rotateAbout(aim, rightOf(aim), degrees),
  (aim, degrees) => rotateAbout(aim, rightOf(aim), -degrees),
];

/** A loss of less is no matter of a null, dB: what a clear verdict has in hand. */
const LOSS = 3;

/** So near to its angle a source counts as put into the null, degrees. */
const IN_NULL = 5;

/** Octaves that screens of a size one carries hardly stop: below this one, Hz. */
const LOW = 250;

// Two open microphones that comb.

/** By its own name or that of one of its capsules. */
const micOf = ({ mics, capsules }: Scene, name: string): Mic | undefined =>
  mics.find((mic) => mic.name === name) ??
  mics.find((mic) => mic.capsules.some((index) => capsules[index]?.name === name));

/** From peak to dip, dB: what a copy 9.5 dB down leaves, as the 3:1 rule allows. 20·lg((1+⅓)/(1−⅓)) = 6.0. */
export const RIPPLE = 6;

// Microphones too far from their source, or too near.

const energyThere = ({ judgedLevel }: LevelRow): number => (judgedLevel === null ? 0 : energyOf(judgedLevel));

/** "53 cm", "1.25 m"; "21 in", "4 ft 1 in". */
const inLengths = ({ close, apart }: Lengths, metres: number): string =>
  metres < 1 ? close(metres) : apart(metres);

/** A mic at the very distance may compute a hair nearer, m. */
const ROUNDING = 1e-6;

// Verdicts that rest on octaves in which single modes of the room rule.

/** Levels below the Schroeder frequency are uncertain by so much, dB. From memory. */
const UNCERTAIN = 5;

const FINDERS: readonly Finder[] = [
  peoplePitfalls,
  partPitfalls,
  loudnessPitfalls,
  doorPitfalls,
  nullPitfalls,
  bleedPitfalls,
  timingPitfalls,
  placePitfalls,
  roomPitfalls,
];

const rank = ({ kind }: Pitfall): number => PITFALL_KINDS.indexOf(kind);

/** The deepest comb of each two mics for parts. */
function timingPitfalls(scene: Scene, _result: Transfer, { timing }: Report): Pitfall[] {
  const seen = new Set<string>();
  return timing.rows.flatMap((row) => {
    const mics = [row.own, row.other].map((name) => micOf(scene, name));
    const [own, other] = mics;
    if (!own || !other || row.ripple < RIPPLE || !row.notches || !isBleed(scene, row, other, own)) return [];
    const key = JSON.stringify(mics.map((mic) => mic?.name).sort());
    if (seen.has(key)) return [];
    seen.add(key);
    return [pitfallOf(row, [own, other])];
  });
}

function pitfallOf({ part, own, other, ...comb }: TimingRow, mics: readonly [Mic, Mic]): Pitfall {
  const [first, second] = comb.notches ?? [0, 0];
  const depth = comb.over ? `over ${Math.round(comb.ripple)}` : inDb(comb.ripple);
  const notch = Math.round(first > 0 ? first : second);
  const sentence = `${own} and ${other} comb on ${part}: ${depth} dB, a dip at ${notch} Hz`;
  const mend = mendFor(comb.align, mics);
  return { kind: 'comb', about: [own, other, part], weight: comb.ripple, sentence, mend, path: mics[0].path };
}

/** One capsule of a pair cannot be delayed alone, and a line not be moved. */
function mendFor(align: TimingRow['align'], mics: readonly Mic[]): string {
  const move = `move one of the two further from the other's source`;
  if (align === null || mics.some(({ capsules }) => capsules.length > 1)) return move;
  const delay = `delay ${align.mic} by ${(1000 * align.by).toFixed(2)} ms`;
  return mics.some(({ line }) => line) ? delay : `${delay}, or ${move}`;
}

/** Neither is for everyone, and a mic over a kit that a spot stands under is no bleed; a line and an amplifier's mic are. */
function isBleed({ sources }: Scene, { source }: TimingRow, other: Mic, own: Mic): boolean {
  if (own.purpose !== 'parts' || other.purpose !== 'parts') return false;
  const index = sources.findIndex(({ name }) => name === source);
  return own.line || other.line || !other.wanted.includes(index);
}

function roomPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  return judgedMics(scene, result, report).flatMap((judged) => {
    const { row } = judged;
    const schroeder = report.rooms.find(({ name }) => name === row.room)?.schroeder ?? 0;
    const isTight = row.margin !== null && Math.abs(row.margin) < UNCERTAIN;
    return isTight ? resting(scene, judged, schroeder) : [];
  });
}

function resting(scene: Scene, judged: JudgedMic, schroeder: number): Pitfall[] {
  const { mic, row, atMic, wanted, bleeders } = judged;
  const weights = weightsFor(scene.limits.weighting, pickedUp(atMic, wanted, { filtered: true }));
  const low = bands((band) => ((MID_BANDS[band] ?? 0) < schroeder ? (weights[band] ?? 0) : 0));
  const shareOf = (energies: Bands) => weightedSum(energies, low) / weightedSum(energies, weights);
  const share = Math.max(
    ...[wanted, bleeders].map((sources) => shareOf(pickedUp(atMic, sources, { filtered: true }))),
  );
  if (!(share >= MOST) || row.signalToBleed === null) return [];
  const sentence = `${mic.name} is judged mostly below the Schroeder frequency of ${row.room}, ${Math.round(schroeder)} Hz: its ${inDb(row.signalToBleed)} dB may be off by ${UNCERTAIN} dB, more than its margin`;
  const mend = 'trust the meter on the day more than this figure';
  return [{ kind: 'below-schroeder', about: [mic.name], weight: share, sentence, mend, path: mic.path }];
}

function placePitfalls(scene: Scene, result: Transfer, report: Report, lengths: Lengths): Pitfall[] {
  return judgedMics(scene, result, report).flatMap((judged) => [
    ...tooFar(report, judged, lengths),
    ...tooNear(scene, judged, lengths),
  ]);
}

/** Past the critical distance of a source that speaks all round, and the direct sound is less than half of the whole. */
function tooFar({ rooms }: Report, { mic, row, wanted }: JudgedMic, lengths: Lengths): Pitfall[] {
  const own = wanted.flatMap((source) => row.levels[source] ?? []);
  const nearest = nearestOf(own);
  const critical = rooms.find(({ name }) => name === row.room)?.criticalDistance ?? Number.POSITIVE_INFINITY;
  const away = nearest?.distance ?? 0;
  const whole = own.reduce((sum, level) => sum + energyThere(level), 0);
  const direct = own.reduce((sum, level) => sum + energyThere(level) * level.shares.direct, 0) / whole;
  if (!nearest || away <= critical || !(direct < 0.5)) return [];
  const sentence = `${mic.name} stands ${inLengths(lengths, away)} from ${nearest.source}, past the critical distance of ${inLengths(lengths, critical)}: ${inPercent(1 - direct)} of its own sound comes by way of the room`;
  const weight = away / critical;
  return [
    {
      ...{ kind: 'beyond-critical-distance', about: [mic.name, nearest.source], weight, sentence },
      ...{ mend: 'closer', path: mic.path },
    },
  ];
}

/** Nearer than the catalogue finds sensible. Under a cover there is no choice. */
function tooNear({ sources }: Scene, { mic, row, wanted }: JudgedMic, lengths: Lengths): Pitfall[] {
  if (mic.inside !== null) return [];
  return wanted.flatMap((source) => {
    const { distance } = row.levels[source] ?? { distance: null };
    const { closest, name } = sources[source] ?? { closest: 0, name: '' };
    if (distance === null || distance >= closest - ROUNDING) return [];
    const sentence = `${mic.name} is ${inLengths(lengths, distance)} from ${name}, nearer than ${inLengths(lengths, closest)}: it hears a spot of it, not the instrument`;
    const mend = `at least ${inLengths(lengths, closest)} away`;
    const weight = closest / Math.max(distance, 1e-3);
    return [{ kind: 'too-close', about: [mic.name, name], weight, sentence, mend, path: mic.path }];
  });
}

function nearestOf(levels: readonly LevelRow[]): LevelRow | null {
  const placed = levels.filter(({ distance }) => distance !== null);
  return placed.reduce<LevelRow | null>(
    (a, b) => (a && (a.distance ?? 0) <= (b.distance ?? 0) ? a : b),
    null,
  );
}

function peoplePitfalls(scene: Scene, _result: Transfer, report: Report): Pitfall[] {
  return [
    ...tooLoud(scene, report),
    ...unheard(scene, report),
    ...unseen(report),
    ...follows(scene, report),
    ...leaks(scene, report),
  ];
}

function tooLoud({ limits, players }: Scene, { exposure }: Report): Pitfall[] {
  const session = limits.sessionLength === null ? null : limits.sessionLength / 60;
  return exposure.flatMap(({ player, minutes, level, verdict }, index) => {
    const isOver = verdict === 'short' || (verdict === null && minutes !== null && minutes < HARDLY);
    if (!isOver || minutes === null || level === null) return [];
    const asked = session === null ? '' : `, not ${Math.round(session)}`;
    const sentence = `${player} gets ${inDb(level)} dBA: by NIOSH that may last ${Math.floor(minutes)} min a day${asked}`;
    const mend = 'ear protection, breaks, softer or further apart';
    const path = session === null ? (players[index]?.path ?? []) : ['limits', 'session-length'];
    return [{ kind: 'ears', about: [player], weight: level, sentence, mend, path }];
  });
}

function unheard({ limits }: Scene, { hearing }: Report): Pitfall[] {
  return hearing.limits.flatMap(({ player, whom, verdict, ratio, margin }, index) => {
    if (verdict !== 'short') return [];
    const place = limits.hear
      .slice(0, index)
      .filter((one) => limits.hear[index]?.player === one.player).length;
    const how =
      ratio === null
        ? 'nothing of it gets there'
        : `${inDb(-ratio)} dB under all else there, ${inDb(-LISTENS)} at most`;
    return [
      {
        ...{ kind: 'cannot-hear', about: [player, whom], weight: -(margin ?? Number.NEGATIVE_INFINITY) },
        sentence: `${player} must hear ${whom} and cannot: ${how}`,
        mend: 'closer together, or headphones',
        path: ['limits', 'hear', player, place],
      },
    ];
  });
}

function unseen({ sight }: Report): Pitfall[] {
  return sight.limits.flatMap(({ players: [one, other], verdict, hiddenBy }) =>
    verdict === 'clear'
      ? []
      : [
          {
            ...{ kind: 'cannot-see', about: [one, other], weight: hiddenBy.length },
            sentence: `${one} and ${other} must see each other and cannot: ${inWords(hiddenBy)} in between`,
            mend: 'a lower baffle, one with a window, or another place',
            path: ['limits', 'see-each-other'],
          },
        ],
  );
}

function leaks(scene: Scene, { phones }: Report): Pitfall[] {
  return phones.flatMap(({ player, mic, leak, audible }) => {
    const heardBy = scene.mics.find(({ name }) => name === mic);
    if (!audible || leak === null || heardBy?.purpose !== 'parts') return [];
    const wearer = scene.players.find(({ name }) => name === player);
    const sentence = `the headphones of ${player} leak into ${mic}, ${inDb(-leak)} dB under its own sound where that is softest`;
    const mend = wearer?.cue.wearing === 'closed' ? 'a softer cue, no click in it' : 'closed headphones';
    const about = [player, mic];
    return [{ kind: 'headphones', about, weight: leak, sentence, mend, path: wearer?.path ?? [] }];
  });
}

/** Whom one faces one follows; demands of the plan speak for themselves and are left out. */
function follows(scene: Scene, report: Report): Pitfall[] {
  return scene.players.flatMap((player) => {
    const leader = player.listener ? null : facedBy(player, scene.players);
    return leader ? [...unseenLeader(report, player, leader), ...unheardLeader(report, player, leader)] : [];
  });
}

function facedBy(player: Player, players: readonly Player[]): Player | null {
  const ahead = players.flatMap((other) => {
    const [x, y] = subtract(other.at, player.at);
    const away = span(player.at, other.at);
    const off = Math.abs(turnBetween(player.facing, bearingOf([x, y])));
    return away > 0.01 && off <= STRAIGHT_AT ? [{ other, away }] : [];
  });
  return ahead.sort((a, b) => a.away - b.away)[0]?.other ?? null;
}

function unseenLeader({ sight }: Report, { name, path }: Player, leader: Player): Pitfall[] {
  const isTheirs = ({ players }: { readonly players: readonly string[] }) =>
    players.includes(name) && players.includes(leader.name);
  const row = sight.limits.some(isTheirs) ? undefined : sight.rows.find(isTheirs);
  if (!row || row.sees) return [];
  const sentence = `${name} faces ${leader.name} but does not see that far: ${inWords(row.hiddenBy)} in between`;
  const mend = 'a lower baffle, one with a window, or another place';
  return [{ kind: 'cannot-see', about: [name, leader.name], weight: 0, sentence, mend, path }];
}

function unheardLeader({ hearing }: Report, { name, path, cue }: Player, leader: Player): Pitfall[] {
  const isTheirs = ({ player, whom }: { readonly player: string; readonly whom: string }) =>
    player === name && whom === leader.name;
  const row = hearing.limits.some(isTheirs) ? undefined : hearing.rows.find(isTheirs);
  if (row?.hears !== 'does not hear' || cue.wearing !== 'none') return [];
  const how = row.ratio === null ? 'nothing gets there' : `${inDb(-row.ratio)} dB under the rest`;
  const sentence = `${name} faces ${leader.name} but does not hear it: ${how}`;
  const mend = 'closer together, or headphones';
  return [{ kind: 'cannot-hear', about: [name, leader.name], weight: 0, sentence, mend, path }];
}

// Parts that are to be replaced and cannot be.

function partPitfalls(scene: Scene, _result: Transfer, { parts }: Report): Pitfall[] {
  return parts.flatMap((row, index) =>
    row.limit === null ? [] : [...wedges(scene, row, index), ...tied(scene, row, index)],
  );
}

function tied(scene: Scene, row: PartRow, index: number): Pitfall[] {
  const path = scene.parts[index]?.path ?? [];
  const { name, committed, ghost, margin, mostIn } = row;
  if (committed) {
    const sentence = `${name} is to be replaced but committed: every mic for it is for others too, ${committed.because} holds most of it`;
    return [
      { kind: 'committed', about: [name], weight: 0, sentence, mend: 'give it a mic of its own', path },
    ];
  }
  if (ghost === null || margin === null || margin >= 0) return [];
  const where = mostIn === null ? '' : `, most of it in ${mostIn}`;
  const sentence = `${name} leaves a ghost of ${inDb(ghost)} dB when replaced, ${inDb(-margin)} dB too loud${where}`;
  const mend = 'move it to another room, or record it later';
  const about = mostIn === null ? [name] : [name, mostIn];
  return [{ kind: 'ghost', about, weight: -margin, sentence, mend, path }];
}

/** Loudspeakers that play into the room what is to be replaced. */
function wedges({ sources, parts }: Scene, { name, mostIn, ghost }: PartRow, index: number): Pitfall[] {
  const repeating = parts[index]?.sources.flatMap((i) => (sources[i]?.repeats ? [sources[i]] : [])) ?? [];
  return repeating.map((wedge) => {
    const where = mostIn === null ? 'in all mics that stay' : `in ${mostIn} above all`;
    const sentence = `${wedge.name} repeats ${name}, which is to be replaced: what it plays stays ${where}`;
    return {
      ...{ kind: 'wedge', about: [wedge.name, name], weight: ghost ?? 0, sentence },
      mend: `headphones instead of ${wedge.name}`,
      path: wedge.path,
    };
  });
}

function loudnessPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  return judgedMics(scene, result, report).flatMap(outshouted);
}

/** In the octaves the mic is judged in; pieces of a kit that it is for count together. */
function outshouted({ mic, row, wanted, bleeders }: JudgedMic): Pitfall[] {
  const own = wanted.reduce((sum, i) => sum + energy(row.levels[i]), 0);
  const loudest = bleeders.reduce((a, b) => (energy(row.levels[b]) > energy(row.levels[a]) ? b : a), -1);
  const kind = { kind: 'not-loudest', path: mic.path } as const;
  const over = 10 * Math.log10(energy(row.levels[loudest]) / own);
  if (own <= 0) {
    const sentence = `${mic.name} gets nothing of ${row.for.join(', ')}, which it is for`;
    return [{ ...kind, about: [mic.name], weight: Number.MAX_VALUE, sentence, mend: 'another place or aim' }];
  }
  if (!(over > 0)) return [];
  const name = row.levels[loudest]?.source ?? '';
  const sentence = `${mic.name} gets ${name} ${inDb(over)} dB louder than ${row.for.join(', ')}, which it is for`;
  const mend = `closer to ${row.for.join(', ')}, or further from ${name}`;
  return [{ ...kind, about: [mic.name, name], weight: over, sentence, mend }];
}

// Doors left ajar through which most of a microphone's bleed comes.

function doorPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  return judgedMics(scene, result, report)
    .filter(({ row }) => row.verdict !== 'clear' && (row.bleedShares?.walls ?? 0) >= MOST)
    .flatMap((judged) => through(scene, judged));
}

function through(scene: Scene, judged: JudgedMic): Pitfall[] {
  const { mic, row } = judged;
  const room = scene.rooms.findIndex(({ name }) => name === row.room);
  return scene.partitions.flatMap((partition) => {
    const slit = partition.elements.find(({ free, state }) => free && state === 'ajar');
    const share = slit && partition.rooms.includes(room) ? shareOf(slit, partition, row.judgedBands) : 0;
    if (!slit || share < MOST) return [];
    const walls = row.bleedShares?.walls ?? 0;
    const sentence = `the ${slit.name} of ${partition.name} stands ajar: ${inPercent(walls)} of the bleed in ${mic.name} comes through walls, and its gap lets in ${inPercent(share)} of what passes that wall`;
    const about = [mic.name, partition.name];
    return [{ kind: 'ajar-door', about, weight: walls, sentence, mend: 'shut it', path: partition.path }];
  });
}

/** Mean over some octaves of `S τ` of the gap over that of the whole wall. */
function shareOf({ a, b, low, high, tau }: WallElement, wall: Partition, nominal: readonly number[]): number {
  const area = span(a, b) * (high - low);
  const shares = nominal.map((hertz) => {
    const band = (NOMINAL_BANDS as readonly number[]).indexOf(hertz);
    return (area * (tau[band] ?? 0)) / (wall.area * (wall.tau[band] ?? 1));
  });
  return shares.reduce((sum, share) => sum + share, 0) / Math.max(1, shares.length);
}

function bleedPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  return judgedMics(scene, result, report)
    .filter(({ row }) => row.verdict !== 'clear' && row.bleedShares !== null)
    .flatMap((judged) => [...ofTheRoom(scene, judged), ...lowPastScreens(scene, judged)]);
}

function ofTheRoom(scene: Scene, judged: JudgedMic): Pitfall[] {
  const { mic, row } = judged;
  const share = row.bleedShares?.room ?? 0;
  const means = share < MOST ? [] : reliedOn(scene, judged);
  if (means.length === 0) return [];
  const sentence = `${inPercent(share)} of the bleed in ${mic.name} is the room's, which ${inWords(means)} cannot stop: all direct sound and first reflections gone would buy ${inDb(row.screensBuyAtMost ?? 0)} dB`;
  const mend = 'closer to its source, softer neighbours, absorption or another room';
  return [{ kind: 'room-bleed', about: [mic.name], weight: share, sentence, mend, path: mic.path }];
}

/** A null that looks at a source, and baffles in the line to one. */
function reliedOn(scene: Scene, { mic, row, bleeders }: JudgedMic): string[] {
  const pattern = scene.capsules[mic.capsules[0] ?? -1]?.pattern;
  const angle = pattern && !pattern.table ? nullAngle(pattern.a[NOMINAL_BANDS.indexOf(1000)] ?? 1) : null;
  const isInNull = (source: number) =>
    angle !== null && Math.abs((row.levels[source]?.offAxis ?? Number.NaN) - angle) <= IN_NULL;
  const nulled = mic.capsules.length === 1 ? bleeders.filter(isInNull) : [];
  const names = nulled.map((source) => scene.sources[source]?.name ?? '');
  const baffles = new Set(bleeders.flatMap((source) => bafflesBetween(scene, source, mic)));
  return [...(names.length > 0 ? [`its null toward ${inWords(names)}`] : []), ...baffles];
}

function lowPastScreens(scene: Scene, { mic, atMic, wanted, bleeders }: JudgedMic): Pitfall[] {
  const weights = weightsFor(scene.limits.weighting, pickedUp(atMic, wanted, { filtered: true }));
  const amount = (sources: readonly number[], by: Bands) =>
    weightedSum(pickedUp(atMic, sources, { filtered: true }), by);
  const low = bands((band) => ((NOMINAL_BANDS[band] ?? 0) < LOW ? (weights[band] ?? 0) : 0));
  const share = amount(bleeders, low) / amount(bleeders, weights);
  const loudest = bleeders.reduce((a, b) => (amount([b], low) > amount([a], low) ? b : a), bleeders[0] ?? -1);
  const baffles = share >= MOST ? bafflesBetween(scene, loudest, mic) : [];
  if (baffles.length === 0) return [];
  const name = scene.sources[loudest]?.name ?? '';
  const sentence = `${inPercent(share)} of the bleed in ${mic.name} lies below ${LOW} Hz, ${name} first: ${inWords(baffles)} cannot stop that`;
  const mend = highPass(scene, wanted, low) ?? `${name} further away or in another room`;
  return [{ kind: 'low-bleed', about: [mic.name, name], weight: share, sentence, mend, path: mic.path }];
}

/** A high-pass under the lowest note of the mic's own, where that leaves at least one of the octaves that bleed. */
function highPass({ sources }: Scene, wanted: readonly number[], low: Bands): string | null {
  const lowest = Math.min(...wanted.map((source) => sources[source]?.lowestNote ?? 0));
  const bleeding = Array.from({ length: BAND_COUNT }, (_, band) => band).filter(
    (band) => (low[band] ?? 0) > 0,
  );
  const cuts = bleeding.some((band) => (MID_BANDS[band] ?? 0) < lowest);
  return cuts ? `a high-pass below its lowest note, ${Math.floor(lowest)} Hz` : null;
}

/** Every mic turned by the aim's tolerance to either side, up and down. */
function nullPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
  const judged = judgedMics(scene, result, report).filter(({ row }) => row.signalToBleed !== null);
  const { aim } = scene.tolerance;
  if (judged.length === 0 || aim <= 0) return [];
  const days = TURNS.map((turn) => turned(scene, result, (capsule) => turn(capsule.aim, aim)));
  return judged.flatMap((one) => hanging(scene, result, one, days));
}

/** Rooms and sources stay as they are. */
function turned(scene: Scene, { prepared }: Transfer, aimOf: (capsule: Capsule) => Vec3): Transfer {
  const capsules = scene.capsules.map((capsule) => ({ ...capsule, aim: aimOf(capsule) }));
  return transferOn({ ...prepared, scene: { ...scene, capsules } });
}

function hanging(scene: Scene, result: Transfer, one: JudgedMic, days: readonly Transfer[]): Pitfall[] {
  const { mic, row } = one;
  const readings = days.flatMap((day) => {
    const ratio = signalToBleed(micEnergies(day, mic, mic.capsules), scene)?.ratio ?? Number.NaN;
    return Number.isFinite(ratio) ? [{ day, ratio }] : [];
  });
  const [first, ...rest] = readings;
  if (!first || row.signalToBleed === null) return [];
  const { day, ratio } = rest.reduce((a, b) => (b.ratio < a.ratio ? b : a), first);
  const loss = row.signalToBleed - ratio;
  if (loss < LOSS) return [];
  const who = scene.sources[risen(scene, one, [result, day])]?.name ?? '';
  const sentence = `${mic.name} hangs on its null toward ${who}: turned by ${Math.round(scene.tolerance.aim)}°, its ${inDb(row.signalToBleed)} dB are ${inDb(ratio)} dB`;
  const mend = `clamp it, and set its null by ear while ${who} plays`;
  return [{ kind: 'narrow-null', about: [mic.name, who], weight: loss, sentence, mend, path: mic.path }];
}

/** The bleeder that gains most energy from one day to the other, in the octaves the mic is judged in. */
function risen(scene: Scene, one: JudgedMic, [before, after]: readonly [Transfer, Transfer]): number {
  const { mic, wanted, bleeders, atMic } = one;
  const weights = weightsFor(scene.limits.weighting, pickedUp(atMic, wanted, { filtered: true }));
  const amount = (day: Transfer, source: number): number =>
    weightedSum(pickedUp(micEnergies(day, mic, mic.capsules), [source], { filtered: true }), weights);
  const gains = bleeders.map((source) => amount(after, source) - amount(before, source));
  return bleeders[gains.indexOf(Math.max(...gains))] ?? -1;
}

type JudgedMic = {
  readonly mic: Mic;
  /** A pair's is the energy sum of its capsules. */
  readonly row: MicRow;
  readonly atMic: MicEnergies;
  /** Sources that sound in the passage the mic is judged in. */
  readonly wanted: readonly number[];
  readonly bleeders: readonly number[];
};

/** In the order of the scene; those without a verdict are left out. */
function judgedMics(scene: Scene, result: Transfer, report: Report): JudgedMic[] {
  return scene.mics.flatMap((mic) => {
    const rows: readonly MicRow[] = mic.capsules.length > 1 ? report.pairs : report.mics;
    const name = mic.capsules.length > 1 ? mic.name : scene.capsules[mic.capsules[0] ?? -1]?.name;
    const row = rows.find((one) => one.name === name);
    const passage = row && passageOf(scene, row);
    if (mic.purpose !== 'parts' || !row || !passage || row.verdict === null) return [];
    return [{ mic, row, atMic: micEnergies(result, mic, mic.capsules), ...sidesOf(mic, passage) }];
  });
}

/** Baffles of the plan in the straight line from a source to a mic. */
function bafflesBetween(scene: Scene, source: number, { capsules }: Mic): string[] {
  const points = scene.sources[source]?.points ?? [];
  const lines = capsules.flatMap((index) => {
    const capsule = scene.capsules[index];
    const near = points.filter(({ room }) => room === capsule?.room);
    return capsule ? near.map((point) => [point.at, capsule.at] as const) : [];
  });
  // no window lets sound through as it does a look
  const panels = scene.panels.map((panel) => ({ ...panel, windowFrom: Number.POSITIVE_INFINITY }));
  const names = lines.flatMap(([from, to]) => panelsInSight({ panels }, from, to).map(({ what }) => what));
  return [...new Set(names)];
}

/** dB with one decimal, never "-0.0". */
function inDb(value: number): string {
  const text = value.toFixed(1);
  return text === '-0.0' ? '0.0' : text;
}

/** "a, b and c". */
function inWords(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

// What a plan can fall into, most serious first, and how it is told.

/** What harms people, what cannot be mended afterwards, what spoils the day, what may. Our own order. */
export const PITFALL_KINDS = [
  'ears',
  'committed',
  'wedge',
  'ghost',
  'not-loudest',
  'ajar-door',
  'cannot-hear',
  'cannot-see',
  'narrow-null',
  'room-bleed',
  'low-bleed',
  'comb',
  'headphones',
  'beyond-critical-distance',
  'too-close',
  'below-schroeder',
] as const;

export type PitfallKind = (typeof PITFALL_KINDS)[number];

export type Pitfall = {
  readonly kind: PitfallKind;
  /** Microphones, parts and people it is about, as the plan names them. */
  readonly about: readonly string[];
  /** Ranks pitfalls of one kind: the more, the worse. */
  readonly weight: number;
  /** One sentence with names and figures. */
  readonly sentence: string;
  /** What would mend it. */
  readonly mend: string;
  /** The entry of the plan that one would change. */
  readonly path: Path;
};
