/** Which channel of a file is which microphone. */
import type { Mic, Scene } from '../scene/scene.ts';

type Refused = { readonly problem: string; readonly mend: string };

/**
 * Of a file of one mic: itself, or the two of a pair. Of a file of all: by the plan's `channel` keys, the k-th channel being
 * that of number k, or, where the file holds just as many as the plan names, in the order of their numbers; without such keys
 * in the order of the plan, lines and both capsules of a pair counted. A channel that is no microphone's is ''.
 */
export function channelNames(scene: Scene, mic: string | null, count: number): readonly string[] | Refused {
  return mic === null ? ofAll(scene, count) : ofOne(scene, mic, count);
}

function ofOne({ mics, capsules }: Scene, name: string, count: number): readonly string[] | Refused {
  const mic = mics.find((one) => one.name === name);
  const halves = mic && mic.capsules.length === 2 ? namesOf(mic, capsules) : [name];
  if (count === halves.length) return halves;
  if (count === 1) return [name];
  return {
    problem: `has ${channels(count)}, but is named after one microphone`,
    mend: 'export one channel to a file',
  };
}

const namesOf = (mic: Mic, capsules: Scene['capsules']): string[] =>
  mic.line ? [mic.name] : mic.capsules.map((i) => capsules[i]?.name ?? '');

function ofAll({ mics, capsules }: Scene, count: number): readonly string[] | Refused {
  const all = mics.flatMap((mic) =>
    namesOf(mic, capsules).map((name, i) => ({ name, number: Number(mic.channels[i]) })),
  );
  const numbered = all.filter(({ number }) => Number.isInteger(number) && number > 0);
  if (numbered.length === 0) {
    if (count === all.length) return all.map(({ name }) => name);
    const order = all.map(({ name }) => name).join(', ');
    return {
      problem: `has ${channels(count)}, and the plan ${all.length} microphones and lines: ${order}`,
      mend: 'give the microphones `channel` keys, or export a file for each: player/mic.wav',
    };
  }
  const sorted = numbered.toSorted((a, b) => a.number - b.number);
  const highest = sorted.at(-1)?.number ?? 0;
  if (count === sorted.length) return sorted.map(({ name }) => name);
  if (count >= highest)
    return Array.from({ length: count }, (_, i) => sorted.find(({ number }) => number === i + 1)?.name ?? '');
  return {
    problem: `has ${channels(count)}, and the plan's channel keys go to ${highest}`,
    mend: 'export all channels, or a file for each microphone: player/mic.wav',
  };
}

const channels = (count: number): string => `${count} channel${count === 1 ? '' : 's'}`;
