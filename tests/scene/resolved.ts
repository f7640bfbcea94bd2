/** Plans in words, read and resolved against the shipped catalogue. Players and places are invented. */

import { readdirSync, readFileSync } from 'node:fs';
import { expect } from 'vitest';
import { parse } from 'yaml';
import { readCatalogue, type WrittenCatalogue } from '../../src/catalogue/catalogue.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { type Resolved, resolve } from '../../src/scene/resolve.ts';
import type { Capsule, Mic, Scene, Source } from '../../src/scene/scene.ts';

const folder = new URL('../../shared/catalogue/', import.meta.url);

/** Files of a folder by name without `.yaml`; needs no build. */
function written(from: URL): Record<string, unknown> {
  const files = readdirSync(from, { withFileTypes: true });
  const entries = files.map((file) =>
    file.isDirectory()
      ? [file.name, written(new URL(`${file.name}/`, from))]
      : [file.name.replace('.yaml', ''), parse(readFileSync(new URL(file.name, from), 'utf8'))],
  );
  return Object.fromEntries(entries);
}

export const catalogue = readCatalogue(written(folder) as WrittenCatalogue);

/** A plan that reads without fault; what resolving finds is the test's own matter. */
export async function resolved(
  text: string,
  studios: Readonly<Record<string, string>> = {},
): Promise<Resolved> {
  const load = async (path: string) => {
    const studio = studios[path];
    return studio === undefined ? { problem: 'there is none' } : { text: studio };
  };
  const { plan, findings, show } = await readPlan(`spillcheck: 1\n${text}`, { name: 'plan.yaml', load });
  if (!plan || findings.length > 0) throw new Error(show(findings));
  return resolve(plan, catalogue);
}

/** A scene without a word against it. */
export async function sceneOf(text: string, studios: Readonly<Record<string, string>> = {}): Promise<Scene> {
  const { scene, findings } = await resolved(text, studios);
  if (!scene) throw new Error(JSON.stringify(findings));
  return scene;
}

/** What stands in the way of a plan, each fault as its path and message. */
export async function faultsOf(text: string): Promise<string[]> {
  const { scene, findings } = await resolved(text);
  const errors = findings.filter(({ severity }) => severity === 'error');
  expect(scene === null).toBe(errors.length > 0);
  return errors.map(({ path, message, fix }) => `${path.join('.')}: ${message}${fix ? ` (${fix})` : ''}`);
}

const named = <T extends { readonly name: string }>(all: readonly T[], name: string): T => {
  const found = all.find((one) => one.name === name);
  if (!found) throw new Error(`no ${name} among ${all.map((one) => one.name).join(', ')}`);
  return found;
};

export const sourceNamed = (scene: Scene, name: string): Source => named(scene.sources, name);
export const capsuleNamed = (scene: Scene, name: string): Capsule => named(scene.capsules, name);
export const micNamed = (scene: Scene, name: string): Mic => named(scene.mics, name);
export const sourceNames = ({ sources }: Scene, which: readonly number[]): string[] =>
  which.map((i) => sources[i]?.name ?? '');

/** A point or direction within 1e-5, which is how far the worked figures beside the checks are written out. */
export function expectVector(actual: Vec3 | undefined, expected: readonly [number, number, number]): void {
  expect(actual).toBeDefined();
  const written = (vector: Vec3) => vector.map((part) => Math.round(part * 1e5) / 1e5 + 0);
  expect(written(actual ?? [9, 9, 9])).toEqual(written(expected));
}
