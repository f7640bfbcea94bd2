/** The report as JSON, shape version 1: shared/schemas/report.schema.json. Keys may be added within a version. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { LevelRow, MicRow, PairRow, Report, RoomRow, SpacingRow } from '../judge/report.ts';
import { hearingCaution } from './hearing.ts';
import type { RenderOptions } from './options.ts';

export function json(report: Report, { assumptions, listAssumptions }: RenderOptions): string {
  const shape = {
    spillcheck: 1,
    command: 'report',
    title: report.title,
    bands_hz: NOMINAL_BANDS,
    rooms: report.rooms.map(roomShape),
    mics: report.mics.map(micShape),
    pairs: report.pairs.map(pairShape),
    lines: report.lines.map((line) => ({ name: line.name, for: line.for })),
    three_to_one: report.threeToOne.map(spacingShape),
    cautions: cautionShapes(report),
    ...(listAssumptions
      ? { assumptions: assumptions.map(({ path, kind, text }) => ({ path, kind, text })) }
      : {}),
  };
  return `${JSON.stringify(shape, null, 2)}\n`;
}

const roomShape = (room: RoomRow) => ({
  name: room.name,
  volume_m3: rounded(room.volume),
  t60_sabine_s: Array.from(room.sabine, rounded),
  t60_eyring_s: Array.from(room.eyring, rounded),
  t60_measured_s: room.measured && Array.from(room.measured, rounded),
  critical_distance_m: rounded(room.criticalDistance),
  schroeder_hz: rounded(room.schroeder),
});

const micShape = (mic: MicRow) => ({
  name: mic.name,
  pair: mic.pair,
  for: mic.for,
  position_m: mic.at.map(rounded),
  signal_db: rounded(mic.signal),
  bleed_db: rounded(mic.bleed),
  signal_to_bleed_db: rounded(mic.signalToBleed),
  signal_to_bleed_unweighted_db: rounded(mic.signalToBleedUnweighted),
  signal_to_direct_bleed_db: rounded(mic.signalToDirectBleed),
  limit_db: rounded(mic.limit),
  margin_db: rounded(mic.margin),
  verdict: mic.verdict,
  bleed_shares: mic.bleedShares && {
    direct: rounded(mic.bleedShares.direct),
    reflections: rounded(mic.bleedShares.reflections),
    room: rounded(mic.bleedShares.room),
    walls: rounded(mic.bleedShares.walls),
  },
  levels: mic.levels.map(levelShape),
});

const pairShape = (pair: PairRow) => ({ ...micShape(pair), capsules: pair.capsules });

const levelShape = (level: LevelRow) => ({
  source: level.source,
  level_db: rounded(level.level),
  bands_db: level.byBand.map(rounded),
  distance_m: rounded(level.distance),
  off_axis_deg: rounded(level.offAxis),
  wanted: level.wanted,
});

const spacingShape = (row: SpacingRow) => ({
  mics: row.mics,
  ratio: rounded(row.ratio),
  mic_to_mic_m: rounded(row.micToMic),
  mic_to_source_m: rounded(row.micToSource),
  margin_db: rounded(row.margin),
  verdict: row.verdict,
});

function cautionShapes(report: Report) {
  const hearing = hearingCaution(report);
  const last: Finding[] =
    hearing === null ? [] : [{ code: 'CAUTION', severity: 'warning', path: [], message: hearing }];
  return [...report.cautions, ...last].map(({ code, path, message, mend }) => ({
    code,
    path,
    message,
    mend: mend ?? null,
  }));
}

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
