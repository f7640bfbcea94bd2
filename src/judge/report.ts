/** `judge(scene, energies)` -> Report; rows with their units in the name (`marginDb`). */
import { bands, type Weighting } from '../acoustics/bands.ts';
import {
  criticalDistance,
  eyringTime,
  roomConstant,
  sabineTime,
  schroederFrequency,
} from '../acoustics/decay.ts';
import type { Finding } from '../finding.ts';
import type { Cause } from '../scene/perturbation.ts';
import type { Later, Room, Scene } from '../scene/scene.ts';
import type { RoomAbsorption } from '../transfer/diffuse-field.ts';
import { PAIR_SIZE, type Transfer } from '../transfer/transfer.ts';
import type { EditGroups } from './edit-groups.ts';
import type { ExposureRow } from './exposure.ts';
import type { IsolationRow } from './ghost.ts';
import type { CueRow, HeadphoneLeakRow, Hearing } from './hearing.ts';
import type { InputRow } from './inputs.ts';
import type { LineRow, MicRow, PairRow, RoomRow, SpacingRow } from './rows.ts';
import type { Sight } from './sight.ts';
import type { MainPairRow } from './stereo.ts';
import type { Timings } from './timing.ts';
import type { Basis, Verdict } from './verdict.ts';

export type Report = {
  readonly title: string;
  readonly rooms: readonly RoomRow[];
  readonly mics: readonly MicRow[];
  readonly lines: readonly LineRow[];
  readonly pairs: readonly PairRow[];
  readonly threeToOne: readonly SpacingRow[];
  readonly parts: readonly PartRow[];
  readonly cut: EditGroups;
  readonly timing: Timings;
  readonly mainPairs: readonly MainPairRow[];
  readonly hearing: Hearing;
  readonly sight: Sight;
  readonly cues: readonly CueRow[];
  /** What players' headphones bring to each mic. */
  readonly phones: readonly HeadphoneLeakRow[];
  readonly exposure: readonly ExposureRow[];
  readonly inputs: readonly InputRow[];
  /** Whether the levels were measured that figures about people and inputs rest on; null without readings of the day. */
  readonly levelBasis: Basis | null;
  readonly cautions: readonly Finding[];
};

// A scene as some of its mics alone would have it, with their share of its energies.

/** Mics and capsules are numbered anew, in the order of `which`; sources, parts and limits stay. */
export function onlyMics(
  scene: Scene,
  result: Transfer,
  which: readonly number[],
): { readonly scene: Scene; readonly result: Transfer } {
  const columns = which.flatMap((mic) => scene.mics[mic]?.capsules ?? []);
  const mics = which.flatMap((index) => {
    const mic = scene.mics[index];
    return mic ? { ...mic, capsules: mic.capsules.map((column) => columns.indexOf(column)) } : [];
  });
  const capsules = columns.flatMap((column) => {
    const capsule = scene.capsules[column];
    return capsule ? { ...capsule, mic: which.indexOf(capsule.mic) } : [];
  });
  const energy = new Float64Array(result.sources * columns.length * PAIR_SIZE);
  for (let source = 0; source < result.sources; source++) {
    columns.forEach((column, i) => {
      const from = (source * result.capsules + column) * PAIR_SIZE;
      energy.set(result.energy.subarray(from, from + PAIR_SIZE), (source * columns.length + i) * PAIR_SIZE);
    });
  }
  return {
    scene: { ...scene, mics, capsules },
    result: { ...result, capsules: columns.length, energy },
  };
}

// How sure all this is: figures over many days on which everything is somewhat off.

export type ToleranceRow = {
  readonly kind: Gauge['kind'];
  readonly name: string;
  /** 10th, 50th and 90th percentile; null where that is no finite figure. */
  readonly p10: number | null;
  readonly p50: number | null;
  readonly p90: number | null;
  readonly limit: number | null;
  readonly limitIs: Gauge['limitIs'];
  /** Share of the draws in which the limit is met; null without limit or figure. */
  readonly holds: number | null;
  /** From the 10th to the 90th percentile, dB, when one cause varies alone: greatest first, without those that do nothing. */
  readonly causes: readonly { readonly cause: Cause; readonly spread: number }[];
  /** The figures of all draws, ascending; empty where there is none. */
  readonly sorted: Float64Array;
};

export type Tolerances = {
  readonly draws: number;
  readonly seed: number;
  /** By gauge, in the order of each. */
  readonly rows: readonly ToleranceRow[];
};

// Figures whose tolerance is asked for, and how to read them off a scene that has been computed.

export type Gauge = {
  readonly kind: 'signal-to-bleed' | 'ghost' | 'editable' | 'three-to-one';
  /** What the figures are about, in their order; the limit of each, or null where none is judged. */
  readonly rows: readonly { readonly name: string; readonly limit: number | null }[];
  /** Whether a limit is the least or the most that a figure may be. */
  readonly limitIs: 'least' | 'most';
  /**
   * One figure for each row, in dB: +∞ and −∞ where one side of a ratio is silent, null where there is no such figure. The
   * scene is the one asked about or a variation of it.
   */
  readonly read: (scene: Scene, result: Transfer) => readonly (number | null)[];
};

// Figures of each room: volume, reverberation times, critical distance, Schroeder frequency.

/** Bands of 500 Hz and 1 kHz, over which single figures are averaged. */
const MIDDLE = [3, 4] as const;

export function roomFigures(room: Room, absorption: RoomAbsorption, soundSpeed: number): RoomRow {
  const { area, mean, surface } = absorption;
  const at = (values: Float64Array, band: number) => values[band] ?? 0;
  const eyring = bands((band) => eyringTime(room.volume, surface, at(mean, band), soundSpeed));
  const measured = room.measured?.t60 ?? null;
  const time = measured ?? eyring;
  const constant = average((band) => roomConstant(at(area, band), at(mean, band)));
  return {
    name: room.name,
    volume: room.volume,
    sabine: bands((band) => sabineTime(room.volume, at(area, band), soundSpeed)),
    eyring,
    measured,
    criticalDistance: criticalDistance(constant),
    schroeder: schroederFrequency(
      average((band) => at(time, band)),
      room.volume,
    ),
  };
}

const average = (value: (band: number) => number): number =>
  MIDDLE.reduce((sum, band) => sum + value(band), 0) / MIDDLE.length;

// What readings of the day gave for a plan: what a reader has to know to judge figures by it.

export type ToldReadings = {
  /** As they were named. */
  readonly files: readonly string[];
  /** Octaves by number; one null for all together. */
  readonly layers: readonly (number | null)[];
  readonly weighting: Weighting;
  /** Who was measured, each as it was read: dB against the plan, in relation to the others of its group. */
  readonly measured: readonly {
    readonly name: string;
    readonly group: number;
    readonly level: { readonly value: number; readonly error: number };
    /** Several sources that were read as one: between these nothing is known. */
    readonly asOne: boolean;
  }[];
  /** Sources whose level is the plan's. */
  readonly predicted: readonly string[];
  /** Of what neither levels nor gains explain, dB. */
  readonly rms: number;
  /** Readings that stand out so far that levels go without them, and all that count. */
  readonly aside: number;
  readonly count: number;
  /** Of these, how many are left when levels and gains have taken theirs: with none nothing holds them against the plan. */
  readonly spare: number;
  /** Readings too near to the noise to count. */
  readonly drowned: number;
};

// What can be done with each part afterwards: replaced, edited alone, or neither.

export type PartRow = {
  readonly name: string;
  readonly later: Later;
  /** Mics and lines for it, alone or with others. */
  readonly mics: readonly string[];
  /** What stays of it when its own mics are muted, re the part in the mix, dB; null where the remark says why. */
  readonly ghost: number | null;
  /** Null where nobody asks for it: shown, not judged. */
  readonly limit: number | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
  /** Every mic of the part stays; `because` holds most of it. */
  readonly committed: { readonly because: string } | null;
  /** The mic that holds most of what stays. */
  readonly mostIn: string | null;
  /** The worst passage; null where the plan has none. */
  readonly passage: string | null;
  readonly editable: IsolationRow;
  /** Ghost within its limit (−25 dB where none is given) and S/B of 10 dB at every mic for it; null without a mic. */
  readonly replaceable: boolean | null;
  /** Whether what its figures rest on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};
