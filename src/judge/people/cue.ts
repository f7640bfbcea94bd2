/** The cue list: what everyone's headphones must carry. */
import type { Scene, Wearing } from '../../scene/scene.ts';
import type { Hearing, HearLimitRow, HearsRow } from './hearing.ts';

export type CueRow = {
  readonly player: string;
  readonly listener: boolean;
  readonly wearing: Wearing;
  /** Whom the headphones must carry. */
  readonly carries: readonly string[];
  /** Who can be heard by air, but hardly: more of them helps. */
  readonly helps: readonly string[];
  /** True where the headphones shut out what he plays himself: his own sound belongs in them too. */
  readonly himself: boolean;
};

/**
 * Whom he must hear by the plan's limits, else everyone who sounds in his passages, as far as he does not hear them by air.
 * Everyone who wears headphones has a row; who wears none, where he would need them: a player for whomever he does not hear,
 * a listener only for what the limits demand.
 */
export function cueList(
  { players, sources }: Pick<Scene, 'players' | 'sources'>,
  hearing: Hearing,
): CueRow[] {
  return players.flatMap(({ name, listener, cue }, index): CueRow[] => {
    const own = <Row extends { readonly player: string }>(rows: readonly Row[]): Row[] =>
      rows.filter(({ player }) => player === name);
    const { wearing, hearsByAir } = cue;
    const plays = sources.some(({ player }) => player === index);
    const wanted = needsOf(own(hearing.rows), own(hearing.limits), listener && wearing === 'none');
    if (wearing === 'none' && wanted.carries.length === 0) return [];
    return [{ player: name, listener, wearing, ...wanted, himself: plays && !hearsByAir }];
  });
}

function needsOf(
  rows: readonly HearsRow[],
  limits: readonly HearLimitRow[],
  onlyLimits: boolean,
): Pick<CueRow, 'carries' | 'helps'> {
  if (limits.length > 0) {
    const carries = limits.filter(({ needsCue }) => needsCue).map(({ whom }) => whom);
    return { carries, helps: [] };
  }
  if (onlyLimits) return { carries: [], helps: [] };
  const whom = (how: HearsRow['hears']) => rows.filter(({ hears }) => hears === how).map((row) => row.whom);
  return { carries: whom('does not hear'), helps: whom('strains to hear') };
}
