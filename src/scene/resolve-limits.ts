/** What the plan demands, its names as indices. A limit that names nothing is a fault. */
import type { Path } from '../finding.ts';
import type { Named } from '../plan/plan-values.ts';
import { unknownName } from './lookup.ts';
import type { Limits, Mic, Part, Player } from './scene.ts';
import type { Setting } from './setting.ts';
import type { Voice } from './voice.ts';
import { targetNames, unknownTarget, voicesNamed } from './wanted.ts';

type Known = {
  readonly voices: readonly Voice[];
  readonly parts: readonly Part[];
  readonly players: readonly Player[];
  readonly mics: readonly Mic[];
};

export function resolveLimits(known: Known, setting: Setting): Limits {
  const { limits } = setting.plan;
  refuseUnknownMics(known, setting);
  const { editable } = limits;
  const editableParts = editable && 'parts' in editable ? editable.parts : undefined;
  const editableAll =
    editable && 'all' in editable ? known.parts.map((_, i) => [i, editable.all] as const) : [];
  return {
    threeToOne: limits.threeToOne ?? null,
    weighting: limits.weighting,
    ghost: byPart(limits.ghost, ['limits', 'ghost'], known, setting),
    editable: new Map([...editableAll, ...byPart(editableParts, ['limits', 'editable'], known, setting)]),
    seeEachOther: limits.seeEachOther.flatMap((names, i) =>
      pairsOf(names, ['limits', 'see-each-other', i], known, setting),
    ),
    hear: [...limits.hear].flatMap(([who, whom]) => hearing(who, whom, known, setting)),
    sessionLength: limits.sessionLength ?? null,
    confidence: limits.confidence ?? null,
  };
}

function refuseUnknownMics({ mics }: Known, { plan, notes }: Setting): void {
  const { signalToBleed } = plan.limits;
  if (!signalToBleed || !('mics' in signalToBleed)) return;
  for (const name of signalToBleed.mics.keys()) {
    if (plan.mics.has(name) || mics.some((mic) => mic.name === name)) continue;
    unknownName(plan.mics.keys(), name, 'microphone', { path: ['limits', 'signal-to-bleed', name], notes });
  }
}

function byPart(
  limits: Named<number> | undefined,
  path: Path,
  known: Known,
  { notes }: Setting,
): Map<number, number> {
  const found = [...(limits ?? [])].flatMap(([name, limit]) => {
    const part = known.parts.findIndex((one) => one.name === name);
    if (part >= 0) return [[part, limit] as const];
    unknownTarget(
      known.parts.map((one) => one.name),
      name,
      'part',
      { path: [...path, name], notes },
    );
    return [];
  });
  return new Map(found);
}

function playerNamed(name: string, path: Path, { players }: Known, { notes }: Setting): number | null {
  const index = players.findIndex((player) => player.name === name);
  if (index >= 0) return index;
  unknownName(
    players.map((player) => player.name),
    name,
    'player or listener',
    { path, notes },
  );
  return null;
}

/** All pairs among the names: who must see each other. */
function pairsOf(names: readonly string[], path: Path, known: Known, setting: Setting): [number, number][] {
  const found = names.flatMap((name, i) => playerNamed(name, [...path, i], known, setting) ?? []);
  return found.flatMap((one, i) => found.slice(i + 1).map((other): [number, number] => [one, other]));
}

function hearing(who: string, whom: readonly string[], known: Known, setting: Setting): Limits['hear'] {
  const path = ['limits', 'hear', who];
  const player = playerNamed(who, path, known, setting);
  if (player === null) return [];
  return whom.flatMap((name, i) => {
    const sources = voicesNamed(known.voices, name);
    if (sources.length > 0) return [{ player, whom: name, sources }];
    unknownTarget(targetNames(known.voices), name, 'player, source or part', {
      path: [...path, i],
      notes: setting.notes,
    });
    return [];
  });
}
