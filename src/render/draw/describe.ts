/** The drawing in words, for whoever cannot see it. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import { counted, hertzName, micVerdict } from '../words.ts';
import type { Told } from './sheet.ts';
import type { View } from './view.ts';

export function describe({ scene, report }: Told, view: View, scale: string): string {
  const rows = [...report.pairs, ...report.mics.filter(({ pair }) => pair === null)];
  const inRoom = (room: number) => scene.rooms[room]?.name ?? 'the open';
  const sentences = [
    `Floor plan at ${scale}, microphone patterns at ${hertzName(NOMINAL_BANDS[view.band] ?? 0)}.`,
    ...(view.subtitle === '' ? [] : [`${view.subtitle}.`]),
    `${counted(scene.rooms.length, 'room')}, ${counted(scene.players.length, 'person', 'persons')}, ` +
      `${counted(scene.mics.length, 'microphone or line', 'microphones and lines')}.`,
    ...scene.players.map(
      ({ name, room, standing }) => `${name} ${standing ? 'stands' : 'sits'} in ${inRoom(room)}.`,
    ),
    ...rows.map((row) => `${row.name} for ${row.for.join(', ')}: ${micVerdict(row)}.`),
    ...view.lines.map(({ stream, row, label }) => `${stream.name} into ${row.name}: ${label}.`),
  ];
  return sentences.join(' ');
}
