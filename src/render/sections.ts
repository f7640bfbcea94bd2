/** Sections of the report by the names that one asks for them with, and which of them a page has. */

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

export type Section = (typeof SECTIONS)[number];

export const isSection = (name: string): name is Section => (SECTIONS as readonly string[]).includes(name);

/** What one screen has room for. */
export const ANSWERS: readonly Section[] = [
  ...(['now', 'later', 'cut', 'bleed', 'people', 'headphones', 'ears'] as const),
  ...(['cautions', 'unsure', 'pitfalls'] as const),
];

/** What there is to tell of a microphone by itself. */
const OF_A_MIC: readonly Section[] = [
  'now',
  'later',
  'bleed',
  'delays',
  'three-to-one',
  'inputs',
  'pitfalls',
];

export type Asked = {
  readonly all: boolean;
  readonly show: readonly Section[];
  /** Whether only some microphones are asked about. */
  readonly mics: boolean;
  /** Whether what is not sure is asked for in particular. */
  readonly unsure: boolean;
};

/** Where nobody asks for more, the answers in brief. */
export function sectionsFor({ all, show, mics, unsure }: Asked): {
  readonly sections: readonly Section[];
  readonly brief: boolean;
} {
  const only = show.length > 0 ? show : mics && !all ? OF_A_MIC : null;
  if (only === null) return all ? { sections: SECTIONS, brief: false } : { sections: ANSWERS, brief: true };
  const wanted = unsure ? [...only, 'unsure'] : only;
  return { sections: SECTIONS.filter((one) => wanted.includes(one)), brief: false };
}
