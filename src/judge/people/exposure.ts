/** How long one may play: sound at each ear over the day, and the time that the usual criteria allow for it. */
import { decibels, energyOf } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Player, Scene } from '../../scene/scene.ts';
import type { Verdict } from '../verdict.ts';
import { verdictOf } from '../verdict.ts';
import { earWith } from './ears.ts';
import { levelAllowedFor, NIOSH, OSHA, safeMinutes } from './noise-dose.ts';

export type ExposureRow = {
  readonly player: string;
  /** Minutes a day, playing without a break; null where nothing sounds at that ear. */
  readonly minutes: number | null;
  /** The same by the table of OSHA: 90 dBA for 8 h, 5 dB exchange. */
  readonly minutesOsha: number | null;
  /** LAeq over all passages, each taken as equally long, dBA; null where nothing sounds at that ear. */
  readonly level: number | null;
  /** The loudest passage; its name is null where the plan has none. */
  readonly loudest: { readonly passage: string | null; readonly level: number } | null;
  /** What the headphones bring themselves, dBA: counted in `level`. Null where none are worn or the plan gives no level. */
  readonly cueLevel: number | null;
  /** How far under the level at which the session would just be allowed, dB; null without `session-length`. */
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
};

/**
 * Sound by air, own instrument included, less what headphones hold off, plus their own level where the plan gives it. Heads
 * are left out: the ears are one point, and one ear may get some dB more. `ears` is `earTransfer`.
 */
export function exposure(scene: Scene, ears: Transfer): ExposureRow[] {
  return scene.players.map((player, index) => {
    const ear = earWith(scene, ears, index);
    const cueLevel = player.cue.wearing === 'none' ? null : player.cue.level;
    const cue = cueLevel === null ? 0 : energyOf(cueLevel);
    const passages = scene.passages.map(({ name, sounds }) => ({
      passage: name,
      energy: cue + ear(sounds.flatMap((is, i) => (is ? [i] : []))),
    }));
    const mean = passages.reduce((sum, { energy }) => sum + energy, 0) / Math.max(1, passages.length);
    const level = mean > 0 ? decibels(mean) : null;
    return {
      player: player.name,
      ...timesAt(level, scene.limits.sessionLength),
      level,
      loudest: loudestOf(passages),
      cueLevel,
      remark: remarkOn(player),
    };
  });
}

function timesAt(
  level: number | null,
  seconds: number | null,
): Pick<ExposureRow, 'minutes' | 'minutesOsha' | 'margin' | 'verdict'> {
  if (level === null) return { minutes: null, minutesOsha: null, margin: null, verdict: null };
  const margin = seconds === null ? null : levelAllowedFor(NIOSH, seconds / 60) - level;
  return {
    minutes: safeMinutes(NIOSH, level),
    minutesOsha: safeMinutes(OSHA, level),
    margin,
    verdict: margin === null ? null : verdictOf(margin),
  };
}

function loudestOf(
  passages: readonly { readonly passage: string | null; readonly energy: number }[],
): ExposureRow['loudest'] {
  const [first] = [...passages].sort((a, b) => b.energy - a.energy);
  return first && first.energy > 0 ? { passage: first.passage, level: decibels(first.energy) } : null;
}

function remarkOn({ cue }: Player): string | null {
  if (cue.wearing === 'none' || cue.level !== null) return null;
  return 'what the headphones play comes on top: the plan gives no level for it';
}
