/** What a day with people in a room calls for besides sound: each word once, where the plan gives cause. */
import type { Finding } from '../../finding.ts';
import type { Scene } from '../../scene/scene.ts';

/** Cautions on booths, ways out, standing screens and mains, at the first entry of the plan that gives cause. */
export function safetyCautions({ rooms, panels, sources, players }: Scene): Finding[] {
  const booth = rooms.find((room, i) => room.booth && players.some((player) => player.room === i));
  const baffle = panels.find((panel) => panel.booth === null);
  const mains = sources.find(({ instrument }) => instrument !== null && OFF_THE_MAINS.test(instrument));
  return [
    ...(booth ? [caution(booth, `${booth.name} is closed: ${AIR}`)] : []),
    ...(baffle ? [caution(baffle, WAYS_OUT), caution(baffle, STANDING)] : []),
    ...(mains ? [caution(mains, MAINS)] : []),
  ];
}

/** Names of the catalogue for what takes mains. */
const OFF_THE_MAINS = /(^|-)(amp|wedge|loudspeaker)$|^practice-organ$/;

const AIR =
  'it warms up and its air is used up faster than in a room; open the door between takes and leave it when it gets close';
const WAYS_OUT = 'baffles and cables: keep the ways to every exit free, and tape down what lies across them';
const STANDING = 'baffles that stand free or are heavy: secure them so that nobody can knock them over';
const MAINS =
  'mains for amplifiers and loudspeakers: tested leads, a residual-current device, no liquids near them';

function caution({ path }: Pick<Finding, 'path'>, message: string): Finding {
  return { code: 'CAUTION', severity: 'warning', path, message };
}
