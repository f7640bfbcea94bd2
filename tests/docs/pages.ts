/** The pages that tell of the program, and the fenced blocks in them. */
import { readFileSync } from 'node:fs';

export const README = 'README.md';
export const MODEL = 'shared/model.md';
export const PAGES = [
  README,
  'DEVELOPERS.md',
  MODEL,
  'shared/build-servers.md',
  'shared/session-day.md',
  'shared/scripts.md',
  'shared/plan.md',
] as const;

export const pageOf = (file: string): string => readFileSync(file, 'utf8');

export type Block = {
  /** As it stands in the page, fences and all. */
  readonly whole: string;
  /** What follows the opening fence: "console", "yaml", "yaml fragment". */
  readonly kind: string;
  readonly text: string;
};

export const blocksIn = (page: string): Block[] =>
  [...page.matchAll(/^```(.*)\n([\s\S]*?)^```$/gm)].map(([whole, kind = '', text = '']) => ({
    whole,
    kind,
    text,
  }));
