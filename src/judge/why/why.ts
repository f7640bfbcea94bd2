/** Why a source reaches a microphone as it does: every way of it with its gains and losses. */
import { BAND_COUNT, type Bands, decibels, NOMINAL_BANDS } from '../../acoustics/bands.ts';
import { energyAt, type Transfer } from '../../acoustics/transfer.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import { heard, listenAt } from '../listening.ts';
import type { Report } from '../report.ts';
import { roomFigures } from '../room-figures.ts';
import type { LevelRow, MicRow } from '../rows.ts';
import { countedBands, weightsFor } from '../weights.ts';
import { rowsOf } from './why-rows.ts';
import type { Asked, Why, WhyPair } from './why-shape.ts';
import { waysOf } from './why-ways.ts';

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
  const capsule = report.mics[pair.capsule] as MicRow;
  const row = capsule.levels[pair.source] as LevelRow;
  const mic = scene.mics[scene.capsules[pair.capsule]?.mic ?? -1] as Mic;
  const { bands, weights } = weightsAt(scene, result, mic, pair.capsule);
  const ways = waysOf(result.stage, pair.source, pair.capsule);
  const total = energiesOf(result, pair);
  mustAddUp(ways, total);
  return {
    mic: capsule.name,
    pattern: capsule.pattern,
    source: row.source,
    role: row.wanted ? 'own' : row.ignored ? 'mate' : 'bleed',
    level: row.level,
    byBand: row.byBand,
    judgedLevel: row.judgedLevel,
    judgedBands: bands,
    filtered: mic.filter !== null,
    distance: row.distance,
    points: result.stage.speakers[pair.source]?.emitters.length ?? 0,
    shares: row.shares,
    schroeder: schroederOf(scene, result, pair.capsule),
    paths: rowsOf(ways, weights, weightedSum(total, weights), scene.air.soundSpeed),
  };
}

/** As for the report's shares: octaves of its own sound, or the plan's weighting; after the channel's filters. */
function weightsAt(scene: Scene, result: Transfer, mic: Mic, capsule: number): Weights {
  const wanted = heard(listenAt(result, mic, [capsule]), mic.wanted, { filtered: true });
  const counted = weightsFor(scene.limits.weighting, wanted);
  return {
    bands: countedBands(counted).map((band) => NOMINAL_BANDS[band] as number),
    weights: counted.map((one, band) => one * (mic.filter?.[band] ?? 1)),
  };
}

type Weights = { readonly bands: readonly number[]; readonly weights: Bands };

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
