/** What everyone's ears get of every source, by air: computed once and read by whoever judges hearing or exposure. */
import { bands, sameInAllBands } from '../../acoustics/bands.ts';
import { type Stage, stageOf } from '../../acoustics/stage.ts';
import { energyAt, type Transfer, transferOn } from '../../acoustics/transfer.ts';
import { WEIGHTS, weightedSum } from '../../acoustics/weighting.ts';
import type { Capsule, Mic, Player, Scene } from '../../scene/scene.ts';

/** Energies of every source at each player's ears: capsule i is player i, before headphones. `stage` is the scene's own. */
export function earTransfer(scene: Scene, stage: Stage = stageOf(scene)): Transfer {
  const listening = { ...scene, capsules: scene.players.map(earOf), mics: scene.players.map(earMic) };
  return transferOn({ ...stage, scene: listening });
}

/** A-weighted energy of some sources. */
export type Ear = (sources: readonly number[]) => number;

/** What reaches a player's ear, past the headphones worn. */
export function earWith({ players }: Scene, ears: Transfer, player: number): Ear {
  const passes = players[player]?.cue.passes;
  const weights = bands((band) => (WEIGHTS.A[band] ?? 0) * (passes?.[band] ?? 1));
  const ofOne = (source: number) =>
    weightedSum(
      bands((band) => energyAt(ears, source, player, band)),
      weights,
    );
  return (sources) => sources.reduce((sum, source) => sum + ofOne(source), 0);
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
