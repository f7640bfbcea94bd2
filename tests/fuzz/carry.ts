/** One input carried through the whole line; what came out amiss, in words. */

import { join } from 'node:path';
import { checkedOf } from '../../src/commands/check.ts';
import { type Examined, examinePlan, judged } from '../../src/commands/pipeline.ts';
import { nextMoves } from '../../src/commands/report.ts';
import { draw } from '../../src/draw/draw.ts';
import { checkFormats } from '../../src/format/check.ts';
import { reportPage } from '../../src/format/html.ts';
import { reportJson as json } from '../../src/format/json.ts';
import { sheetFormats } from '../../src/format/lists.ts';
import { text } from '../../src/format/text.ts';
import { guessedFacings } from '../../src/judge/facings.ts';
import { guesses } from '../../src/judge/guesses.ts';
import { pitfalls } from '../../src/judge/pitfalls.ts';
import type { Session } from '../../src/judge/session.ts';
import { sessionOf } from '../../src/judge/session.ts';
import { runTolerances } from '../../src/judge/tolerance.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import type { Answer } from '../../src/report/answer.ts';
import { SECTIONS } from '../../src/report/answer.ts';
import { makeSheet } from '../../src/report/sheet.ts';
import { amissIn, type Kind, strangeIn } from './amiss.ts';
import type { Dice } from './dice.ts';
import { further } from './further.ts';
import type { Input } from './inputs.ts';

export type Look = (what: string, text: string, kind: Kind) => void;
export type Note = (fault: string) => void;

export type Carried = { readonly faults: readonly string[]; readonly stood: boolean };

/** `folder` holds a copy of `fixtures` in which the input has been put down. */
export async function carry(folder: string, input: Input): Promise<Carried> {
  const faults: string[] = [];
  const note: Note = (fault) => void faults.push(fault);
  const look: Look = (what, shown, kind) => amissIn(shown, kind).map((fault) => note(`${what}: ${fault}`));
  const file = join(folder, input.path);
  const examined = await examinePlan(file, { stdinName: '-' });
  lookAtFindings(examined, look, note);
  lookAtChecks(examined, input.path, look);
  if (examined.open) {
    const session = judged(examined.open);
    await lookAtPages(session, input.dice, look, note);
    await further({ folder, file, input, judged: session, look, note });
  }
  return { faults, stood: examined.open !== null };
}

function lookAtFindings({ findings, read: told, open }: Examined, look: Look, note: Note): void {
  if (!open && findings.length === 0) note('refused without a word');
  for (const finding of findings) {
    look(`finding ${finding.code}`, finding.message, 'data');
    const spot = told?.spotOf(finding);
    if (spot && !(spot.line >= 1 && spot.column >= 1 && spot.file !== ''))
      note(`no place: ${finding.message}`);
  }
  if (told && findings.length > 0) look('findings', told.show(findings), 'text');
}

function lookAtChecks(examined: Examined, name: string, look: Look): void {
  const report = examined.open && sessionOf(examined.open).report;
  const plans = [{ ...checkedOf({ ...examined, name }, report), seconds: 0.1 }];
  const options = {
    width: 80,
    colour: false,
    all: true,
    quiet: false,
    version: '0',
    catalogue: '0123456789ab',
    started: new Date(0),
  };
  const kinds = {
    text: 'text',
    json: 'json',
    junit: 'text',
    sarif: 'json',
    annotations: 'text',
  } as const;
  for (const [format, kind] of Object.entries(kinds)) {
    const shown = checkFormats[format as keyof typeof kinds]({ plans, strict: false }, options);
    // a plan without a limit needs no word to a build server
    if (shown !== '' || format !== 'annotations') look(`check ${format}`, shown, kind);
  }
}

async function lookAtPages(judged: Session, dice: Dice, look: Look, note: Note): Promise<void> {
  const { scene, result, report, assumptions, plan } = judged;
  const lengths = lengthsIn(plan.units);
  const strange =
    strangeIn(result.energy) ?? (result.energy.some((one) => one < 0) ? 'an energy is below 0' : null);
  if (strange) note(`energies: ${strange}`);
  const lost = strangeIn(report);
  if (lost) note(`report: ${lost}`);
  const few = scene.tolerance.draws <= 20;
  const tolerances = few && dice.chance(0.2) ? await runTolerances(scene) : null;
  const rows = tolerances?.rows.map(({ sorted: _, ...row }) => row);
  const answer: Answer = {
    ...report,
    now: dice.chance(0.03) ? await nextMoves(judged, [], new AbortController().signal) : null,
    pitfalls: pitfalls(scene, result, report, lengths),
    guesses: guesses(scene, result, report),
    facings: scene.players.length < 10 ? guessedFacings(judged) : [],
    tolerances: tolerances && rows ? { ...tolerances, rows } : null,
    passage: null,
    assumptions,
    readings: null,
  };
  const page = {
    colour: false,
    lengths,
    sections: SECTIONS,
    brief: false,
    bands: true,
    all: true,
    listAssumptions: true,
    catalogue: '0123456789ab',
  };
  look('report --all', text(answer, { ...page, width: dice.pick([80, 120]), scene, lines: 40 }), 'text');
  look('report, brief', text(answer, { ...page, width: 80, brief: true, all: false, bands: false }), 'text');
  look('report --json', json(answer, { listAssumptions: true, catalogue: '0123456789ab' }), 'json');
  lookAtPaper(judged, answer, dice, look);
}

function lookAtPaper(judged: Session, answer: Answer, dice: Dice, look: Look): void {
  const rows = [...judged.report.mics, ...judged.report.pairs];
  const shaded = dice.chance(0.05) && judged.scene.rooms.length > 0 && judged.scene.sources.length > 0;
  const drawn = draw(
    { ...judged, units: judged.plan.units },
    {
      band: dice.whole(0, 7),
      mic: dice.chance(0.3) && rows.length > 0 ? dice.pick(rows) : null,
      level: shaded ? { name: 'one', sources: [0] } : null,
      paper: dice.pick([null, 'a4', 'letter'] as const),
      dark: dice.chance(0.5),
    },
  );
  look('draw', drawn, 'text');
  look('report --html', reportPage(answer, drawn, lengthsIn(judged.plan.units)), 'text');
  const sheet = makeSheet(judged);
  const kinds = { text: 'text', csv: 'text', html: 'text', json: 'json' } as const;
  for (const [format, kind] of Object.entries(kinds))
    if (sheet.lists.length > 0)
      look(`sheet ${format}`, sheetFormats[format as keyof typeof kinds](sheet), kind);
}
