/** One self-contained page: works from a disk, fetches nothing, runs nothing, and says so to the browser. */
import { createHash } from 'node:crypto';
import { type Html, html, markup, trusted } from './html.ts';

type Contents = {
  readonly title: string;
  /** Style sheets of our own making: the page's, and those of the drawings in it. */
  readonly styles: readonly string[];
  readonly body: Html;
};

/** Well-formed as XML too, so that a strict parser can tell of any slip. Styles whose text is not in `styles` do not work: the policy lets through those alone, by their hashes. */
export function document({ title, styles, body }: Contents): string {
  const [own = ''] = styles;
  const policy = `default-src 'none'; style-src ${styles.map(hashOf).join(' ')}; base-uri 'none'; form-action 'none'`;
  const page = html`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta http-equiv="Content-Security-Policy" content="${policy}"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta name="referrer" content="no-referrer"/>
<title>${title}</title>
<style>${trusted(own)}</style>
</head>
<body>
${body}
</body>
</html>
`;
  return markup(page);
}

const hashOf = (style: string): string => `'sha256-${createHash('sha256').update(style).digest('base64')}'`;
