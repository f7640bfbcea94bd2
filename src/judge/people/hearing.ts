/** Who hears whom by air: each against everything else at that ear, A-weighted. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Verdict } from '../verdict.ts';
import { verdictOf } from '../verdict.ts';
import { type Heard, hearsIn, LISTENS, worstOf } from './heard-in.ts';
import { type Sounder, soundersOf } from './sounders.ts';

export type HearsRow = {
  readonly player: string;
  readonly listener: boolean;
  readonly whom: string;
  /** The passage it is judged in, of those in which both sound the worst; null where the plan has none. */
  readonly passage: string | null;
  /** At the ear, past what is worn, dBA; null where nothing gets there. */
  readonly level: number | null;
  /** Over everything else at that ear, dB; null where nothing gets there. */
  readonly ratio: number | null;
  readonly hears: Heard;
  /** What the figures do not say, in words. */
  readonly remark: string | null;
};

/** A demand of the plan, for a person, a kit or a single source. */
export type HearLimitRow = Omit<HearsRow, 'hears'> & {
  /** How far over the level from which one counts as heard, dB; null where it is not judged or nothing gets there. */
  readonly margin: number | null;
  /** Null where it is not by air that he is to hear: the headphones he wears must carry it. */
  readonly verdict: Verdict | null;
  /** True where headphones must carry it. */
  readonly needsCue: boolean;
};

export type Hearing = { readonly rows: readonly HearsRow[]; readonly limits: readonly HearLimitRow[] };

/**
 * Every player and listener with everyone who sounds together with him; who never does is left out. `ears` is `earTransfer`.
 * Thresholds are common practice, no source; heads are left out, and what comes over headphones masks nothing.
 */
export function judgeHearing(scene: Scene, ears: Transfer): Hearing {
  const sounders = soundersOf(scene);
  return {
    rows: scene.players.flatMap((_, player) => rowsOf(scene, ears, player, sounders)),
    limits: scene.limits.hear.map((limit) => limitRow(scene, ears, limit, sounders)),
  };
}

function rowsOf(scene: Scene, ears: Transfer, index: number, sounders: readonly Sounder[]): HearsRow[] {
  const player = scene.players[index];
  if (!player) return [];
  const own = sounders.find((one) => one.player === index)?.sources ?? [];
  const { wearing, hearsByAir } = player.cue;
  return sounders.flatMap((whom) => {
    const heard = whom.player === index ? null : worstOf(scene, ears, index, { own, whom: whom.sources });
    if (!heard) return [];
    const row = { player: player.name, listener: player.listener, whom: whom.name, ...heard };
    if (!hearsByAir) return [{ ...row, hears: 'does not hear' as const, remark: `wears ${NAMES[wearing]}` }];
    return [{ ...row, hears: hearsIn(heard.ratio), remark: remarkOn(heard.ratio, wearing) }];
  });
}

function limitRow(
  scene: Scene,
  ears: Transfer,
  { player: index, whom, sources }: Scene['limits']['hear'][number],
  sounders: readonly Sounder[],
): HearLimitRow {
  const player = scene.players[index] as Scene['players'][number];
  const { wearing, hearsByAir } = player.cue;
  const own = sounders.find((one) => one.player === index)?.sources ?? [];
  const all = withWedges(scene, sources);
  const heard =
    worstOf(scene, ears, index, { own, whom: all }) ?? worstOf(scene, ears, index, { own: [], whom: all });
  const row = { player: player.name, listener: player.listener, whom };
  if (!heard) return { ...row, ...NEVER };
  const margin = heard.ratio === null ? null : heard.ratio - LISTENS;
  const met = hearsByAir && margin !== null && margin >= 0;
  if (!met && wearing !== 'none') return { ...row, ...heard, ...OVER_HEADPHONES };
  const verdict = margin === null ? 'short' : verdictOf(margin);
  return { ...row, ...heard, margin, verdict, needsCue: !met, remark: remarkOn(heard.ratio, wearing) };
}

const NEVER = {
  ...{ passage: null, level: null, ratio: null, margin: null, verdict: null, needsCue: false },
  remark: 'sounds in no passage: not judged',
} as const;

const OVER_HEADPHONES = {
  ...{ margin: null, verdict: null, needsCue: true },
  remark: 'not by air: the headphones must carry it',
} as const;

/** A loudspeaker that repeats the whole of a part counts with it. */
function withWedges({ sources: all }: Scene, sources: readonly number[]): number[] {
  const parts = new Set(sources.map((i) => all[i]?.part));
  return all.flatMap(({ repeats, part }, i) =>
    sources.includes(i) || (repeats && parts.has(part)) ? [i] : [],
  );
}

function remarkOn(ratio: number | null, wearing: Scene['players'][number]['cue']['wearing']): string | null {
  if (ratio === null) return 'nothing of it gets there';
  return wearing === 'one-off' ? 'with one ear' : null;
}

const NAMES = {
  closed: 'closed headphones',
  open: 'open headphones',
  'one-off': 'one cup off',
  'in-ear': 'in-ear phones',
  none: 'nothing',
} as const;
