/** Asking for less: a dynamic down, or some dB where the plan gives a level. */
import type { Node } from '../plan/tree.ts';
import type { Idea, MoveMaker } from './move.ts';
import type { Edit } from './set-value.ts';
import { nodeAt, nodeOf } from './written.ts';

const SCALES = [
  ['pp', 'p', 'mp', 'mf', 'f', 'ff'],
  ['soft', 'medium', 'loud'],
];
/** What counts where the plan says nothing. */
const USUAL = 'mf';
/** dB for each step where a level is given. */
const STEP = 3;

export const softerMoves: MoveMaker = ({ tree, plan }, { sounding }) => [
  ...[...plan.players].flatMap(([name, { plays }]) =>
    plays.length === 0 || !sounding.has(name)
      ? []
      : softer(tree, ['players', name], `ask ${name} to take it softer`, name),
  ),
  ...[...plan.sources.keys()]
    .filter((name) => sounding.has(name))
    .flatMap((name) => softer(tree, ['sources', name], `turn ${name} down`, name)),
];

function softer(tree: Node, path: readonly string[], words: string, name: string): Idea[] {
  return [1, 2].flatMap((steps): Idea[] => {
    const made = lowered(tree, path, steps);
    if (made.length === 0) return [];
    const told = [...new Set(made.map(({ told: one }) => one))].join(', ');
    return [
      { kind: 'softer', about: [name], edits: made.map(({ edit }) => edit), say: () => `${words}: ${told}` },
    ];
  });
}

type Lowered = { readonly edit: Edit; readonly told: string };

/** Wherever loudness is given for a player and what he plays; as a dynamic for all where it is given nowhere. */
function lowered(tree: Node, path: readonly string[], steps: number): Lowered[] {
  const node = nodeAt(tree, path);
  const places = placesOf(node).map((below) => [...path, ...below]);
  if (places.length > 0) return places.flatMap((place) => lower(tree, place, steps) ?? []);
  if (node?.kind === 'map' && node.entries.has('power')) return [];
  return dynamicBelow([...path, 'dynamic'], USUAL, steps) ?? [];
}

/** Paths of every level and dynamic below, of instruments and of parts of a kit too. */
function placesOf(node: Node | null): string[][] {
  if (node?.kind !== 'map') return [];
  return [...node.entries].flatMap(([key, { node: inner }]) => {
    if (key === 'level' || key === 'dynamic') return [[key]];
    if (key !== 'plays' && key !== 'parts') return [];
    if (inner.kind !== 'map') return [];
    return [...inner.entries].flatMap(([name, entry]) =>
      placesOf(entry.node).map((below) => [key, name, ...below]),
    );
  });
}

function lower(tree: Node, path: readonly string[], steps: number): Lowered[] | null {
  const node = nodeAt(tree, path);
  if (path.at(-1) === 'dynamic') return node?.kind === 'scalar' ? dynamicBelow(path, node.text, steps) : null;
  const at = node?.kind === 'map' ? [...path, 'spl'] : path;
  const scalar = nodeAt(tree, at);
  if (scalar?.kind !== 'scalar') return null;
  const [, number, rest = ''] = /^([\d.]+)(.*)$/s.exec(scalar.text.trim()) ?? [];
  if (number === undefined) return null;
  const text = `${Number((Number(number) - STEP * steps).toFixed(1))}${rest}`;
  const value = typeof scalar.value === 'number' ? Number(text) : text;
  return [{ edit: { path: at, value: nodeOf(value) }, told: `by ${STEP * steps} dB, to ${text.trim()}` }];
}

function dynamicBelow(path: readonly string[], now: string, steps: number): Lowered[] | null {
  const scale = SCALES.find((one) => one.includes(now));
  const next = scale?.[scale.indexOf(now) - steps];
  return next === undefined
    ? null
    : [{ edit: { path, value: nodeOf(next) }, told: `${next} instead of ${now}` }];
}
