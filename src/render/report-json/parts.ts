import type { CutTogether } from '../../judge/parts/cut-together.ts';
import type { PartRow } from '../../judge/parts/parts.ts';
import type { MainPairRow } from '../../judge/timing/main-pairs.ts';
import type { SpotDelay } from '../../judge/timing/spot-delays.ts';
import type { TimingRow, Timings } from '../../judge/timing/timing.ts';
import { basisShape } from '../readings-json.ts';
import { inMs, rounded } from './rounded.ts';

export const partShape = ({ editable, ...part }: PartRow) => ({
  name: part.name,
  later: part.later,
  mics: part.mics,
  ghost_db: rounded(part.ghost),
  ghost_limit_db: rounded(part.limit),
  ghost_margin_db: rounded(part.margin),
  ghost_verdict: part.verdict,
  remark: part.remark,
  committed_because: part.committed?.because ?? null,
  most_in: part.mostIn,
  passage: part.passage,
  alone: {
    signal_to_bleed_db: rounded(editable.signalToBleed),
    mic: editable.mic,
    limit_db: rounded(editable.limit),
    margin_db: rounded(editable.margin),
    verdict: editable.verdict,
    remark: editable.remark,
  },
  replaceable: part.replaceable,
  basis: basisShape(part.basis),
});

export const cutShape = (cut: CutTogether) => ({
  groups: cut.groups.map(({ parts, mics, ties, sentence }) => ({
    parts,
    mics,
    ties: ties.map(({ between, mic, level, shared }) => ({ between, mic, level_db: rounded(level), shared })),
    sentence,
  })),
  free: cut.free,
  everyone: cut.everyone,
  sentence: cut.sentence,
});

export const timingShape = ({ sampleRate, rows, overheads }: Timings) => ({
  sample_rate_hz: sampleRate,
  combs: rows.map(combShape),
  overheads: overheads.map(({ pair, spots, snare }) => ({
    pair,
    spots: spots.map(spotShape),
    snare: snare && {
      source: snare.source,
      nearer: snare.nearer,
      apart_m: rounded(snare.apart),
      late_ms: inMs(snare.late),
    },
  })),
});

const combShape = (row: TimingRow) => ({
  part: row.part,
  source: row.source,
  own: row.own,
  other: row.other,
  level_db: rounded(row.level),
  late_ms: inMs(row.late),
  samples: rounded(row.samples),
  flipped: row.flipped,
  ripple_db: rounded(row.ripple),
  ripple_is_more: row.over,
  notches_hz: row.notches?.map(rounded) ?? null,
  align: row.align && { mic: row.align.mic, by_ms: inMs(row.align.by) },
});

const spotShape = ({ spot, source, late, samples }: SpotDelay) => ({
  spot,
  source,
  late_ms: inMs(late),
  samples: rounded(samples),
});

export const mainPairShape = (row: MainPairRow) => ({
  name: row.name,
  purpose: row.purpose,
  stereo: row.stereo,
  parts: row.parts.map(({ part, level, directToRoom, angle }) => ({
    part,
    level_db: rounded(level),
    direct_to_room_db: rounded(directToRoom),
    angle_deg: rounded(angle),
  })),
  ensemble_deg: row.ensemble && sides(row.ensemble),
  recording_angle_deg: row.recordingAngle && sides(row.recordingAngle),
  fits: row.fits,
  spare_deg: rounded(row.spare),
  outside: row.outside,
  spots: row.spots.map(spotShape),
});

const sides = ({ left, right }: { readonly left: number | null; readonly right: number | null }) => ({
  left: rounded(left),
  right: rounded(right),
});
