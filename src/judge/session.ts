/**
 * A plan on its way from tree to report, for every command and for scripts: resolved, measured levels laid over it, computed,
 * judged.
 */
import type { Catalogue } from '../catalogue/catalogue.ts';
import { type Finding, hasErrors, takes } from '../finding.ts';
import { withEdits } from '../plan/edit.ts';
import type { PlanData, ReadPlan } from '../plan/plan.ts';
import type { Assumption } from '../scene/context.ts';
import { type Noted, resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { unknownName } from '../text.ts';
import { type Transfer, transfer } from '../transfer/transfer.ts';
import { judge } from './judge.ts';
import type { ReadingsSummary, Report } from './report.ts';

/** A plan without errors. */
export type OpenPlan = Pick<ReadPlan, 'tree'> & {
  readonly plan: PlanData;
  /** What it was resolved with. */
  readonly catalogue: Catalogue;
  /** As measured where readings were laid over it. */
  readonly scene: Scene;
  readonly assumptions: readonly Assumption[];
  readonly cautions: readonly Finding[];
  /** Lays the same readings over the scene of a changed plan. */
  readonly lay?: (scene: Scene) => Scene;
  /** The readings laid over it; null where there are none. */
  readonly readings: ReadingsSummary | null;
};

export type Session = OpenPlan & {
  /** Energies of every source at every microphone, computed when first asked for. */
  readonly result: Transfer;
  /** Judged when first asked for. */
  readonly report: Report;
};

/** `open` is null where there is an error among the findings, those of the reading included. */
export function openPlan(
  read: Pick<ReadPlan, 'tree' | 'plan' | 'findings'>,
  catalogue: Catalogue,
  noted: Noted = 'everything',
): { readonly findings: readonly Finding[]; readonly open: OpenPlan | null } {
  takes('openPlan', 'what readPlan has read', read, ['tree', 'plan', 'findings']);
  takes('openPlan', 'the catalogue, of shippedCatalogue()', catalogue, ['instruments']);
  const { tree, plan, findings: found } = read;
  const resolved = plan && resolve(plan, catalogue, noted);
  const findings = [...found, ...(resolved?.findings ?? [])];
  if (!plan || !resolved?.scene || hasErrors(findings)) return { findings, open: null };
  const { scene, assumptions } = resolved;
  const cautions = findings.filter(isCaution);
  return { findings, open: { tree, plan, catalogue, scene, assumptions, cautions, readings: null } };
}

/** The plan as `lay` has it measured. */
export const layOver = <Plan extends OpenPlan>(
  open: Plan,
  lay: (scene: Scene) => Scene,
  readings: OpenPlan['readings'] = null,
): Plan => ({ ...open, scene: lay(open.scene), lay, readings });

/** Cautions about a plan without errors are part of its report. */
export const isCaution = ({ code }: Finding): boolean => code === 'WARNING';

/** The plan as if it had this passage alone; an error where it has none of that name. */
export function inPassage<Plan extends OpenPlan>(open: Plan, name: string): Plan | Finding {
  takes('inPassage', AN_OPEN_PLAN, open, ['plan', 'scene']);
  const { passages } = open.scene;
  const passage = passages.find((one) => one.name === name);
  const known = passages.flatMap((one) => one.name ?? []);
  if (!passage) return unknownName('--passage', { what: 'passage', name, known });
  const others = passages.filter((one) => one !== passage).map(({ path }) => ({ path, value: null }));
  return { ...open, tree: withEdits(open.tree, others), scene: { ...open.scene, passages: [passage] } };
}

const AN_OPEN_PLAN = 'an open plan (openPlan gives null for a plan with errors)';

/** `energiesOf` may reuse those of a like scene. */
export function sessionOf(open: OpenPlan, energiesOf: (scene: Scene) => Transfer = transfer): Session {
  takes('sessionOf', AN_OPEN_PLAN, open, ['plan', 'scene']);
  const { scene, cautions } = open;
  let result: Transfer | null = null;
  let report: Report | null = null;
  const computed = (): Transfer => {
    result ??= energiesOf(scene);
    return result;
  };
  return {
    ...open,
    get result() {
      return computed();
    },
    get report() {
      report ??= judge(scene, computed(), cautions);
      return report;
    },
  };
}
