/** Rooms and panels solved by the wave equation (`wave-rooms.json` says how), each as a plan of ours and what the command says of it. */
import { readFileSync } from 'node:fs';
import { reported } from './command.ts';

type Triple = readonly [number, number, number];
type Box = readonly [Triple, Triple];

type SolvedScene = {
  readonly scene: string;
  readonly size_m: Triple;
  /** By wall: x0 left, x1 right, y0 bottom, y1 top, z0 floor, z1 ceiling. */
  readonly absorption: Readonly<Record<'x0' | 'x1' | 'y0' | 'y1' | 'z0' | 'z1', number>>;
  readonly panels: readonly {
    readonly axis: 0 | 1;
    readonly at: number;
    readonly lo: readonly [number, number];
    readonly hi: readonly [number, number];
    readonly alpha?: number;
  }[];
  readonly source_m: Triple;
  readonly receivers_m: readonly Triple[];
  readonly octaves_hz: readonly number[];
  /** Packed [receiver][octave]. */
  readonly level_db_re_free_field_at_1_m: readonly (readonly number[])[];
  readonly solid_m?: readonly Box[];
  readonly hollow_m?: readonly Box[];
  /** Only the first arrivals were kept: the outer walls do not count. */
  readonly note?: string;
  readonly aims?: readonly (readonly [0 | 1, 1 | -1, number])[];
};

const OCTAVES = [63, 125, 250, 500, 1000, 2000, 4000, 8000];
/** Heavier than anything a grid holds: rigid panels and walls let nothing through. */
const RIGID = 120;
/** Power in dB by octave that gives a round source 0 dB at 1 m: 10·lg 4π. */
const POWER = 10 * Math.log10(4 * Math.PI);
/** Levels are shown from some dB up: all stand this much higher. */
const LIFT = 100;

const { scenes } = JSON.parse(readFileSync('tests/published/wave-rooms.json', 'utf8')) as {
  readonly scenes: readonly SolvedScene[];
};

/** Computed less solved levels in dB at the places of a scene, by octave in Hz; `keep` tells which places count. */
export function waveDifferences(
  name: string,
  keep: (place: Triple) => boolean = () => true,
): ReadonlyMap<number, readonly number[]> {
  const found = new Map<number, readonly number[]>();
  for (const solved of scenes.filter(({ scene }) => scene === name)) {
    const { mics } = reported(wavePlan(solved));
    solved.octaves_hz.forEach((octave, column) => {
      const differences = solved.receivers_m.flatMap((place, i) => {
        const level = mics[i]?.levels[0]?.bands_db[OCTAVES.indexOf(octave)] ?? Number.NaN;
        const wanted = solved.level_db_re_free_field_at_1_m[i]?.[column] ?? Number.NaN;
        return keep(place) ? [level - LIFT - wanted] : [];
      });
      found.set(octave, differences);
    });
  }
  if (found.size === 0) throw new Error(`no scene ${name}`);
  return found;
}

/** A scene as a plan. */
export function wavePlan(solved: SolvedScene): string {
  const { source_m, receivers_m, panels, aims } = solved;
  const baffles = panels.map(({ axis, at, lo, hi, alpha = 0 }, i) => {
    const end = (along: number) => JSON.stringify(axis === 0 ? [at, along] : [along, at]);
    const made = `{reduction: ${RIGID}, absorption: ${alpha}}`;
    return `  panel-${i}: {from: ${end(lo[0])}, to: ${end(hi[0])}, gap: ${lo[1]}, height: ${hi[1]}, made-of: ${made}}`;
  });
  const mics = receivers_m.map((place, i) => {
    const [axis, sign, a] = aims?.[i] ?? [1, 1, 1];
    const aim = axis === 0 ? 90 * sign : 90 - 90 * sign;
    const pattern = `pattern: {A: ${a}}, null-depth: textbook, aim: ${aim}`;
    return `  mic-${i}: {for: source, at: ${JSON.stringify(place)}, ${pattern}}`;
  });
  return [
    'spillcheck: 1',
    `title: ${solved.scene}`,
    ...(solved.note ? [] : roomsOf(solved)),
    ...(baffles.length > 0 ? ['baffles:', ...baffles] : []),
    `sources: {source: {at: ${JSON.stringify(source_m)}, radius: 0, directivity: {Q: 1}, power: {${OCTAVES.map((hertz) => `${hertz}: ${LIFT + POWER}`).join(', ')}}}}`,
    'mics:',
    ...mics,
    '',
  ].join('\n');
}

function roomsOf({ size_m: [x, y, z], absorption, solid_m = [], hollow_m = [] }: SolvedScene): string[] {
  const { x0, x1, y0, y1, z0, z1 } = absorption;
  const room = (outline: readonly (readonly [number, number])[], walls: readonly number[]) =>
    `{outline: ${JSON.stringify(outline)}, height: ${z}, floor: ${z0}, ceiling: ${z1}, walls: ${JSON.stringify(walls)}}`;
  const box = (from: number, to: number) =>
    room(
      [
        [from, 0],
        [to, 0],
        [to, y],
        [from, y],
      ],
      [y0, x1, y1, x0],
    );
  const [solid] = solid_m;
  if (!solid) return [`rooms: {hall: ${box(0, x)}}`];
  const [door] = hollow_m;
  const [low, high] = solid;
  if (!door) {
    const outline = [
      [0, 0],
      [x, 0],
      [x, low[1]],
      [low[0], low[1]],
      [low[0], y],
      [0, y],
    ] as const;
    return [`rooms: {hall: ${room(outline, [y0, x1, x1, x1, y1, x0])}}`];
  }
  const [from, to] = door;
  const opening = `{at: [${low[0]}, ${(from[1] + to[1]) / 2}], width: ${to[1] - from[1]}, height: ${to[2]}}`;
  return [
    `rooms: {near: ${box(0, low[0])}, far: ${box(high[0], x)}}`,
    'partitions:',
    `  wall: {between: [near, far], wall: {reduction: ${RIGID}, absorption: ${x0}}, openings: [${opening}]}`,
  ];
}

/** Mean and root mean square of differences. */
export const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;
export const rmsOf = (values: readonly number[]): number =>
  Math.sqrt(meanOf(values.map((value) => value * value)));
