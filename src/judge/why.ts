/** Why a source reaches a microphone as it does: every way of it with its gains and losses. Levels in dB re 20 µPa. */
import { BAND_COUNT, decibels, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { PathKind, Share } from '../acoustics/path.ts';
import { energyAt, type Transfer } from '../acoustics/transfer.ts';
import { WEIGHTS, weightedSum } from '../acoustics/weighting.ts';
import type { Scene } from '../scene/scene.ts';
import type { LevelRow, MicRow, Report, Shares } from './report.ts';
import { roomFigures } from './room-figures.ts';
import type { GainKind } from './why-gains.ts';
import { rowsOf } from './why-rows.ts';
import { waysOf } from './why-ways.ts';

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

export function why(scene: Scene, result: Transfer, report: Report, asked: Asked): Why {
  const pairs = asked.capsules.flatMap((capsule) =>
    asked.sources
      .map((source) => pairOf(scene, result, report, { source, capsule }))
      .sort((a, b) => (b.judgedLevel ?? -Infinity) - (a.judgedLevel ?? -Infinity)),
  );
  return { title: scene.title, mic: asked.mic, source: asked.source, line: asked.line, pairs };
}

type Pair = { readonly source: number; readonly capsule: number };

function pairOf(scene: Scene, result: Transfer, report: Report, pair: Pair): WhyPair {
  const mic = report.mics[pair.capsule] as MicRow;
  const row = mic.levels[pair.source] as LevelRow;
  const weights = weightsOf(scene, mic);
  const ways = waysOf(result.stage, pair.source, pair.capsule);
  const total = energiesOf(result, pair);
  mustAddUp(ways, total);
  return {
    mic: mic.name,
    pattern: mic.pattern,
    source: row.source,
    role: row.wanted ? 'own' : row.ignored ? 'mate' : 'bleed',
    level: row.level,
    byBand: row.byBand,
    judgedLevel: row.judgedLevel,
    judgedBands: mic.judgedBands,
    distance: row.distance,
    points: result.stage.speakers[pair.source]?.emitters.length ?? 0,
    shares: row.shares,
    schroeder: schroederOf(scene, result, pair.capsule),
    paths: rowsOf(ways, weights, weightedSum(total, weights), scene.air.soundSpeed),
  };
}

/** The octaves that the microphone is judged in, or the weighting that the plan asks for. */
function weightsOf({ limits }: Scene, { judgedBands }: MicRow): Float64Array {
  if (limits.weighting !== 'own') return WEIGHTS[limits.weighting];
  return Float64Array.from(NOMINAL_BANDS, (hertz) => (judgedBands.includes(hertz) ? 1 : 0));
}

const energiesOf = (result: Transfer, { source, capsule }: Pair): Float64Array =>
  Float64Array.from({ length: BAND_COUNT }, (_, band) => energyAt(result, source, capsule, band));

/** All ways together are the level that every other answer rests on; 0.001 dB leaves room for the order of adding only. */
function mustAddUp(ways: readonly { readonly energy: Float64Array }[], total: Float64Array): void {
  total.forEach((whole, band) => {
    const sum = ways.reduce((so, way) => so + (way.energy[band] as number), 0);
    if (sum === whole || (sum > 0 && whole > 0 && Math.abs(decibels(sum / whole)) < 0.001)) return;
    throw new Error(`ways add up to ${sum} where the level rests on ${whole} in band ${band}`);
  });
}

function schroederOf(scene: Scene, result: Transfer, capsule: number): number | null {
  const index = scene.capsules[capsule]?.room ?? -1;
  const room = scene.rooms[index];
  const absorption = result.stage.absorptions[index];
  return room && absorption ? roomFigures(room, absorption, scene.air.soundSpeed).schroeder : null;
}
