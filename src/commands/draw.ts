/** draw, sheet. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { type DrawOptions as Asked, draw as drawn } from '../draw/draw.ts';
import { isPaper, PAPER_NAMES } from '../draw/svg.ts';
import type { Finding } from '../finding.ts';
import { type SheetFormat, sheetFormats } from '../format/formats.ts';
import { announce } from '../io/terminal.ts';
import { sourcesByName } from '../judge/why.ts';
import { makeSheet } from '../report/tape-out.ts';
import { mendedName } from '../text.ts';
import {
  deliver,
  type Judged,
  judgePlan,
  overwritesPlan,
  type PlanOptions,
  planFile,
  refuse,
} from './pipeline.ts';

export type DrawCommandOptions = PlanOptions & {
  readonly band: string;
  readonly mic?: string;
  readonly level?: string;
  readonly dark?: true;
  readonly paper?: string;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function runDraw(file: string, options: DrawCommandOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const judged = await judgePlan(planFile(file, options));
  if (!judged) return 2;
  const asked = askedOf(judged, options);
  if ('code' in asked) {
    await refuse(asked);
    return 2;
  }
  const done = asked.level ? announce(`level of ${asked.level.name} over the floor …`) : () => {};
  const shown = drawn(judged, asked);
  done();
  return deliver(shown, options.output);
}

/** What the options name, or the first that names nothing. */
function askedOf(judged: Judged, options: DrawCommandOptions): Asked | Finding {
  const band = bandNamed(options.band);
  if (band === null)
    return unknown(
      '--band',
      'octave band',
      options.band,
      NOMINAL_BANDS.map((hertz) => `${hertz}`),
    );
  const { paper = null } = options;
  if (paper !== null && !isPaper(paper)) return unknown('--paper', 'paper', paper, PAPER_NAMES);
  const mic = micNamed(judged, options.mic);
  if (mic !== null && 'code' in mic) return mic;
  const level = levelNamed(judged, options.level);
  if (level !== null && 'code' in level) return level;
  return { band, mic, level, paper, dark: options.dark === true };
}

/** Its number for 63, 1000, 1k, 1 kHz, 500 Hz; null for what is none. */
function bandNamed(text: string): number | null {
  const [, digits, kilo] = /^(\d+(?:\.\d+)?)\s*(k?)(?:hz)?$/i.exec(text.trim()) ?? [];
  if (digits === undefined) return null;
  const band = NOMINAL_BANDS.indexOf((Number(digits) * (kilo ? 1000 : 1)) as (typeof NOMINAL_BANDS)[number]);
  return band < 0 ? null : band;
}

function micNamed({ report }: Judged, name: string | undefined): Asked['mic'] | Finding {
  if (name === undefined) return null;
  const rows = [...report.pairs, ...report.mics];
  const row = rows.find((one) => one.name === name);
  if (row) return row;
  if (!report.lines.some((line) => line.name === name))
    return unknown(
      '--mic',
      'microphone',
      name,
      rows.map((one) => one.name),
    );
  const message = `--mic: ${name} is a direct line, which hears no bleed`;
  return { code: 'UNKNOWN_NAME', severity: 'error', path: [], message, mend: 'name a microphone' };
}

function levelNamed({ scene }: Judged, name: string | undefined): Asked['level'] | Finding {
  if (name === undefined) return null;
  if (scene.rooms.length === 0) {
    const message = '--level: the plan has no room whose floor could be shaded';
    return { code: 'MISSING', severity: 'error', path: ['rooms'], message, mend: 'describe the rooms' };
  }
  const known = sourcesByName(scene);
  const sources = known.get(name);
  return sources ? { name, sources } : unknown('--level', 'source, kit or part', name, [...known.keys()]);
}

function unknown(option: string, what: string, name: string, known: readonly string[]): Finding {
  const message = `${option}: there is no ${what} "${name}"`;
  return { code: 'UNKNOWN_NAME', severity: 'error', path: [], message, mend: mendedName(name, known) };
}

// `spillcheck sheet`: the load-in sheet, for whoever sets up.

export type SheetOptions = PlanOptions & {
  readonly format: SheetFormat;
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function sheet(file: string, options: SheetOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const judged = await judgePlan(planFile(file, options));
  if (!judged) return 2;
  const format = sheetFormats[options.json ? 'json' : options.format];
  return deliver(format(makeSheet(judged)), options.output);
}
