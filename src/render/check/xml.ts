/** Text in XML 1.0. What cannot stand there in any spelling becomes visible as `\u{1b}`, what steers a terminal goes by its number. */
import { visible } from '../../plan/visible.ts';

/** Section 2.2 of XML 1.0, lone surrogates among it. */
const FORBIDDEN = /[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]/gu;

const NAMED: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/** Between two tags; `]]>` may not stand there, and a lone CR would be read as a line break (section 2.11). */
export const xmlText = (text: string): string => escaped(text, /[&<>\r]/g);

/** Between quotes, where white space other than blanks would be lost (section 3.3.3). */
export const xmlAttribute = (text: string): string => escaped(text, /[&<>"'\t\n\r]/g);

const escaped = (text: string, marks: RegExp): string =>
  text
    .replace(FORBIDDEN, visible)
    .replace(marks, (one) => NAMED[one] ?? numbered(one))
    .replace(/[^\t\n\r -~]/gu, (one) => (visible(one) === one ? one : numbered(one)));

const numbered = (one: string): string => `&#${one.codePointAt(0)};`;
