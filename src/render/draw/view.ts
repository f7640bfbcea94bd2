/** What is asked of the drawing, made ready: which lines it shows, which levels, in which words. */
import type { Verdict } from '../../judge/report.ts';
import { lengthsIn } from '../../plan/lengths.ts';
import { counted, micVerdict } from '../words.ts';
import { allLines, type BleedLine, worstLines } from './bleed-lines.ts';
import { type LevelGrid, levelGrids, PROBE_HEIGHT } from './level-grid.ts';
import { stepsOf } from './level-map.ts';
import type { Told } from './sheet.ts';
import type { Row } from './streams.ts';

export type Asked = {
  /** Number of the octave band whose patterns are drawn. */
  readonly band: number;
  /** The microphone, capsule or pair whose hearing is shown, or null. */
  readonly mic: Row | null;
  /** Sources whose level shades the floor and what they are called, or null. */
  readonly level: { readonly name: string; readonly sources: readonly number[] } | null;
};

export type View = {
  readonly band: number;
  readonly subtitle: string;
  /** The microphone of the plan that alone is shown with its pattern, or null for all. */
  readonly only: string | null;
  readonly lines: readonly BleedLine[];
  readonly bleedHeading: string;
  readonly words: Readonly<Record<Verdict | 'own' | 'weight', string>>;
  readonly level: {
    readonly title: string;
    readonly grids: readonly LevelGrid[];
    readonly steps: readonly number[];
  } | null;
};

export function viewOf(told: Told, { band, mic, level }: Asked): View {
  const grids = level ? levelGrids(told.result.stage, level.sources) : [];
  const height = lengthsIn(told.units).size(PROBE_HEIGHT);
  const title = level ? `Level of ${level.name} ${height} above the floor, all octaves` : '';
  return {
    band,
    subtitle:
      mic || level ? [mic ? hears(mic) : '', title].filter((text) => text !== '').join('. ') : tally(told),
    only: mic === null ? null : (mic.pair ?? mic.name),
    lines: mic ? allLines(told, mic) : level ? [] : worstLines(told),
    bleedHeading: mic ? 'What it hears' : 'Loudest bleed',
    words: mic ? wordsFor(mic) : WORDS,
    level: level ? { title: `Level of ${level.name}`, grids, steps: stepsOf(grids) } : null,
  };
}

const hears = (row: Row): string => `What ${row.name} hears: ${micVerdict(row)}`;

/** How the microphones stand, in one line: single capsules, as the report counts them. */
function tally({ report }: Told): string {
  const judged = report.mics.filter(({ verdict }) => verdict !== null);
  if (judged.length === 0) return 'No microphone is judged';
  const count = (verdict: Verdict) => judged.filter((row) => row.verdict === verdict).length;
  const [short, marginal] = [count('short'), count('marginal')];
  const met = `${short} of ${counted(judged.length, 'microphone')} short of the limit`;
  return marginal > 0 ? `${met}, ${marginal} marginal` : met;
}

const WORDS: View['words'] = {
  own: '',
  short: 'Into a microphone short of its limit',
  marginal: 'Into one that meets it by less than 3\u00a0dB',
  clear: 'Into one that is clear of it',
  weight: '0 dB over its own sound, and more',
};

function wordsFor({ purpose, limit }: Row): View['words'] {
  const judged = purpose === 'parts';
  return {
    own: 'What it is for',
    short: `Alone breaks its limit of ${limit}\u00a0dB`,
    marginal: 'Alone meets it by less than 3\u00a0dB',
    clear: 'Alone is clear of it',
    weight: judged ? '0 dB over its own sound, and more' : 'As loud as the loudest',
  };
}
