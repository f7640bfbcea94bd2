/**
 * The plan: every key of the format, each with what it means, read into `PlanData`. Version and units are each file's own
 * (heading.ts), `studio` has been followed by now.
 */
import type { PlanData } from './plan.ts';
import { floor, limits, onHand, tolerance } from './schema-demands.ts';
import { into, type Reader } from './schema-frame.ts';
import { keyed, may, named, or } from './schema-maps.ts';
import { mic } from './schema-mics.ts';
import { listener } from './schema-people.ts';
import { player } from './schema-players.ts';
import { room } from './schema-rooms.ts';
import { source } from './schema-sources.ts';
import { listOf, name, quantity, text } from './schema-values.ts';
import { baffle, partition } from './schema-walls.ts';

const air = keyed('the air', {
  temperature: may(quantity('temperature', [-30, 60]), '°C, 20 if unsaid'),
  humidity: may(quantity('percent', [1, 100]), 'relative, %, 50 if unsaid'),
});

export const planSchema: Reader<PlanData> = into(
  keyed('a plan', {
    spillcheck: may(text, 'version of the plan format: 1'),
    title: may(text, 'what the plan is of'),
    units: may(text, 'm or ft: what bare lengths count in, m if unsaid'),
    studio: may(text, 'a plan that this one lays itself over, by relative path'),
    air: or(air, {}, '{temperature, humidity}'),
    rooms: or(named('a room', room), new Map(), 'rooms by name; none: a free field'),
    partitions: or(named('a partition', partition), new Map(), 'walls between rooms, by name'),
    baffles: or(named('a baffle', baffle), new Map(), 'screens, by name'),
    players: or(named('a player', player), new Map(), 'people who play, by name'),
    sources: or(named('a source', source), new Map(), 'whatever else sounds, by name'),
    listeners: or(named('a listener', listener), new Map(), 'people who do not play, by name'),
    mics: or(named('a mic', mic), new Map(), 'microphones and lines, by name'),
    passages: or(named('a list of names', listOf(name, 1)), new Map(), 'who sounds together, by name'),
    limits: or(limits, { seeEachOther: [], hear: new Map(), weighting: 'own' }, 'what must be met'),
    'on-hand': or(onHand, { baffles: [], absorption: [], mics: [] }, 'what there is to use'),
    floor: or(floor, { noStands: new Map(), walkways: new Map() }, 'where nothing may stand'),
    tolerance: or(tolerance, {}, 'how sure each figure is'),
  }),
  ({ spillcheck: _version, units: _units, studio: _studio, ...plan }) => plan,
);
