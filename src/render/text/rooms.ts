import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { Report, RoomRow } from '../../judge/report.ts';
import { type Column, plain, table } from '../table.ts';
import { figure, hertzName } from '../words.ts';
import { heading, type InUnits, type ReportLayout } from './layout.ts';

const columns = (layout: InUnits): Column[] => [
  { head: 'room', align: 'left', flexible: true },
  { head: unitInHead(layout) ?? 'volume', align: 'right' },
  { head: 'T60 500 Hz', align: 'right' },
  { head: '1 kHz', align: 'right' },
  { head: '', align: 'left' },
  { head: 'critical distance', align: 'right' },
  { head: 'Schroeder', align: 'right' },
];

/** Size, reverberation and what follows from it: how far the direct sound leads, and how low the figures hold. */
export function rooms(report: Report, layout: ReportLayout & InUnits): string[] {
  const title = heading('Rooms', layout, 'rooms');
  if (report.rooms.length === 0) {
    return [title, '  None in the plan: open air, only direct ways and panels.'];
  }
  const [head = '', ...rows] = table(
    columns(layout),
    report.rooms.map((room) => roomCells(room, layout).map(plain)),
    layout.width,
  );
  return [title, layout.paint.faint(head), ...rows];
}

/** Reverberation time by band and method, seconds. */
export function decays({ rooms }: Report, layout: ReportLayout): string[] {
  if (rooms.length === 0) return [];
  const columns: Column[] = [
    { head: 'T60, seconds', align: 'left', flexible: true },
    ...NOMINAL_BANDS.map((hertz) => ({ head: hertzName(hertz), align: 'right' }) as const),
  ];
  const rows = rooms.flatMap((room) => [
    decayRow(`${room.name}, Sabine`, room.sabine),
    decayRow(`${room.name}, Eyring`, room.eyring),
    ...(room.measured ? [decayRow(`${room.name}, measured`, room.measured)] : []),
  ]);
  const [head = '', ...lines] = table(
    columns,
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  return [layout.paint.strong('Reverberation by band'), layout.paint.faint(head), ...lines];
}

const decayRow = (label: string, times: Float64Array): string[] => [
  label,
  ...Array.from(times, (seconds) => figure(seconds, 2)),
];

/** Cubic feet are so many and so long a word that beside each figure they would leave no room for names. */
const unitInHead = ({ lengths }: InUnits): string | null =>
  lengths.units === 'ft' ? lengths.volume(0)[1] : null;

function roomCells(room: RoomRow, layout: InUnits): string[] {
  const { lengths } = layout;
  const [volume, unit] = lengths.volume(room.volume);
  const time = room.measured ?? room.eyring;
  return [
    room.name,
    unitInHead(layout) === null ? `${volume} ${unit}` : volume,
    `${figure(time[BAND_500] ?? 0, 2)} s`,
    `${figure(time[BAND_1K] ?? 0, 2)} s`,
    room.measured ? 'measured' : 'Eyring',
    lengths.way(room.criticalDistance, 2),
    `${figure(room.schroeder, 0)} Hz`,
  ];
}

const BAND_500 = NOMINAL_BANDS.indexOf(500);
const BAND_1K = NOMINAL_BANDS.indexOf(1000);
