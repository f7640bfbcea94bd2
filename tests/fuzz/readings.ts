/** Readings that mostly fit a plan: tables and takes, then torn. */
import { sourcesByName } from '../../src/judge/why.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { tone, waveFile } from '../line-check/wave-files.ts';
import type { Dice } from './dice.ts';
import { tear } from './tear.ts';

type File = { readonly name: string; readonly bytes: Uint8Array };

export function readingsFor(scene: Scene, dice: Dice): File {
  const file = dice.chance(0.7) ? tableFor(scene, dice) : takeFor(scene, dice);
  return dice.chance(0.5) ? { ...file, bytes: tear(file.bytes, file.bytes, dice) } : file;
}

const LEVELS = ['', '-', '-23.4', '74 dBA', '-inf', '1e400', 'x', '300', '-300', '0'];

function tableFor({ mics, ...scene }: Scene, dice: Dice): File {
  const who = [...sourcesByName({ mics, ...scene }).keys()].filter(() => dice.chance(0.8));
  const banded = dice.chance(0.4);
  const level = () => (dice.chance(0.05) ? dice.pick(LEVELS) : dice.between(40, 110).toFixed(1));
  const quoted = (name: string) => `"${name.replaceAll('"', '""')}"`;
  const head = ['played', ...(banded ? ['band'] : []), ...mics.map(({ name }) => quoted(name))];
  const rows = [...who.map(quoted), ...(dice.chance(0.3) ? ['noise'] : [])].flatMap((name) =>
    (banded ? [125, 1000] : [null]).map((band) => [name, ...(band ? [band] : []), ...mics.map(level)]),
  );
  return { name: 'fuzz.csv', bytes: Buffer.from([head, ...rows].map((row) => row.join(',')).join('\n')) };
}

function takeFor(scene: Scene, dice: Dice): File {
  const plain = [...sourcesByName(scene).keys()].filter((name) => /^[\w-]+$/.test(name));
  const name = `${plain.length > 0 ? dice.pick(plain) : 'nobody'}.wav`;
  const rate = dice.pick([8000, 48_000]);
  const channels = Array.from(
    { length: dice.chance(0.8) ? Math.max(1, scene.capsules.length) : dice.whole(0, 3) },
    () => tone(dice.between(50, 4000), dice.pick([0, 0.5, 1, 1e-6]), { during: 0.3, rate }),
  );
  const [tag, bits] = dice.pick([
    [1, 16],
    [1, 24],
    [1, 32],
    [3, 32],
    [3, 64],
  ] as const);
  return { name, bytes: waveFile(channels, { rate, tag, bits, extensible: dice.chance(0.2) }) };
}
