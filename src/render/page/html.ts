/** Markup in which nothing from a plan can become markup: all that is set into it is escaped, but what it made itself. */

const MADE: unique symbol = Symbol('made here');

export type Html = { readonly [MADE]: string };
type Piece = Html | string | number | readonly Html[];

/** html`<td>${name}</td>`: the words stand as they are written, what is set in between is escaped. */
export function html(words: TemplateStringsArray, ...pieces: readonly Piece[]): Html {
  const written = words.map((word, i) => word + (i < pieces.length ? markupOf(pieces[i] as Piece) : ''));
  return { [MADE]: written.join('') };
}

/** Markup of our own making from elsewhere, such as a drawing. Never for anything that a plan says. */
export const trusted = (markup: string): Html => ({ [MADE]: markup });

export const markup = (made: Html): string => made[MADE];

function markupOf(piece: Piece): string {
  if (typeof piece === 'number') return String(piece);
  if (typeof piece === 'string') return escapeMarkup(piece);
  return 'length' in piece ? piece.map(markup).join('') : markup(piece);
}

/** Both kinds of quotes too, so that it holds in attributes. */
const escapeMarkup = (text: string): string =>
  text.replace(/[&<>"']/g, (character) => `&#${character.codePointAt(0)};`);
