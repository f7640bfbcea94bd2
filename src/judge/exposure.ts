/** Noise exposure of everyone's ears by NIOSH and OSHA; cautions on the safety of people. */
import { decibels, energyOf } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { earLevelsOf } from './hearing.ts';
import { type Verdict, verdictOf } from './verdict.ts';

/** Eight hours, min: what both criteria are stated for. */
export const DAY = 480;

export type ExposureRow = {
  readonly player: string;
  /**
   * Minutes a day, playing without a break; null where nothing sounds at that ear, and where headphones of unknown level are worn,
   * unless what comes by air alone is over the daily dose in eight hours.
   */
  readonly minutes: number | null;
  /** The same by the table of OSHA: 90 dBA for 8 h, 5 dB exchange. */
  readonly minutesOsha: number | null;
  /** Headphones of unknown level are worn: `level` is what comes by air alone, the least, and `minutes` the most that is allowed. */
  readonly isLeast: boolean;
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
    const ear = earLevelsOf(scene, ears, index);
    const cueLevel = player.cue.wearing === 'none' ? null : player.cue.level;
    const cue = cueLevel === null ? 0 : energyOf(cueLevel);
    const passages = scene.passages.map(({ name, sounds }) => ({
      passage: name,
      energy: cue + ear(sounds.flatMap((is, i) => (is ? [i] : []))),
    }));
    const mean = passages.reduce((sum, { energy }) => sum + energy, 0) / Math.max(1, passages.length);
    const level = mean > 0 ? decibels(mean) : null;
    const isLeast = player.cue.wearing !== 'none' && player.cue.level === null;
    const times = timesAt(level, scene.limits.sessionLength);
    return {
      player: player.name,
      ...(isLeast ? atLeast(times) : times),
      isLeast,
      level,
      loudest: loudestOf(passages),
      cueLevel,
      remark: isLeast ? CUE_UNKNOWN : null,
    };
  });
}

type Times = Pick<ExposureRow, 'minutes' | 'minutesOsha' | 'margin' | 'verdict'>;

/** What headphones add is unknown: only what is over the dose without them is sure. */
function atLeast({ minutes, minutesOsha, margin, verdict }: Times): Times {
  const isOver = minutes !== null && minutes < DAY;
  return {
    ...(isOver ? { minutes, minutesOsha } : { minutes: null, minutesOsha: null }),
    ...(verdict === 'short' ? { margin, verdict } : { margin: null, verdict: null }),
  };
}

function timesAt(level: number | null, seconds: number | null): Times {
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

const CUE_UNKNOWN = 'the plan gives no level for the headphones';

/** Warnings on booths, exits, free-standing baffles and mains, at the first entry of the plan that gives cause. */
export function safetyCautions({ rooms, panels, sources, players }: Scene): Finding[] {
  const booth = rooms.find((room, i) => room.booth && players.some((player) => player.room === i));
  const baffle = panels.find((panel) => panel.booth === null);
  const mains = sources.find(({ instrument }) => instrument !== null && OFF_THE_MAINS.test(instrument));
  return [
    ...(booth ? [caution(booth, `${booth.name} is closed: ${AIR}`)] : []),
    ...(baffle ? [caution(baffle, WAYS_OUT), caution(baffle, STANDING)] : []),
    ...(mains ? [caution(mains, MAINS)] : []),
  ];
}

/** Names of the catalogue for what takes mains. */
const OFF_THE_MAINS = /(^|-)(amp|wedge|loudspeaker)$|^practice-organ$/;

const AIR = 'it gets warm and stuffy; ventilate between takes, come out if it gets stuffy';
const WAYS_OUT = 'baffles and cables: keep exits clear; tape down cables';
const STANDING = 'secure free-standing and heavy baffles against tipping';
const MAINS = 'mains for amplifiers and loudspeakers: tested leads, RCD (GFCI) protection, no liquids nearby';

function caution({ path }: Pick<Finding, 'path'>, message: string): Finding {
  return { code: 'WARNING', severity: 'warning', path, message };
}

type Criterion = { readonly level: number; readonly exchange: number };
/** NIOSH (1998), publication 98-126. */
export const NIOSH: Criterion = { level: 85, exchange: 3 };
/** 29 CFR 1910.95, appendix A, table G-16a. */
export const OSHA: Criterion = { level: 90, exchange: 5 };
/** Minutes a day at a level in dBA: 480 / 2^((L − criterion)/exchange). May be more than a day has. */
export function safeMinutes({ level, exchange }: Criterion, dBA: number): number {
  return DAY / 2 ** ((dBA - level) / exchange);
}

/** Level at which these minutes a day are just allowed, dBA. */
export function levelAllowedFor({ level, exchange }: Criterion, minutes: number): number {
  return level + exchange * Math.log2(DAY / minutes);
}
