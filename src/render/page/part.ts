/** One part of the page: what leads to it, and what stands in it. */
import { type Html, html } from './html.ts';

export type PagePart = {
  /** Ours, never a plan's: goes into addresses. */
  readonly id: string;
  readonly title: string;
  readonly body: readonly Html[];
};

/** Null where it has nothing to say. */
export const part = (id: string, title: string, ...body: readonly (Html | null)[]): PagePart | null => {
  const said = body.filter((one) => one !== null);
  return said.length > 0 ? { id, title, body: said } : null;
};

export const partMarkup = ({ id, title, body }: PagePart): Html =>
  html`<section aria-labelledby="${id}">\n<h2 id="${id}">${title}</h2>\n${body}</section>\n`;
