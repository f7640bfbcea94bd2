/** `why --json`, shape version 1: shared/schemas/why.schema.json. Keys may be added within a version. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { GAIN_KINDS } from '../judge/why/why-gains.ts';
import type { Range, Why, WhyEdge, WhyPair, WhyPath, WhyScreen } from '../judge/why/why-shape.ts';
import { EQUATIONS } from './equations.ts';
import { jsonText } from './json-text.ts';

export function whyJson(why: Why): string {
  const shape = {
    spillcheck: 1,
    command: 'why',
    title: why.title,
    bands_hz: NOMINAL_BANDS,
    mic: why.mic,
    source: why.source,
    line: why.line,
    pairs: why.pairs.map(pairShape),
    equations: GAIN_KINDS.map((gain) => ({ gain, ...EQUATIONS[gain] })),
  };
  return `${jsonText(shape, 2)}\n`;
}

const pairShape = (pair: WhyPair) => ({
  mic: pair.mic,
  pattern: pair.pattern,
  source: pair.source,
  role: pair.role,
  level_db: rounded(pair.level),
  bands_db: pair.byBand.map(rounded),
  judged_bands_hz: pair.judgedBands,
  filtered: pair.filtered,
  judged_level_db: rounded(pair.judgedLevel),
  distance_m: rounded(pair.distance),
  points: pair.points,
  shares: {
    direct: rounded(pair.shares.direct),
    reflections: rounded(pair.shares.reflections),
    room: rounded(pair.shares.room),
    walls: rounded(pair.shares.walls),
  },
  schroeder_hz: rounded(pair.schroeder),
  paths: pair.paths.map(pathShape),
});

const pathShape = (path: WhyPath) => ({
  kind: path.kind,
  counts_as: path.share,
  by: path.by,
  of: path.of,
  points: path.points,
  share: rounded(path.fraction),
  level_db: rounded(path.level),
  bands_db: path.byBand.map(rounded),
  length_m: rangeShape(path.length, 1),
  delay_ms: rangeShape(path.delay, 1000),
  off_axis_deg: rangeShape(path.offAxis, 1),
  off_aim_deg: rangeShape(path.offAim, 1),
  gains: path.gains.map(({ kind, byBand }) => ({ gain: kind, bands_db: byBand.map(rounded) })),
  screens: path.screens.map(screenShape),
  edges: path.edges.map(edgeShape),
});

const screenShape = (screen: WhyScreen) => ({
  panels: screen.panels,
  where: screen.where,
  through_db: screen.through.map(rounded),
  past_db: screen.past.map(rounded),
  both_db: screen.whole.map(rounded),
  edges: screen.edges.map(edgeShape),
});

const edgeShape = (edge: WhyEdge) => ({
  side: edge.side,
  detour_m: rounded(edge.detour),
  hidden: edge.hidden,
  wave_db: edge.wave.map(rounded),
});

/** Least and most over a section's points: the same for a single one. */
const rangeShape = (range: Range | null, times: number) =>
  range && [rounded(range.from * times), rounded(range.to * times)];

/** To 0.001; null for what is not there. */
function rounded(value: number | null): number | null {
  if (value === null || !Number.isFinite(value)) return null;
  return Math.round(value * 1000) / 1000 + 0;
}
