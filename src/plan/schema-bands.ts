/** Values by octave band, tables by angle, and what is made of them: finishes and constructions. */
import type { AngleTable, ByBand, Construction, Finish } from './plan-values.ts';
import { readsAsQuantity } from './quantity.ts';
import {
  type About,
  below,
  by,
  type Complain,
  forms,
  into,
  type Reader,
  reader,
  wrongShape,
} from './schema-frame.ts';
import { keyed, may } from './schema-maps.ts';
import { decibels, listOf, name, nameOf, quantity, share } from './schema-values.ts';
import type { MapNode } from './tree.ts';

/** Nominal octaves, IEC 61260-1. */
const OCTAVES = [63, 125, 250, 500, 1000, 2000, 4000, 8000];

/** One value for all bands, or a map of them. Keys in `beside` belong to someone else. */
export function byBand(item: Reader<number>, beside: readonly string[] = []): Reader<ByBand> {
  return reader({ takes: 'bands', item, beside: {} }, (node, complain) => {
    if (node.kind === 'scalar') return by(item, node, complain);
    if (node.kind !== 'map') return void complain(wrongShape(node, 'one value or a map by band'));
    const points = bandsOf(node, beside, complain, (value, key) => below(item, value, key, complain));
    if (points.length > 0) return { kind: 'bands', points } as const;
    if (node.entries.size <= beside.length)
      complain(wrongShape(node, 'a map by band such as {125: 0.2, 1000: 0.5}'));
    return undefined;
  });
}

type ReadBand<T> = (node: MapNode | Parameters<typeof below>[1], key: string) => T | undefined;

/** What stands at each band of a map, by ascending frequency. */
function bandsOf<T>(
  map: MapNode,
  beside: readonly string[],
  complain: Complain,
  read: ReadBand<T>,
): [number, T][] {
  const found = new Map<number, T>();
  for (const [key, { node }] of map.entries) {
    if (beside.includes(key)) continue;
    const octave = octaveOf(key);
    if (octave === null) complain(noBand(key));
    else if (found.has(octave))
      complain({
        code: 'BAD_NAME',
        message: `gives the band of ${octave} Hz twice`,
        mend: 'take one out',
        path: [key],
      });
    else {
      const value = read(node, key);
      if (value !== undefined) found.set(octave, value);
    }
  }
  return [...found].sort(([a], [b]) => a - b);
}

function octaveOf(key: string): number | null {
  const [whole, digits, kilo] = /^(\d+(?:\.\d+)?)\s*(k?)(?:hz)?$/i.exec(key.trim()) ?? [];
  const hertz = Number(digits) * (kilo ? 1000 : 1);
  return whole !== undefined && OCTAVES.includes(hertz) ? hertz : null;
}

function noBand(key: string) {
  const message = 'is not an octave band';
  return {
    code: 'UNKNOWN_KEY',
    message,
    mend: `the bands are ${OCTAVES.join(', ')} (Hz)`,
    path: [key],
  } as const;
}

export const TABLE_KEY = 'angle_deg';

/** `angle_deg` from 0 to 180 and a column of dB for each band. */
const tableInFull: Reader<AngleTable> = reader(tableAbout(), (node, complain) => {
  if (node.kind !== 'map')
    return void complain(wrongShape(node, `a map of ${TABLE_KEY} and a list for each band`));
  const written = node.entries.get(TABLE_KEY)?.node;
  if (!written) {
    return void complain({
      code: 'MISSING',
      message: 'is missing',
      mend: `add \`${TABLE_KEY}: [0, 90, 180]\``,
      path: [TABLE_KEY],
    });
  }
  const angles = below(anglesUp, written, TABLE_KEY, complain);
  const column = listOf(decibels([-100, 20]), angles?.length ?? 0, angles?.length);
  const columns = bandsOf(node, [TABLE_KEY], complain, (value, key) => below(column, value, key, complain));
  if (node.entries.size === 1) complain(wrongShape(node, 'a table with a list for at least one band'));
  return angles && { angles, columns: columns.map(([hertz, levels]) => ({ hertz, levels })) };
});

function tableAbout(): About {
  const item = listOf(decibels([-100, 20]), 2);
  return {
    takes: 'bands',
    item,
    beside: { [TABLE_KEY]: listOf(quantity('angle', [0, 180]), 2) },
    needed: TABLE_KEY,
  };
}

/** The name of a file with one has given way to the table by now: see `readTables`. */
const tableByName = reader<AngleTable>(
  { takes: 'text' },
  (node, complain) =>
    void complain(wrongShape(node, `the name of a file, or a map of ${TABLE_KEY} and a list for each band`)),
);

export const angleTable: Reader<AngleTable> = forms({ scalar: tableByName, map: tableInFull });

const anglesUp = into(listOf(quantity('angle', [0, 180]), 2), (angles, complain) => {
  const rises = angles.every((angle, i) => i === 0 || angle > (angles[i - 1] ?? 0));
  if (rises && angles[0] === 0 && angles.at(-1) === 180) return angles;
  const message = 'must rise from 0 to 180 degrees';
  return void complain({
    code: 'BAD_RANGE',
    message,
    mend: 'write angles such as [0, 30, 60, 90, 120, 150, 180]',
  });
});

const absorption = share([0, 1]);
const absorptionByBand = into(byBand(absorption), (value): Finish => ({ absorption: value }));

/** A finish of the catalogue, or absorption, one number or by band. */
export const finish: Reader<Finish> = forms({
  scalar: nameOr('a finish', absorptionByBand, nameOf('finishes')),
  map: absorptionByBand,
});

/** A word is a name; anything that reads as a number is a value. */
export function nameOr<T>(
  what: string,
  value: Reader<T>,
  named: Reader<string> = name,
): Reader<{ readonly name: string } | T> {
  return reader<{ readonly name: string } | T>(
    { takes: 'forms', forms: [named, value] },
    (node, complain) => {
      if (node.kind !== 'scalar' || typeof node.value === 'boolean')
        return void complain(wrongShape(node, what));
      if (typeof node.value === 'number' || readsAsQuantity(node.text)) return by(value, node, complain);
      const written = by(named, node, complain);
      return written === undefined ? undefined : { name: written };
    },
  );
}

/** Sound reduction index by band, dB. */
const reduction = byBand(decibels([0, 120]));

/** From a bed sheet to a metre of concrete. */
const mass = quantity('surface-mass', [0.05, 3000]);

const constructionInFull: Reader<Construction> = into(
  keyed(
    'a construction',
    {
      reduction: may(reduction, 'sound reduction index in dB, one number or by band', { 125: 20, 1000: 35 }),
      mass: may(mass, 'mass in kg/m², for an estimate by the mass law where no more is known'),
      absorption: may(byBand(absorption), 'absorption of its faces from 0 to 1, one number or by band'),
    },
    { bonds: [{ among: ['reduction', 'mass'], least: 1, most: 1 }] },
  ),
  ({ reduction: index, mass: weight, ...faces }, complain): Construction | undefined => {
    if (index !== undefined && weight === undefined) return { reduction: index, ...faces };
    if (index === undefined && weight !== undefined) return { mass: weight, ...faces };
    const mend = 'give `reduction`, or `mass` where no more is known';
    const message =
      index === undefined ? 'says nothing of what it lets through' : 'gives both `reduction` and `mass`';
    return void complain({ code: 'WRONG_SHAPE', message, mend });
  },
);

/** What walls, doors, panes and panels are made of: a name from their shelf of the catalogue, or figures. */
export const construction = (
  shelf: 'constructions' | 'doors' | 'glazings' | 'panels',
): Reader<Construction> =>
  forms({
    scalar: into(nameOf(shelf), (written): Construction => ({ name: written })),
    map: constructionInFull,
  });
