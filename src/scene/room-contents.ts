/** What stands in a room, and who: absorption areas in m² by band. */
import { type Bands, bands } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { ContentsEntry, RoomEntry } from '../plan/plan-rooms.ts';
import { figureNotes } from './figure-notes.ts';
import { lookUp } from './lookup.ts';
import type { Content, Figure } from './material.ts';
import { fault } from './notes.ts';
import { span } from './polygon.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';
import type { Panel } from './scene.ts';

export type Head = { readonly room: number; readonly standing: boolean };

/** Things counted by the piece or by the area they cover. */
export function contentsArea(job: RoomJob, place: RoomPlace, entry: RoomEntry): Bands {
  const areas = [...entry.contents].flatMap(([name, amount]) => {
    const path = [...place.path, 'contents', name];
    const content = lookUp(job.materials.contents, name, 'thing in a room', { path, notes: job.notes });
    return content ? (oneContent(job, { content, amount, path, floor: place.area }) ?? []) : [];
  });
  return sumOf(areas);
}

type Amount = {
  readonly content: Content;
  readonly amount: ContentsEntry;
  readonly path: Path;
  readonly floor: number;
};

function oneContent(job: RoomJob, { content, amount, path, floor }: Amount): Bands | null {
  const counted = 'count' in amount;
  const figure = counted ? content.each : content.perArea;
  if (!figure) {
    const message = counted ? `${content.name} goes by its area` : `${content.name} goes by the piece`;
    fault(
      job.notes,
      'WRONG_SHAPE',
      path,
      message,
      counted ? 'write an area, such as 6 m2' : 'write a count, such as 2',
    );
    return null;
  }
  if (!counted && amount.area > floor + 1e-6) {
    fault(
      job.notes,
      'BAD_RANGE',
      path,
      `${content.name} covers more than the floor of ${floor.toFixed(2)} m²`,
    );
    return null;
  }
  return times(job, content.name, figure, { by: counted ? amount.count : amount.area, path });
}

/** Everyone in the room, seated or standing. */
export function peopleArea(job: RoomJob, index: number, people: readonly Head[]): Bands {
  const here = people.filter(({ room }) => room === index);
  const path = job.places.rooms[index]?.path ?? [];
  const areas = (['person-seated', 'person-standing'] as const).flatMap((name) => {
    const count = here.filter(({ standing }) => standing === (name === 'person-standing')).length;
    const each = job.materials.contents.get(name)?.each;
    if (!each) throw new Error(`catalogue: no ${name}`);
    return count > 0 ? [times(job, name, each, { by: count, path })] : [];
  });
  return sumOf(areas);
}

/** Both faces of every baffle in the room: 2·w·h·α. */
export function bafflesArea(index: number, panels: readonly Panel[]): Bands {
  const own = panels.filter(({ room, booth }) => room === index && booth === null);
  return sumOf(
    own.map(({ a, b, low, high, alpha }) => alpha.map((share) => 2 * span(a, b) * (high - low) * share)),
  );
}

export function sumOf(areas: readonly Bands[]): Bands {
  return bands((band) => areas.reduce((sum, area) => sum + (area[band] ?? 0), 0));
}

function times(job: RoomJob, name: string, figure: Figure, { by, path }: { by: number; path: Path }): Bands {
  figureNotes(job.notes, figure, name, path);
  return figure.values.map((value) => by * value);
}
