/**
 * The colours, as a light and a dark sheet. Seven of them tell things apart (ink, source, mic, screen, and the bleed that is
 * short, marginal or clear): found by search for the set whose closest pair stays furthest apart as seen by a normal eye and
 * without red, green or blue cones (Machado 2009), each with a contrast of at least 3 to 1 against the floor. The closest
 * pair is 28 apart on the light sheet and 32 on the dark (ΔE*ab 1976); tests/render/draw-colours.test.ts holds them to 24.
 * None is needed to read the plan: players, microphones and screens differ in shape, verdicts in dashes and in words.
 */
export type Palette = {
  readonly paper: string;
  readonly floor: string;
  readonly ink: string;
  /** Text of the second rank. */
  readonly faint: string;
  readonly wall: string;
  readonly source: string;
  readonly mic: string;
  readonly screen: string;
  readonly short: string;
  readonly marginal: string;
  readonly clear: string;
  /** From softest to loudest: one way in lightness, so that it reads without colour as well. */
  readonly levels: readonly string[];
};

export const palettes = {
  light: {
    paper: '#f6f5f1',
    floor: '#ffffff',
    ink: '#1d242a',
    faint: '#59636d',
    wall: '#3d464e',
    source: '#0641b1',
    mic: '#38a36a',
    screen: '#6c3a7a',
    short: '#c51129',
    marginal: '#d87900',
    clear: '#8492a2',
    levels: ['#fdfbf4', '#f7efd9', '#f2e2bc', '#efd39c', '#ebc27d', '#e6b061', '#de9d4b', '#d38a3b'],
  },
  dark: {
    paper: '#14191f',
    floor: '#1d242c',
    ink: '#e3f0fb',
    faint: '#a3b1be',
    wall: '#8b99a6',
    source: '#007bfc',
    mic: '#80f3a3',
    screen: '#e0a3ff',
    short: '#ed5c43',
    marginal: '#fda404',
    clear: '#7a7c7f',
    levels: ['#1e262f', '#20303b', '#223b47', '#244653', '#26525f', '#295e6b', '#2c6873', '#31747d'],
  },
} as const satisfies Record<string, Palette>;

/** Those that tell things apart. */
export const TELLING = ['ink', 'source', 'mic', 'screen', 'short', 'marginal', 'clear'] as const;
