/** Sections of a report, by the names with which they are asked for. */

/** In the order of a full page. */
export const SECTIONS = [
  'now',
  'later',
  'cut',
  'bleed',
  'people',
  'headphones',
  'ears',
  'delays',
  'main',
  'matrix',
  'three-to-one',
  'inputs',
  'rooms',
  'plan',
  'cautions',
  'unsure',
  'pitfalls',
] as const;

export type SectionName = (typeof SECTIONS)[number];

export const isSection = (name: string): name is SectionName =>
  (SECTIONS as readonly string[]).includes(name);
