/** Limits of a plan with the names in them looked up. */
import type { Path } from '../finding.ts';
import type { LimitsEntry } from '../plan/limits.ts';
import type { Named } from '../plan/schema.ts';
import { allOf } from '../text.ts';
import { type Context, micTargetNames, type ResolvedSource, sourcesNamed } from './context.ts';
import { type BalanceTarget, type Limits, mainMics, type Scene } from './scene.ts';
import { familyOf } from './sources.ts';

type Known = Pick<Scene, 'parts' | 'players' | 'mics'> & { readonly resolved: readonly ResolvedSource[] };

/** Limits of the plan by number: microphones, parts, people and groups are looked up. */
export function resolveLimits(known: Known, context: Context): Limits {
  // single values go through as they are; what names microphones, parts or people is looked up
  const { signalToBleed: _, ghost, isolation, seeEachOther, hear, ...rest } = context.plan.limits;
  const { balance, directToReverberant, ...figures } = rest;
  refuseUnknownMics(known, context);
  warnWithoutMains(known, context);
  const isolationParts = isolation && 'parts' in isolation ? isolation.parts : undefined;
  const isolationAll =
    isolation && 'all' in isolation ? known.parts.map((_, i) => [i, isolation.all] as const) : [];
  return {
    ...figures,
    threeToOne: figures.threeToOne ?? null,
    sessionLength: figures.sessionLength ?? null,
    confidence: figures.confidence ?? null,
    ghost: byPart(ghost, ['limits', 'ghost'], known, context),
    isolation: new Map([...isolationAll, ...byPart(isolationParts, ['limits', 'isolation'], known, context)]),
    seeEachOther: seeEachOther.flatMap((names, i) =>
      pairsOf(names, ['limits', 'see-each-other', i], known, context),
    ),
    hear: [...hear].flatMap(([who, whom]) => hearing(who, whom, known, context)),
    balance: balance.flatMap((target, i) => balanceTargets(target, ['limits', 'balance', i], known, context)),
    directToReverberant: byMain(directToReverberant, known, context),
  };
}

/** One for each main mic it is judged at. */
function balanceTargets(
  { of, over, least, at }: LimitsEntry['balance'][number],
  path: Path,
  known: Known,
  context: Context,
): BalanceTarget[] {
  const mics = mainsFor(at, [...path, 'at'], known, context);
  const [own, others] = [
    groupNamed(of, [...path, 'of'], known, context),
    groupNamed(over, [...path, 'over'], known, context),
  ];
  const both = own.filter((source) => others.includes(source))[0];
  if (both !== undefined) {
    const message = `${known.resolved[both]?.name} is in both groups`;
    context.notes.misplaced(path, message, 'name each player in one group only');
  }
  return mics.map((mic) => ({ of: own, over: others, mic, least, names: [allOf(of), allOf(over)], path }));
}

/** The main mic of a name, or all. */
function mainsFor(name: string | undefined, path: Path, { mics }: Known, { notes }: Context): number[] {
  const mains = mainMics(mics);
  if (name === undefined) return mains;
  const found = mains.filter((mic) => mics[mic]?.name === name);
  if (found.length === 0)
    notes.unknown(
      mains.map((mic) => mics[mic]?.name ?? ''),
      name,
      'mic for all',
      path,
    );
  return found;
}

function warnWithoutMains({ mics }: Known, { plan: { limits }, notes }: Context): void {
  const asked = [
    ...(limits.balance.length > 0 ? ['balance'] : []),
    ...(limits.directToReverberant ? ['direct-to-reverberant'] : []),
  ];
  if (mainMics(mics).length > 0) return;
  for (const key of asked)
    notes.caution(['limits', key], `${key} is not judged: no mic is for all`, 'add a mic with `for: all`');
}

/** Players, parts, kits and sources by name; else all of a family of the catalogue, without loudspeakers that repeat a part. */
function groupNamed(names: readonly string[], path: Path, { resolved }: Known, context: Context): number[] {
  const found = names.flatMap((name, i) => {
    const named = sourcesNamed(resolved, name);
    const isOf = (one: ResolvedSource) => !one.repeats && familyOf(one, context.catalogue) === name;
    const members = named.length > 0 ? named : resolved.flatMap((one, s) => (isOf(one) ? [s] : []));
    const families = resolved.flatMap((one) => familyOf(one, context.catalogue) ?? []);
    if (members.length === 0)
      context.notes.unknownTarget(
        new Set([...micTargetNames(resolved), ...families]),
        name,
        'player, source, part or family',
        [...path, i],
      );
    return members;
  });
  return [...new Set(found)];
}

function byMain(
  asked: LimitsEntry['directToReverberant'],
  known: Known,
  context: Context,
): Map<number, number> {
  const path = ['limits', 'direct-to-reverberant'];
  if (!asked) return new Map();
  if ('all' in asked)
    return new Map(mainsFor(undefined, path, known, context).map((mic) => [mic, asked.all] as const));
  const found = [...asked.mics].flatMap(([name, least]) =>
    mainsFor(name, [...path, name], known, context).map((mic) => [mic, least] as const),
  );
  return new Map(found);
}

function refuseUnknownMics({ mics }: Known, { plan, notes }: Context): void {
  const { signalToBleed } = plan.limits;
  if (!signalToBleed || !('mics' in signalToBleed)) return;
  for (const name of signalToBleed.mics.keys()) {
    if (plan.mics.has(name) || mics.some((mic) => mic.name === name)) continue;
    notes.unknown(plan.mics.keys(), name, 'mic', ['limits', 'signal-to-bleed', name]);
  }
}

function byPart(
  limits: Named<number> | undefined,
  path: Path,
  { parts }: Known,
  { notes }: Context,
): Map<number, number> {
  const names = parts.map((part) => part.name);
  const found = [...(limits ?? [])].flatMap(([name, limit]) => {
    const part = names.indexOf(name);
    if (part < 0) notes.unknownTarget(names, name, 'part', [...path, name]);
    return part < 0 ? [] : [[part, limit] as const];
  });
  return new Map(found);
}

function playerNamed(name: string, path: Path, { players }: Known, { notes }: Context): number | null {
  const names = players.map((player) => player.name);
  const index = names.indexOf(name);
  return index >= 0 ? index : notes.unknown(names, name, 'player or listener', path);
}

/** All pairs among the names: who must see each other. */
function pairsOf(names: readonly string[], path: Path, known: Known, context: Context): [number, number][] {
  const found = names.flatMap((name, i) => playerNamed(name, [...path, i], known, context) ?? []);
  return found.flatMap((one, i) => found.slice(i + 1).map((other): [number, number] => [one, other]));
}

function hearing(who: string, whom: readonly string[], known: Known, context: Context): Limits['hear'] {
  const path = ['limits', 'hear', who];
  const player = playerNamed(who, path, known, context);
  if (player === null) return [];
  return whom.flatMap((name, i) => {
    const sources = sourcesNamed(known.resolved, name);
    if (sources.length > 0) return [{ player, whom: name, sources }];
    context.notes.unknownTarget(micTargetNames(known.resolved), name, 'player, source or part', [...path, i]);
    return [];
  });
}
