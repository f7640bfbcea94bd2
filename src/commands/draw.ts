/** `spillcheck draw` and `spillcheck sheet`: the plan to scale, and the load-in sheet for setting up. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { type DrawOptions, draw as drawn } from '../draw/draw.ts';
import { isPaper, PAPER_NAMES } from '../draw/svg.ts';
import type { Finding } from '../finding.ts';
import { type SheetFormat, sheetFormats } from '../format/lists.ts';
import { announce } from '../io/terminal.ts';
import type { Report } from '../judge/report.ts';
import type { Session } from '../judge/session.ts';
import { sourcesByName } from '../judge/why.ts';
import { makeSheet } from '../report/sheet.ts';
import type { Scene } from '../scene/scene.ts';
import { unknownName } from '../text.ts';
import { deliver, refused } from './output.ts';
import { type AnswerOptions, openJudged } from './pipeline.ts';

export type DrawCommandOptions = Omit<AnswerOptions, 'all' | 'json'> & {
  readonly band: string;
  readonly mic?: string;
  readonly level?: string;
  readonly dark?: true;
  readonly paper?: string;
};

/** Exit code: 0 done, 2 refused. */
export async function runDraw(file: string, options: DrawCommandOptions): Promise<0 | 2> {
  const judged = await openJudged(file, options);
  if (!judged) return 2;
  const asked = askedOf(judged, options);
  if ('code' in asked) return refused(asked);
  const done = asked.level ? announce(`mapping the level of ${asked.level.name} …`) : () => {};
  const shown = drawn({ ...judged, units: judged.plan.units }, asked);
  done();
  return deliver(shown, options.output);
}

/** What the options name, or the first that names nothing. */
function askedOf({ scene, report }: Session, options: DrawCommandOptions): DrawOptions | Finding {
  const band = bandNamed(options.band);
  const { paper = null } = options;
  if (band === null) {
    const known = NOMINAL_BANDS.map(String);
    return unknownName('--band', { what: 'octave band', name: options.band, known });
  }
  if (paper !== null && !isPaper(paper))
    return unknownName('--paper', { what: 'paper size', name: paper, known: PAPER_NAMES });
  const mic = micNamed(report, options.mic);
  if (mic !== null && 'code' in mic) return mic;
  const level = levelNamed(scene, options.level);
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

function micNamed({ pairs, mics, lines }: Report, name: string | undefined): DrawOptions['mic'] | Finding {
  if (name === undefined) return null;
  const rows = [...pairs, ...mics];
  const row = rows.find((one) => one.name === name);
  if (row) return row;
  const known = rows.map((one) => one.name);
  const unknown = unknownName('--mic', { what: 'mic', name, known });
  if (!lines.some((line) => line.name === name)) return unknown;
  const message = `--mic: ${name} is a DI: no bleed`;
  return { ...unknown, message, fix: 'choose a mic' };
}

function levelNamed(scene: Scene, name: string | undefined): DrawOptions['level'] | Finding {
  if (name === undefined) return null;
  if (scene.rooms.length === 0) {
    const message = '--level: the plan has no rooms, so there is no floor to shade';
    return { code: 'MISSING_KEY', severity: 'error', path: ['rooms'], message, fix: 'add rooms to the plan' };
  }
  const known = sourcesByName(scene);
  const sources = known.get(name);
  if (sources) return { name, sources };
  return unknownName('--level', { what: 'source, kit or part', name, known: [...known.keys()] });
}

export type SheetOptions = Omit<AnswerOptions, 'all'> & { readonly format: SheetFormat };

/** Exit code: 0 done, 2 refused. */
export async function sheet(file: string, options: SheetOptions): Promise<0 | 2> {
  const judged = await openJudged(file, options);
  if (!judged) return 2;
  const format = sheetFormats[options.json ? 'json' : options.format];
  return deliver(format(makeSheet(judged)), options.output);
}
