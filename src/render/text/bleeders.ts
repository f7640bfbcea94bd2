import type { LevelRow, MicRow } from '../../judge/report.ts';
import { kindsIn } from '../shares.ts';
import { type Column, plain, table } from '../table.ts';
import { counted, figure, figureOr, percent } from '../words.ts';
import { type InUnits, isWide, type Layout } from './layout.ts';

/** Enough of them to hold this share of the bleed, and no more than `MOST`, are the main ones. */
const MAIN_SHARE = 0.9;
const MOST = 4;

/** The sources that spill most into a microphone, loudest first, in the octaves it is judged in. */
export function bleederLines(mic: MicRow, layout: Layout & InUnits, indent: string): string[] {
  const bleeders = loudestFirst(mic.levels.filter((level) => !level.wanted && !level.ignored));
  if (mic.purpose !== 'parts' || bleeders.length === 0) return [];
  const own = energySum(mic.levels.filter((level) => level.wanted));
  const main = layout.all ? bleeders : mainOnes(bleeders);
  const rows = main.map((level) => bleederRow(level, own, layout).map(plain));
  const lines = table(columns(own, layout), rows, layout.width, indent);
  return [...lines, ...remainder(bleeders.slice(main.length), own, indent)];
}

/** Name of what spills most into it, a kit as a whole; empty where nothing does. */
export function loudestBleeder(mic: MicRow): string {
  const bleeding = loudestFirst(
    mic.levels.filter((level) => !level.wanted && !level.ignored && energy(level) > 0),
  );
  const names = [...new Set(bleeding.map(({ source }) => kitOf(source)))];
  const together = (name: string) => energySum(bleeding.filter(({ source }) => kitOf(source) === name));
  return names.reduce((most, name) => (together(name) > together(most) ? name : most), names[0] ?? '');
}

/** "drums" of "drums.kick": no name holds a dot of its own. */
const kitOf = (source: string): string => source.split('.')[0] ?? source;

const loudestFirst = (levels: readonly LevelRow[]): LevelRow[] =>
  [...levels].sort((a, b) => energy(b) - energy(a) || a.source.localeCompare(b.source, 'en'));

function mainOnes(bleeders: readonly LevelRow[]): LevelRow[] {
  const whole = energySum(bleeders);
  let held = 0;
  const enough = bleeders.findIndex((level) => {
    held += energy(level);
    return held >= MAIN_SHARE * whole;
  });
  return bleeders.slice(0, Math.min(MOST, enough + 1));
}

function columns(own: number, layout: Layout): Column[] {
  return [
    { head: 'bleeds in', align: 'left', flexible: true },
    { head: own > 0 ? 'dB re signal' : 'dB SPL', align: 'right' },
    { head: 'distance', align: 'right' },
    { head: 'off aim', align: 'right' },
    ...(isWide(layout) ? [{ head: 'mostly', align: 'left' } as const] : []),
  ];
}

function bleederRow(level: LevelRow, own: number, layout: Layout & InUnits): string[] {
  const distance = level.distance === null ? 'unknown' : layout.lengths.away(level.distance);
  const offAxis = level.offAxis === null ? 'unknown' : `${figure(level.offAxis, 0)}°`;
  const cells = [level.source, relative(energy(level), own), distance, offAxis];
  return isWide(layout) ? [...cells, mostly(level)] : cells;
}

/** Level over the signal in the same octaves, or as it stands where there is no signal. */
const relative = (bleed: number, own: number): string =>
  figureOr(bleed > 0 ? 10 * Math.log10(bleed / (own > 0 ? own : 1)) : null, 1, 'silent');

function mostly({ shares }: LevelRow): string {
  const [largest] = kindsIn(shares);
  return largest ? `${largest.name} ${percent(shares[largest.key])}` : 'nothing';
}

function remainder(rest: readonly LevelRow[], own: number, indent: string): string[] {
  if (rest.length === 0) return [];
  const together = relative(energySum(rest), own);
  const level = together === 'silent' ? together : `together ${together} dB`;
  return [`${indent}and ${counted(rest.length, 'other')}, ${level}`];
}

const energy = ({ judgedLevel }: LevelRow): number => (judgedLevel === null ? 0 : 10 ** (judgedLevel / 10));
const energySum = (levels: readonly LevelRow[]): number =>
  levels.reduce((sum, level) => sum + energy(level), 0);
