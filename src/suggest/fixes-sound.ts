/** What changes the sound itself: softer, other sticks, a lid or cover, headphones for a wedge. */
import { allBands, decibels } from '../acoustics/bands.ts';
import { distance } from '../geometry.ts';
import type { Node } from '../plan/document.ts';
import { type Edit, nodeAt } from '../plan/edit.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Scene, Source } from '../scene/scene.ts';
import { groupBy, median } from '../statistics.ts';
import type { Computed, FixMaker } from './evaluate.ts';
import { type FixDraft, fixOf, set } from './fixes.ts';
import { wedgeListener } from './places.ts';

const SCALES = [
  ['pp', 'p', 'mp', 'mf', 'f', 'ff'],
  ['soft', 'medium', 'loud'],
];
/** What counts where the plan says nothing. */
const USUAL = 'mf';
/** dB for each step where a level is given. */
const STEP = 3;

/**
 * At most two marks, or twice 3 dB. Nobody is asked to play more than one mark softer than the others do, but for a guide that is
 * to be replaced, and for loudspeakers and amplifiers, which are turned down; a singer whose take counts is not asked.
 */
export const softerFixes: FixMaker = (base, { sounding }) => {
  const { plan, scene } = base;
  const playing = [...plan.players].flatMap(([name, { plays }]) => (plays.length > 0 ? [name] : []));
  const from = (section: 'players' | 'sources', names: readonly string[]) =>
    names
      .filter((name) => sounding.has(name))
      .flatMap((name) => {
        const own = sourcesOf(scene, section, name);
        const isVoice = section === 'players' && own.every(({ family }) => family === 'voices');
        const isFree = own.every(({ family, part }) => family === LOUDSPEAKERS || isGuide(scene, part));
        if (isVoice && !isFree) return [];
        const others = levelsBut(scene, own);
        const spare = isFree || others.length === 0 ? null : levelOf(own) - median(others);
        const marks = isFree ? [] : marksBut(plan, name);
        return softer(base.tree, [section, name], {
          spare,
          lowest: marks.length > 0 ? median(marks) - 1 : 0,
          own,
        });
      });
  return [...from('players', playing), ...from('sources', [...plan.sources.keys()])];
};

const LOUDSPEAKERS = 'loudspeakers';

/** What a player plays, or a source of its own. */
const sourcesOf = ({ sources, players }: Scene, section: 'players' | 'sources', name: string): Source[] =>
  sources.filter(({ path, player, name: own }) =>
    path[0] === section && section === 'sources' ? own === name : players[player ?? -1]?.name === name,
  );

const isGuide = ({ parts }: Scene, part: number): boolean => parts[part]?.later === 'replace';

/** Sound power of all that is played, dB. */
const levelOf = (own: readonly Source[]): number =>
  decibels(own.reduce((sum, { power }) => sum + allBands(power), 0));

/** Those of the other players. */
function levelsBut({ sources }: Scene, own: readonly Source[]): number[] {
  const others = sources.filter((one) => one.player !== null && !own.includes(one));
  return [...groupBy(others, ({ player }) => player).values()].map(levelOf).filter(Number.isFinite);
}

/** From one mark to the next, dB. Common practice, no source. */
const MARK = 6;

/** `spare`: how much louder they are than the others, dB; null where that is no matter. */
type Softer = {
  readonly spare: number | null;
  /** The softest mark that they may be asked for, as its place in its scale. */
  readonly lowest: number;
  readonly own: readonly Source[];
};

/** Places in their scale of the marks that all others play at. */
const marksBut = ({ players }: PlanData, name: string): number[] =>
  [...players].flatMap(([other, { plays }]) =>
    other === name
      ? []
      : plays.flatMap(({ dynamic = USUAL, level, power }) =>
          level === undefined && power === undefined
            ? Math.max(...SCALES.map((scale) => scale.indexOf(dynamic)))
            : [],
        ),
  );

const softer = (tree: Node, path: readonly string[], { spare, lowest, own }: Softer): FixDraft[] =>
  [1, 2].flatMap((steps) => {
    const made = lowered(tree, path, steps).filter(({ mark }) => mark === null || mark >= lowest);
    const changes = [...new Set(made.map(({ change }) => change))].join(', ');
    const edits = made.map(({ edit }) => edit);
    if (made.length === 0 || (steps > 1 && spare !== null && spare < (steps - 1) * MARK)) return [];
    const name = path[1] ?? '';
    return [fixOf('softer', [name], edits, () => `${askWords(name, own)} ${changes}`, { size: changes })];
  });

/** "have singer sing", "turn bass-amp down:". */
function askWords(name: string, own: readonly Source[]): string {
  const [{ instrument = null, family = null } = {}] = own;
  if (family === LOUDSPEAKERS) return `turn ${name} down:`;
  return `have ${name} ${(instrument && VERBS[instrument]) || 'play'}`;
}

const VERBS: Readonly<Record<string, string>> = {
  'singing-voice': 'sing',
  'choir-voice': 'sing',
  speech: 'speak',
};

/** `mark` is the place of the new mark in its scale; null for a level. */
type Lowered = { readonly edit: Edit; readonly change: string; readonly mark: number | null };

/** Wherever loudness is given for a player and their instruments; as a dynamic for all where it is given nowhere. */
function lowered(tree: Node, path: readonly string[], steps: number): Lowered[] {
  const node = nodeAt(tree, path);
  const places = placesOf(node).map((below) => [...path, ...below]);
  if (places.length > 0) return places.flatMap((place) => lower(tree, place, steps));
  if (node?.kind === 'map' && node.entries.has('power')) return [];
  return dynamicBelow([...path, 'dynamic'], USUAL, steps);
}

/** Paths of every level and dynamic below, of instruments and of parts of a kit too. */
function placesOf(node: Node | null): string[][] {
  if (node?.kind !== 'map') return [];
  return [...node.entries].flatMap(([key, { node: inner }]) => {
    if (key === 'level' || key === 'dynamic') return [[key]];
    if ((key !== 'plays' && key !== 'parts') || inner.kind !== 'map') return [];
    return [...inner.entries].flatMap(([name, entry]) =>
      placesOf(entry.node).map((below) => [key, name, ...below]),
    );
  });
}

function lower(tree: Node, path: readonly string[], steps: number): Lowered[] {
  const node = nodeAt(tree, path);
  if (path.at(-1) === 'dynamic') return node?.kind === 'scalar' ? dynamicBelow(path, node.text, steps) : [];
  const at = node?.kind === 'map' ? [...path, 'spl'] : path;
  const scalar = nodeAt(tree, at);
  const written = scalar?.kind === 'scalar' ? scalar.text.trim() : '';
  const [, number, rest = ''] = /^([\d.]+)(.*)$/s.exec(written) ?? [];
  if (scalar?.kind !== 'scalar' || number === undefined) return [];
  const text = `${Number((Number(number) - STEP * steps).toFixed(1))}${rest}`;
  const edit = set(at, typeof scalar.value === 'number' ? Number(text) : text);
  return [{ edit, change: `${STEP * steps} dB softer (${text.trim()})`, mark: null }];
}

function dynamicBelow(path: readonly string[], now: string, steps: number): Lowered[] {
  const scale = SCALES.find((one) => one.includes(now));
  const next = scale?.[scale.indexOf(now) - steps];
  const mark = scale?.indexOf(next ?? '') ?? 0;
  return next === undefined ? [] : [{ edit: set(path, next), change: `${next}, not ${now}`, mark }];
}

/** Softer than sticks, the gentle change first. */
const STICKS = ['rods', 'brushes'];

/** Where sticks are played, by mark and not at a level that was given. */
export const otherSticksFixes: FixMaker = ({ plan, tree, catalogue }, { sounding }) =>
  [...plan.players].flatMap(([name, { plays }]) => {
    const [only, ...others] = plays;
    const known =
      catalogue.kits.get(only?.instrument ?? '') ?? catalogue.instruments.get(only?.instrument ?? '');
    const below = placesOf(nodeAt(tree, ['players', name]));
    if (!only || others.length > 0 || !sounding.has(name) || below.some((path) => path.at(-1) === 'level'))
      return [];
    const now = only.playing ?? known?.usual ?? null;
    const softer = STICKS.slice(STICKS.indexOf(now ?? '') + 1);
    const offered = known?.kind === 'kit' ? known.playing : [...(known?.playing.keys() ?? [])];
    return (now === 'sticks' || now === 'rods' ? softer : [])
      .filter((sticks) => offered.includes(sticks))
      .map((sticks) =>
        fixOf(
          'other-sticks',
          [name],
          [set(['players', name, 'playing'], sticks)],
          () => `have ${name} play with ${sticks}`,
          {
            size: sticks,
          },
        ),
      );
  });

/** What one puts over what, the light first; a mic this near goes under it, m. Common practice, no source. */
const COVERS: Readonly<Record<string, readonly (readonly [cover: string, words: string])[]>> = {
  'grand-piano': [
    ['piano-lid-short-stick', 'put the lid of NAME on the short stick'],
    ['piano-lid-closed', 'close the lid of NAME'],
  ],
  ...Object.fromEntries(
    ['guitar-amp', 'open-back-guitar-amp', 'bass-amp', 'keyboard-amp'].map((amp) => [
      amp,
      [
        ['blanket', 'hang a blanket over NAME and its mic'],
        ['two-blankets', 'hang two blankets over NAME and its mic'],
      ] as const,
    ]),
  ),
};
const UNDER = 0.3;

export const coverFixes: FixMaker = (base, { sounding }) =>
  base.scene.sources.flatMap((source) => {
    const { name, instrument, cover, path, kit } = source;
    if (cover !== null || kit !== null || !sounding.has(String(path[1]))) return [];
    return (COVERS[instrument ?? ''] ?? []).flatMap(([over, words]) => {
      const edit = covered(base, source, over);
      const say = () => words.replace('NAME', name);
      return edit ? [fixOf('cover', [name], [edit, ...micsUnder(base, source)], say, { size: over })] : [];
    });
  });

/** What is written as a name alone is written out. */
function covered({ tree }: Computed, { path, instrument }: Source, over: string): Edit | null {
  const node = nodeAt(tree, path);
  if (node?.kind === 'map') return set([...path, 'cover'], over);
  return node?.kind === 'scalar' && instrument ? set(path, { instrument, cover: over }) : null;
}

const micsUnder = ({ scene, plan }: Computed, { points }: Source): Edit[] =>
  scene.mics.flatMap(({ name, purpose, capsules }) => {
    const near = capsules.every((index) =>
      points.some(({ at }) => distance(at, scene.capsules[index]?.at ?? at) < UNDER),
    );
    const isOwn = purpose === 'parts' && capsules.length > 0 && near && !plan.mics.get(name)?.inside;
    return isOwn ? [set(['mics', name, 'inside'], true)] : [];
  });

/** Out with a wedge, and closed headphones on whoever listened to it. */
export const headphonesFixes: FixMaker = ({ plan, scene }) =>
  scene.sources.flatMap((source) => {
    const listener = scene.players[wedgeListener(plan, scene, source)];
    if (!listener || listener.cue.wearing === 'closed' || plan.sources.get(source.name)?.fixed) return [];
    const edits: Edit[] = [
      { path: ['sources', source.name], value: null },
      ...(listener.cue.wearing === 'none' ? [set([...listener.path, 'cue'], 'closed')] : []),
    ];
    const say = () => `take ${source.name} out, closed headphones for ${listener.name}`;
    return [fixOf('headphones', [source.name], edits, say)];
  });
