/** A plan on the bench: computed once, and ready to be computed again with some of its values changed. */
import { type Transfer, transfer } from '../acoustics/transfer.ts';
import { type Finding, hasErrors } from '../finding.ts';
import type { PlanData } from '../plan/plan.ts';
import type { MapNode } from '../plan/tree.ts';
import { validate } from '../plan/validate.ts';
import type { Catalogue } from '../scene/catalogue.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { type MicBench, micBench } from './bench-mics.ts';
import { retransfer } from './retransfer.ts';
import { type Edit, withEdits } from './set-value.ts';

/** A plan that stands, with its energies. */
export type Computed = {
  readonly tree: MapNode;
  readonly plan: PlanData;
  readonly scene: Scene;
  readonly result: Transfer;
  /** Lays readings of the day over a scene, over the plan's own and over that of every change alike. */
  readonly lay?: (scene: Scene) => Scene;
};

/** A changed plan; or why it does not stand. */
export type Outcome = Changed | { readonly faults: readonly Finding[] };

export type Changed = Pick<Computed, 'scene' | 'result'> & {
  /** Indices of the only mics that changed; null where more did. */
  readonly mics: readonly number[] | null;
};

export type Bench = {
  readonly base: Computed;
  /** The plan with some values changed, all else as it is; the same as reading the changed plan afresh. */
  readonly attempt: (edits: readonly Edit[]) => Outcome;
  /** The same, with the plan itself: what further changes can start from. */
  readonly commit: (edits: readonly Edit[]) => Computed | { readonly faults: readonly Finding[] };
};

export function benchOf(base: Computed, catalogue: Catalogue): Bench {
  let mics: MicBench | null = null;
  const commit: Bench['commit'] = (edits) => {
    const tree = withEdits(base.tree, edits);
    const { plan, findings } = validate(tree);
    const resolved = plan && resolve(plan, catalogue);
    const faults = [...findings, ...(resolved?.findings ?? [])].filter(
      ({ severity }) => severity === 'error',
    );
    if (!plan || !resolved?.scene || hasErrors(faults)) return { faults };
    const { lay } = base;
    const scene = lay ? lay(resolved.scene) : resolved.scene;
    return lazily({ tree, plan, scene, ...(lay && { lay }) }, base);
  };
  const attempt: Bench['attempt'] = (edits) => {
    mics ??= micBench(base, catalogue);
    return mics.attempt(edits) ?? whole(commit(edits));
  };
  return { base, attempt, commit };
}

/** Energies are computed when first asked for: many a changed plan is turned down for where things would stand. */
function lazily(plan: Omit<Computed, 'result'>, base: Computed): Computed {
  let result: Transfer | null = null;
  return {
    ...plan,
    get result() {
      result ??= retransfer(base, plan.scene);
      return result;
    },
  };
}

function whole(made: ReturnType<Bench['commit']>): Outcome {
  if ('faults' in made) return made;
  return {
    scene: made.scene,
    get result() {
      return made.result;
    },
    mics: null,
  };
}

/** The base of a bench from a plan that has been read and resolved. */
export function computed(plan: Omit<Computed, 'result'>): Computed {
  const scene = plan.lay ? plan.lay(plan.scene) : plan.scene;
  return { ...plan, scene, result: transfer(scene) };
}
