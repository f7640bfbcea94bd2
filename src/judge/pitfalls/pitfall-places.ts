/** Microphones too far from their source, or too near. */
import { energyOf } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Lengths } from '../../plan/lengths.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import type { LevelRow } from '../rows.ts';
import { inLengths, inPercent } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';
import { type JudgedMic, judgedMics } from './pitfall-mics.ts';

export function placePitfalls(scene: Scene, result: Transfer, report: Report, lengths: Lengths): Pitfall[] {
  return judgedMics(scene, result, report).flatMap((judged) => [
    ...tooFar(report, judged, lengths),
    ...tooNear(scene, judged, lengths),
  ]);
}

/** A mic at the very distance may compute a hair nearer, m. */
const ROUNDING = 1e-6;

/** Past the critical distance of a source that speaks all round, and the direct sound is less than half of the whole. */
function tooFar({ rooms }: Report, { mic, row, wanted }: JudgedMic, lengths: Lengths): Pitfall[] {
  const own = wanted.flatMap((source) => row.levels[source] ?? []);
  const nearest = nearestOf(own);
  const critical = rooms.find(({ name }) => name === row.room)?.criticalDistance ?? Number.POSITIVE_INFINITY;
  const away = nearest?.distance ?? 0;
  const whole = own.reduce((sum, level) => sum + energy(level), 0);
  const direct = own.reduce((sum, level) => sum + energy(level) * level.shares.direct, 0) / whole;
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

const energy = ({ judgedLevel }: LevelRow): number => (judgedLevel === null ? 0 : energyOf(judgedLevel));
