import type { Answer } from './answer.ts';
import { escapeAll } from './escape.ts';
import type { RenderOptions } from './options.ts';
import { paint } from './paint.ts';
import type { Section } from './sections.ts';
import { bleed } from './text/bleed.ts';
import { byBand } from './text/by-band.ts';
import { cautions } from './text/cautions.ts';
import { cutTogether } from './text/cut.ts';
import { delays } from './text/delays.ts';
import { ears } from './text/ears.ts';
import { headline } from './text/headline.ts';
import { headphones } from './text/headphones.ts';
import { inputs } from './text/inputs.ts';
import { later } from './text/later.ts';
import type { InUnits, ReportLayout } from './text/layout.ts';
import { mainPairs } from './text/main-pairs.ts';
import { matrix } from './text/matrix.ts';
import { more } from './text/more.ts';
import { now } from './text/now.ts';
import { people } from './text/people.ts';
import { pitfallList } from './text/pitfalls.ts';
import { planView } from './text/plan-view.ts';
import { decays, rooms } from './text/rooms.ts';
import { spacing } from './text/spacing.ts';
import { unsure } from './text/unsure.ts';

/** The answer as a page for people: what one should know first, the lists after it. */
export function text(answer: Answer, options: RenderOptions): string {
  const safe = escapeAll(answer);
  const { width, all, brief, lengths } = options;
  const layout = { width, paint: paint(options.colour), all, brief, lengths };
  const sections = options.sections.map((section) => WRITERS[section](safe, layout, options));
  const blocks = [
    headline(safe, layout),
    ...(brief ? [sections.flat()] : sections),
    ...(options.bands ? [byBand(safe, layout), decays(safe, layout)] : []),
    ...(brief ? [more(layout)] : []),
  ].filter((lines) => lines.length > 0);
  return pageOf(brief ? withPlan(blocks, plan(safe, layout, options), options.lines ?? 0) : blocks);
}

const pageOf = (blocks: Blocks): string => `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`;

type Blocks = readonly (readonly string[])[];

/** A brief page has the plan before its last lines where there is room for both. */
function withPlan(blocks: Blocks, lines: readonly string[], room: number): Blocks {
  const page = lines.length === 0 ? blocks : [...blocks.slice(0, -1), lines, ...blocks.slice(-1)];
  return pageOf(page).trimEnd().split('\n').length <= room ? page : blocks;
}

type Writer = (answer: Answer, layout: ReportLayout & InUnits, options: RenderOptions) => string[];

const plan: Writer = (_answer, layout, { scene }) => (scene ? planView(scene, layout) : []);

const WRITERS: Readonly<Record<Section, Writer>> = {
  now,
  later,
  cut: cutTogether,
  bleed,
  people,
  headphones,
  ears,
  delays,
  main: mainPairs,
  matrix,
  'three-to-one': spacing,
  inputs,
  rooms,
  plan,
  cautions,
  unsure: (answer, layout, { listAssumptions }) => unsure(answer, listAssumptions, layout),
  pitfalls: pitfallList,
};
