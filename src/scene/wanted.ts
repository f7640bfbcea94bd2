/** Whom a microphone is for: names of sources, kits, players and parts as indices. */
import type { Path } from '../finding.ts';
import type { ForEntry } from '../plan/plan-mics.ts';
import { unknownName } from './lookup.ts';
import { fault, type Notes } from './notes.ts';
import type { Voice } from './voice.ts';

export type Wanted = { readonly wanted: readonly number[]; readonly ignored: readonly number[] };

/** Voices a name stands for: one source; a kit, a player's or a part's. Empty where there is none. */
export function voicesNamed(voices: readonly Voice[], name: string): number[] {
  const indices = voices.map((_, i) => i);
  const ways: readonly ((voice: Voice) => boolean)[] = [
    (voice) => voice.name === name,
    (voice) => voice.kit === name,
    (voice) => voice.player === name && !voice.repeats,
    (voice) => voice.partName === name && !voice.repeats,
  ];
  const way = ways.find((meant) => voices.some(meant));
  return way ? indices.filter((i) => way(voices[i] as Voice)) : [];
}

/** Wanted sources, and those that count neither way: their mates in one kit or part. Null with a fault. */
export function wantedBy(entry: ForEntry, voices: readonly Voice[], path: Path, notes: Notes): Wanted | null {
  if (entry.kind !== 'parts') {
    return { wanted: voices.flatMap((voice, i) => (voice.lineOnly ? [] : [i])), ignored: [] };
  }
  const found = entry.names.map((name) => voicesNamed(voices, name));
  const lost = entry.names.filter((_, i) => found[i]?.length === 0);
  for (const name of lost)
    unknownTarget(targetNames(voices), name, 'source, player or part', { path, notes });
  if (lost.length > 0) return null;
  const wanted = [...new Set(found.flat())];
  const repeated = wanted.find((i) => voices[i]?.repeats);
  if (repeated !== undefined) {
    const message = `${voices[repeated]?.name} repeats a part: it is bleed at every microphone`;
    fault(notes, 'BAD_PLACE', path, message, 'give the microphone to the part itself');
    return null;
  }
  return { wanted, ignored: matesOf(voices, wanted) };
}

function matesOf(voices: readonly Voice[], wanted: readonly number[]): number[] {
  const parts = new Set(wanted.map((i) => voices[i]?.partName));
  const kits = new Set(wanted.flatMap((i) => voices[i]?.kit ?? []));
  return voices.flatMap((voice, i) => {
    const mate = !voice.repeats && (parts.has(voice.partName) || (voice.kit !== null && kits.has(voice.kit)));
    return mate && !wanted.includes(i) ? [i] : [];
  });
}

/** Says that there is no such target; not of one that is written with a fault, which has then been said already. */
export function unknownTarget(
  known: Iterable<string>,
  name: string,
  what: string,
  at: { readonly path: Path; readonly notes: Notes },
): void {
  const own = name.split('.')[0] ?? name;
  const faulty = at.notes.findings.some(
    ({ severity, path }) =>
      severity === 'error' && (path[0] === 'players' || path[0] === 'sources') && path.includes(own),
  );
  if (!faulty) unknownName(known, name, what, at);
}

/** All names a microphone or an aim can go by. */
export function targetNames(voices: readonly Voice[]): string[] {
  return [
    ...new Set(
      voices.flatMap(({ name, kit, player, partName }) => [name, kit ?? name, player ?? name, partName]),
    ),
  ];
}
