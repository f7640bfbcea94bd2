/** Parts that are to be replaced and cannot be. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import type { PartRow } from '../parts/parts.ts';
import type { Report } from '../report.ts';
import { inDb } from './pitfall-figures.ts';
import type { Pitfall } from './pitfall-kinds.ts';

export function partPitfalls(scene: Scene, _result: Transfer, { parts }: Report): Pitfall[] {
  return parts.flatMap((row, index) =>
    row.limit === null ? [] : [...wedges(scene, row, index), ...tied(scene, row, index)],
  );
}

function tied(scene: Scene, row: PartRow, index: number): Pitfall[] {
  const path = scene.parts[index]?.path ?? [];
  const { name, committed, ghost, margin, mostIn } = row;
  if (committed) {
    const sentence = `${name} is to be replaced but committed: every mic for it is for others too, ${committed.because} holds most of it`;
    return [
      { kind: 'committed', about: [name], weight: 0, sentence, mend: 'give it a mic of its own', path },
    ];
  }
  if (ghost === null || margin === null || margin >= 0) return [];
  const where = mostIn === null ? '' : `, most of it in ${mostIn}`;
  const sentence = `${name} leaves a ghost of ${inDb(ghost)} dB when replaced, ${inDb(-margin)} dB too loud${where}`;
  const mend = 'move it to another room, or record it later';
  const about = mostIn === null ? [name] : [name, mostIn];
  return [{ kind: 'ghost', about, weight: -margin, sentence, mend, path }];
}

/** Loudspeakers that play into the room what is to be replaced. */
function wedges({ sources, parts }: Scene, { name, mostIn, ghost }: PartRow, index: number): Pitfall[] {
  const repeating = parts[index]?.sources.flatMap((i) => (sources[i]?.repeats ? [sources[i]] : [])) ?? [];
  return repeating.map((wedge) => {
    const where = mostIn === null ? 'in all mics that stay' : `in ${mostIn} above all`;
    const sentence = `${wedge.name} repeats ${name}, which is to be replaced: what it plays stays ${where}`;
    return {
      ...{ kind: 'wedge', about: [wedge.name, name], weight: ghost ?? 0, sentence },
      mend: `headphones instead of ${wedge.name}`,
      path: wedge.path,
    };
  });
}
