/** Plans drawn for tests, and the drawing read back as plain marks: independent of the code that wrote it. */
import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { type DrawOptions, draw } from '../../src/draw/draw.ts';
import type { Computed } from '../../src/draw/drawing.ts';
import { studioLoader } from '../../src/io/files.ts';
import { judge } from '../../src/judge/judge.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { catalogue } from '../scene/resolved.ts';

export const plain: DrawOptions = { band: 4, mic: null, level: null, dark: false, paper: null };

export const fixture = (name: string): Promise<Computed> => {
  const file = new URL(`../../fixtures/${name}.yaml`, import.meta.url).pathname;
  return toldOf(readFileSync(file, 'utf8'), file);
};

/** A plan's text, read, computed and judged; without a file there is no studio. */
export async function toldOf(text: string, file = 'plan.yaml'): Promise<Computed> {
  const { plan, findings, show } = await readPlan(text, {
    name: file,
    load: studioLoader(file, false),
  });
  if (!plan) throw new Error(show(findings));
  const { scene, findings: faults } = resolve(plan, catalogue);
  if (!scene) throw new Error(show(faults));
  const result = transfer(scene);
  return { scene, result, report: judge(scene, result), units: plan.units };
}

export const rowOf = ({ report }: Computed, name: string): DrawOptions['mic'] =>
  [...report.pairs, ...report.mics].find((row) => row.name === name) ?? null;

export const drawn = (told: Computed, options: Partial<DrawOptions> = {}): string =>
  draw(told, { ...plain, ...options });

/** Takes any element of the namespace, so that only what is no XML at all fails. */
const ANY = `<?xml version="1.0"?><xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
  targetNamespace="http://www.w3.org/2000/svg" elementFormDefault="qualified"><xs:element name="svg"><xs:complexType mixed="true">
  <xs:sequence><xs:any processContents="skip" minOccurs="0" maxOccurs="unbounded"/></xs:sequence>
  <xs:anyAttribute processContents="skip"/></xs:complexType></xs:element></xs:schema>`;

export async function expectXml(...svgs: readonly string[]): Promise<void> {
  const xml = svgs.map((contents, i) => ({ fileName: `${i}.svg`, contents }));
  const { errors } = await validateXML({ xml, schema: [ANY] });
  expect(errors.map(({ message }) => message)).toEqual([]);
}

export type Mark = {
  readonly tag: string;
  readonly kind: string;
  readonly of: Readonly<Record<string, string>>;
};

/** Every mark in the order of drawing, those of the key left out. */
export function marksOf(svg: string): Mark[] {
  const drawing = svg.slice(0, svg.indexOf('<g class="key">'));
  return [...drawing.matchAll(/<([a-zA-Z]+)((?: [\w-]+="[^"]*")*)\/?>/g)].map(
    ([, tag = '', written = '']) => {
      const of = Object.fromEntries(
        [...written.matchAll(/ ([\w-]+)="([^"]*)"/g)].map(([, key = '', value = '']) => [key, value]),
      );
      return { tag, kind: of.class ?? '', of };
    },
  );
}

export type Point = readonly [number, number];

export const cornersOf = ({ of }: Mark): Point[] =>
  [...(of.d ?? '').matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]): Point => [Number(x), Number(y)]);

export const centreOf = ({ of }: Mark): Point => [Number(of.cx), Number(of.cy)];

/** Marks of some kinds inside the group that bears a name. */
export function marksIn(svg: string, group: string, name: string): Mark[] {
  const start = svg.indexOf(`<g class="${group}"><title>${name}</title>`);
  if (start < 0) throw new Error(`nothing drawn for ${group} ${name}`);
  return marksOf(`${svg.slice(start, svg.indexOf('</g>', start))}<g class="key">`).slice(2);
}

/** Whole-number scale, as the key states it. */
export const scaleOf = (svg: string): number => Number(/>Scale 1:(\d+)</.exec(svg)?.[1]);

/** From metres on the plan to millimetres on the page, by the drawn floor of a room whose lower left corner is known. */
export function placing(svg: string, room: string, [left, bottom]: Point): (x: number, y: number) => Point {
  const floor = marksIn(svg, 'room', room).find(({ kind }) => kind === 'floor');
  const corners = floor ? cornersOf(floor) : [];
  const [x0, y0] = [Math.min(...corners.map(([x]) => x)), Math.max(...corners.map(([, y]) => y))];
  const perMetre = 1000 / scaleOf(svg);
  return (x, y) => [x0 + (x - left) * perMetre, y0 - (y - bottom) * perMetre];
}

export const far = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Text between tags, as a reader sees it. */
export const unescaped = (text: string): string =>
  text
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&apos;', "'")
    .replaceAll('&amp;', '&');
