/** Doors left ajar through which most of a microphone's bleed comes. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Partition, Scene, WallElement } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import { inPercent } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';
import { type JudgedMic, judgedMics } from './pitfall-mics.ts';

/** Share from which on it dominates. */
const MOST = 0.5;

export function doorPitfalls(scene: Scene, result: Transfer, report: Report): Pitfall[] {
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
  const area = Math.hypot(b[0] - a[0], b[1] - a[1]) * (high - low);
  const shares = nominal.map((hertz) => {
    const band = (NOMINAL_BANDS as readonly number[]).indexOf(hertz);
    return (area * (tau[band] ?? 0)) / (wall.area * (wall.tau[band] ?? 1));
  });
  return shares.reduce((sum, share) => sum + share, 0) / Math.max(1, shares.length);
}
