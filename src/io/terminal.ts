/** What the terminal, or whatever stands in its place, can show. */

type Environment = Readonly<Record<string, string | undefined>>;

export type Screen = {
  readonly isTTY?: boolean;
  readonly columns?: number;
  readonly rows?: number;
  hasColors?(): boolean;
};

/** FORCE_COLOR goes before NO_COLOR, as in Node itself; TERM=dumb is known to `hasColors`. */
export function wantsColour(stream: Screen, environment: Environment): boolean {
  const forced = environment.FORCE_COLOR;
  if (forced !== undefined) return forced !== '0' && forced !== 'false';
  if (environment.NO_COLOR) return false;
  return stream.isTTY === true && stream.hasColors?.() === true;
}

/** Columns to lay text out in: 80 to 140, as many as tables need where nobody says or it is less. */
export function widthOf(stream: Screen, environment: Environment): number {
  const stated = Number(environment.COLUMNS);
  const columns = Number.isInteger(stated) && stated > 0 ? stated : (stream.columns ?? 0);
  return columns > 0 ? Math.min(140, Math.max(80, columns)) : 80;
}

/** Lines of a page that is to be seen at once: 40, or as many as the screen has where it has more. */
export const linesOf = ({ rows = 0 }: Screen): number => Math.max(40, rows - 1);
