import type { Answer } from './answer.ts';
import { json } from './json.ts';
import type { RenderOptions } from './options.ts';
import { text } from './text.ts';

/** Every way to show a report: a pure function from answer to text. A new format is a file and a line here. */
export const formats = { text, json } satisfies Record<
  string,
  (answer: Answer, options: RenderOptions) => string
>;

export type Format = keyof typeof formats;
