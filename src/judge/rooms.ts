/** Rooms: volume, reverberation as computed, measured and to be expected of a clap, and what follows from it. */
import {
  type Bands,
  MID_BANDS,
  MIDDLE,
  middleMean,
  NOMINAL_BANDS,
  sameInAllBands,
} from '../acoustics/bands.ts';
import {
  criticalDistance,
  eyringTime,
  MOST_WATERHOUSE,
  roomConstant,
  sabineTime,
  schroederFrequency,
  waterhouse,
} from '../acoustics/room-acoustics.ts';
import type { Finding } from '../finding.ts';
import { type Air, isLateAlone, type Room } from '../scene/scene.ts';
import { figure } from '../text.ts';
import { type RoomAbsorption, roomAbsorption } from '../transfer/diffuse-field.ts';
import type { PreparedScene } from '../transfer/prepared-scene.ts';
import { tracedDecay } from '../transfer/traced-decay.ts';

export type RoomRow = {
  readonly name: string;
  /** Of the rectangle around its outline, along x and y, and its height, m. */
  readonly size: readonly [number, number, number];
  readonly volume: number;
  /** Times for 60 dB of what levels are computed with, s. */
  readonly sabine: Bands;
  readonly eyring: Bands;
  /** As the plan gives it, and in which octaves that is an early decay time, else T20 or T30; null where it gives none. */
  readonly measured: Bands | null;
  readonly earlyBands: readonly boolean[] | null;
  /** Of a measured room, by Eyring's formula, what finishes, contents and air alone would give; null without finishes. */
  readonly finishes: Bands | null;
  /** What a clap would show by the finishes; null without any. Traced when first asked for. */
  readonly clap: Clap | null;
  /** Known by T20 or T30 alone: levels may be lower. */
  readonly lateAlone: boolean;
  /** Octaves in which the room is smaller against the wave than any that was tried, by number. */
  readonly tooSmall: readonly number[];
  /** For Q = 1, mean of 500 Hz and 1 kHz, m. */
  readonly criticalDistance: number;
  readonly schroeder: number;
};

/** What a clap would show, by band, s: early decay time, and between which times T20 lies. */
export type Clap = { readonly early: Bands; readonly from: Bands; readonly to: Bands };

/** T20 lies between these parts of the traced one in rooms solved by the wave equation [this model]. */
const LATE_BETWEEN = [0.65, 1.3] as const;
/** Traced above so many times Eyring's, the tail lives between bare walls, and how soon scattering ends it is uncertain. */
const UNCERTAIN = 2;

/** Whether the late decay of a band is known within a factor of 2. */
export const isNarrow = ({ from, to }: Clap, band: number): boolean =>
  (to[band] ?? 0) <= (UNCERTAIN + 1e-9) * (from[band] ?? 0);

export const roomRows = (prepared: PreparedScene): RoomRow[] =>
  prepared.scene.rooms.map((room, i) => roomRow(prepared, room, i));

export function roomRow(prepared: PreparedScene, room: Room, index: number): RoomRow {
  const { soundSpeed } = prepared.scene.air;
  const { area, mean, surface } = prepared.absorptions[index] as RoomAbsorption;
  const { volume, measured } = room;
  const eyring = eyringOf(room, prepared.absorptions[index] as RoomAbsorption, soundSpeed);
  const named = byFinishes(room, prepared.scene.air);
  const constant = middleMean(area.map((one, band) => roomConstant(one, mean[band] ?? 0)));
  let clap: Clap | null = null;
  return {
    ...{ name: room.name, size: sizeOf(room), volume, eyring },
    measured: measured?.times ?? null,
    earlyBands: measured?.earlyBands ?? null,
    sabine: area.map((one) => sabineTime(volume, one, soundSpeed)),
    finishes: measured && named && eyringOf(room, named, soundSpeed),
    get clap() {
      clap ??= named && clapIn(prepared, room, index, named);
      return clap;
    },
    lateAlone: isLateAlone(room),
    tooSmall: NOMINAL_BANDS.filter(
      (_, band) => waterhouse(volume, surface, soundSpeed / (MID_BANDS[band] ?? 0)) > MOST_WATERHOUSE,
    ),
    criticalDistance: criticalDistance(constant),
    schroeder: schroederFrequency(middleMean(measured?.times ?? eyring), volume),
  };
}

function sizeOf({ outline, floor, ceiling }: Room): RoomRow['size'] {
  const spanOf = (axis: 0 | 1) => {
    const values = outline.map((corner) => corner[axis]);
    return Math.max(...values) - Math.min(...values);
  };
  return [spanOf(0), spanOf(1), ceiling - floor];
}

const eyringOf = ({ volume }: Room, { mean, surface }: RoomAbsorption, soundSpeed: number): Bands =>
  mean.map((one) => eyringTime(volume, surface, one, soundSpeed));

/** What finishes, contents and air absorb, with who and what was there when the room was measured; null without any finish. */
function byFinishes(room: Room, air: Air): RoomAbsorption | null {
  const { measured, surfaces, people } = room;
  if (!surfaces.some(({ alpha, area, open }) => alpha.some((one) => one * area > open + 1e-9))) return null;
  if (!measured) return roomAbsorption(room, air);
  const there = { people: measured.setUp ? people : NONE, added: NONE };
  return roomAbsorption({ ...room, ...there, measured: null }, air);
}

const NONE = sameInAllBands(0);

function clapIn(
  { shapes, scene }: PreparedScene,
  room: Room,
  index: number,
  absorption: RoomAbsorption,
): Clap | null {
  const shape = shapes[index];
  if (!shape) return null;
  const { soundSpeed } = scene.air;
  const { early, late } = tracedDecay(room, shape, absorption, soundSpeed);
  const [least, most] = LATE_BETWEEN;
  const eyring = eyringOf(room, absorption, soundSpeed);
  const isWide = (band: number) =>
    (late[band] ?? 0) * (absorption.interior[band] ?? 0) > UNCERTAIN * (eyring[band] ?? 0);
  return {
    early,
    from: late.map((time, band) => (isWide(band) ? (eyring[band] ?? 0) : least * time)),
    to: late.map((time) => most * time),
  };
}

/** A measured decay this many times the one traced from the finishes, or a part of it, doubts one of them. */
const DOUBTED = 1.5;

/** Warns of rooms whose measured and traced decay differ, geometric mean of 500 Hz and 1 kHz. */
export function oddDecays(rows: readonly RoomRow[], rooms: readonly Room[]): Finding[] {
  return rows.flatMap(({ name, measured, earlyBands, clap }, i) => {
    if (!measured || !earlyBands || !clap) return [];
    const early = MIDDLE.every((band) => earlyBands[band]);
    const traced = clap.to.map((time, band) =>
      earlyBands[band] ? (clap.early[band] ?? 0) : time / LATE_BETWEEN[1],
    );
    const ratio = Math.exp(middleMean(measured.map((time, band) => Math.log(time / (traced[band] ?? 0)))));
    if (ratio <= DOUBTED && ratio >= 1 / DOUBTED) return [];
    const times = ratio > 1 ? `${figure(ratio, 1)} times longer` : `${figure(1 / ratio, 1)} times shorter`;
    const message = `the measured ${early ? 'early decay time' : 'RT60'} is ${times} than a clap would show by the finishes of ${name}: wrong finishes, or uneven absorption`;
    const fix = early
      ? 'check the time, the size of the room and its finishes'
      : 'check the finishes, or measure the early decay time and give it with decay: early';
    return [
      {
        code: 'WARNING',
        severity: 'warning',
        path: [...(rooms[i]?.path ?? []), 'reverberation'],
        message,
        fix,
      },
    ];
  });
}
