/** Microphones in which somebody else is louder than what they are for. */
import { energyOf } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import type { LevelRow } from '../rows.ts';
import { inDb } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';
import { type JudgedMic, judgedMics } from './pitfall-mics.ts';

export function loudnessPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
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

const energy = (row: LevelRow | undefined): number =>
  row === undefined || row.judgedLevel === null ? 0 : energyOf(row.judgedLevel);
