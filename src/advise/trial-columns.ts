/** Figures of a trial, by the names that `--show` takes. */

import type { Transfer } from '../acoustics/transfer.ts';
import type { Finding } from '../finding.ts';
import { editableRow } from '../judge/parts/editable.ts';
import { ghostOf } from '../judge/parts/ghost.ts';
import { earTransfer } from '../judge/people/ears.ts';
import { judgeHearing } from '../judge/people/hearing.ts';
import { offered, oneOf } from '../plan/did-you-mean.ts';
import type { Scene } from '../scene/scene.ts';
import type { Reading } from './standing.ts';

/** A computed trial: what columns read. */
export type View = { readonly scene: Scene; readonly result: Transfer; readonly reading: Reading };

export type Column = {
  readonly name: string;
  /** Whether more is better. */
  readonly moreIsBetter: boolean;
  /** dB; null where there is no such figure. */
  readonly read: (view: View) => number | null;
};

/** Every column there is for a scene. */
export function columnsOf(scene: Scene): Column[] {
  return [
    { name: 'worst-margin', moreIsBetter: true, read: ({ reading }) => reading.standing.worst },
    { name: 'shortfall', moreIsBetter: false, read: ({ reading }) => reading.standing.shortfall },
    ...micNames(scene).map(bleedColumn),
    ...scene.parts.map(({ name }, part) => ghostColumn(name, part)),
    ...scene.parts.map(({ name }, part) => editableColumn(name, part)),
    ...hearColumns(scene),
  ];
}

/** Without a choice: how the whole stands, and S/B of every mic. */
export const usualColumns = (scene: Scene): Column[] =>
  columnsOf(scene).filter(({ name }) => /^(?:worst-margin|shortfall|signal-to-bleed\..*)$/s.test(name));

export function columnNamed(scene: Scene, name: string): Column | Finding {
  const all = columnsOf(scene);
  const found = all.find((column) => column.name === name);
  if (found) return found;
  const names = all.map((column) => column.name);
  const near = offered(name, names);
  const mend = near.length === 0 ? `there are ${names.join(', ')}` : `write ${oneOf(near)}`;
  return { code: 'UNKNOWN_NAME', severity: 'error', path: [], message: `there is no column ${name}`, mend };
}

/** Capsules and pairs that are judged. */
const micNames = ({ capsules, mics }: Scene): string[] => [
  ...capsules.filter(({ mic }) => mics[mic]?.purpose === 'parts').map(({ name }) => name),
  ...mics.filter((mic) => mic.purpose === 'parts' && mic.capsules.length > 1).map(({ name }) => name),
];

const bleedColumn = (name: string): Column => ({
  name: `signal-to-bleed.${name}`,
  moreIsBetter: true,
  read: ({ reading }) => finite(reading.bleed.get(name)),
});

const ghostColumn = (name: string, part: number): Column => ({
  name: `ghost.${name}`,
  moreIsBetter: false,
  read: ({ scene, reading }) => ghostOf(scene, reading.mix, part).level,
});

const editableColumn = (name: string, part: number): Column => ({
  name: `editable.${name}`,
  moreIsBetter: true,
  read: ({ scene, result }) => editableRow(scene, result, part).signalToBleed,
});

function hearColumns(scene: Scene): Column[] {
  const rows = scene.players.flatMap(({ name: player }) =>
    [...new Set(scene.players.map(({ name }) => name))]
      .filter((whom) => whom !== player)
      .map((whom) => [player, whom] as const),
  );
  return rows.map(([player, whom]) => ({
    name: `hears.${player}.${whom}`,
    moreIsBetter: true,
    read: ({ scene: now, result }) => {
      const { rows: heard } = judgeHearing(now, earTransfer(now, { ...result.stage, scene: now }));
      return heard.find((row) => row.player === player && row.whom === whom)?.ratio ?? null;
    },
  }));
}

const finite = (figure: number | undefined): number | null =>
  figure !== undefined && Number.isFinite(figure) ? figure : null;
