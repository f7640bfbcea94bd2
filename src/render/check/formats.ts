import type { Check } from '../../judge/limits/checked.ts';
import { annotations } from './annotations.ts';
import { json } from './json.ts';
import { junit } from './junit.ts';
import type { CheckOptions } from './options.ts';
import { sarif } from './sarif.ts';
import { text } from './text.ts';

/** Every way to show which limits are met: a pure function to text. A new format is a file and a line here. */
export const checkFormats = { text, json, junit, sarif, annotations } satisfies Record<
  string,
  (check: Check, options: CheckOptions) => string
>;

export type CheckFormat = keyof typeof checkFormats;

export const isCheckFormat = (name: string): name is CheckFormat => Object.hasOwn(checkFormats, name);
