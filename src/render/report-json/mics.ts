import type { LevelRow, MicRow, PairRow, RoomRow, Shares, SpacingRow } from '../../judge/report.ts';
import { basisShape } from '../readings-json.ts';
import { rounded } from './rounded.ts';

export const roomShape = (room: RoomRow) => ({
  name: room.name,
  volume_m3: rounded(room.volume),
  t60_sabine_s: Array.from(room.sabine, rounded),
  t60_eyring_s: Array.from(room.eyring, rounded),
  t60_measured_s: room.measured && Array.from(room.measured, rounded),
  critical_distance_m: rounded(room.criticalDistance),
  schroeder_hz: rounded(room.schroeder),
});

export const micShape = (mic: MicRow) => ({
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
  bleed_shares: mic.bleedShares && sharesShape(mic.bleedShares),
  purpose: mic.purpose,
  room: mic.room,
  pattern: mic.pattern,
  passage: mic.passage,
  signal_to_bleed_unfiltered_db: rounded(mic.signalToBleedUnfiltered),
  judged_bands_hz: mic.judgedBands,
  limit_from: mic.limitFrom,
  remark: mic.remark,
  screens_buy_at_most_db: rounded(mic.screensBuyAtMost),
  levels: mic.levels.map(levelShape),
  basis: basisShape(mic.basis),
});

export const pairShape = (pair: PairRow) => ({ ...micShape(pair), capsules: pair.capsules });

const levelShape = (level: LevelRow) => ({
  source: level.source,
  level_db: rounded(level.level),
  bands_db: level.byBand.map(rounded),
  distance_m: rounded(level.distance),
  off_axis_deg: rounded(level.offAxis),
  wanted: level.wanted,
  ignored: level.ignored,
  judged_level_db: rounded(level.judgedLevel),
  shares: level.judgedLevel === null ? null : sharesShape(level.shares),
});

const sharesShape = ({ direct, reflections, room, walls }: Shares) => ({
  direct: rounded(direct),
  reflections: rounded(reflections),
  room: rounded(room),
  walls: rounded(walls),
});

export const spacingShape = (row: SpacingRow) => ({
  mics: row.mics,
  ratio: rounded(row.ratio),
  mic_to_mic_m: rounded(row.micToMic),
  mic_to_source_m: rounded(row.micToSource),
  margin_db: rounded(row.margin),
  verdict: row.verdict,
});
