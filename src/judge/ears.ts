/** How loud it is at each player's ears, by air: for the caution on hearing. */
import { BAND_COUNT, decibels, sameInAllBands } from '../acoustics/bands.ts';
import { energyAt, transfer } from '../acoustics/transfer.ts';
import { WEIGHTS } from '../acoustics/weighting.ts';
import type { Capsule, Mic, Player, Scene } from '../scene/scene.ts';
import type { EarRow } from './report.ts';

/** A-weighted level in dB at the ears of everyone, all sources sounding, own instrument included. */
export function earLevels(scene: Scene): EarRow[] {
  const listening = { ...scene, capsules: scene.players.map(earOf), mics: scene.players.map(earMic) };
  const result = transfer(listening);
  return scene.players.flatMap(({ name }, ear) => {
    let energy = 0;
    for (let source = 0; source < result.sources; source++) {
      for (let band = 0; band < BAND_COUNT; band++) {
        energy += energyAt(result, source, ear, band) * (WEIGHTS.A[band] ?? 0);
      }
    }
    return energy > 0 ? [{ player: name, level: decibels(energy) }] : [];
  });
}

/** The ears as one omnidirectional point, without the head between them. */
const earOf = (player: Player, index: number): Capsule => ({
  name: player.name,
  mic: index,
  at: player.ears,
  aim: [0, 0, 1],
  room: player.room,
  pattern: { name: 'omni', a: sameInAllBands(1), table: null },
  nullFloor: sameInAllBands(0),
  proximity: false,
  ree: sameInAllBands(1),
});

const earMic = (player: Player, index: number): Mic => ({
  name: player.name,
  path: player.path,
  purpose: 'room',
  line: false,
  capsules: [index],
  stereo: null,
  wanted: [],
  ignored: [],
  limit: 0,
  limitFrom: '',
  mix: 0,
  highPass: null,
  lowPass: null,
  filter: null,
  inside: null,
  switchable: [],
  channels: [],
});
