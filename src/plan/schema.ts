/**
 * The plan: every key of the format, each with what it means, read into `PlanData`. Version and units are each file's own
 * (heading.ts), `studio` has been followed by now.
 */
import type { PlanData } from './plan.ts';
import { floor, limits, onHand, tolerance } from './schema-demands.ts';
import { described, into, type Reader } from './schema-frame.ts';
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

/** Checked with the heading of each file. */
const version = described(text, { takes: 'choice', choices: ['1'] });
const units = described(text, { takes: 'choice', choices: ['m', 'ft'] });

export const planSchema: Reader<Omit<PlanData, 'units'>> = into(
  keyed('a plan', {
    spillcheck: may(version, 'version of the plan format: 1', 1),
    title: may(text, 'what the plan is of', 'Brass band in the school hall'),
    units: may(units, 'm or ft: what bare lengths count in, m if unsaid', 'ft'),
    studio: may(text, 'a plan that this one lays itself over, by relative path', 'hall.yaml'),
    air: or(air, {}, '{temperature, humidity}'),
    rooms: or(named('a room', room), new Map(), 'rooms by name; none: a free field', {
      hall: {
        size: [9, 7],
        height: 3.6,
        floor: 'wood-on-joists',
        ceiling: 'acoustic-tile',
        walls: 'plaster',
      },
    }),
    partitions: or(named('a partition', partition), new Map(), 'walls between rooms, by name', {
      'hall-store': { between: ['hall', 'store'], wall: 'stud-gypsum-insulated' },
    }),
    baffles: or(named('a baffle', baffle), new Map(), 'screens, by name', {
      screen: { from: [3, 2], to: [4.5, 2], height: 1.5, 'made-of': 'upholstered-screen' },
    }),
    players: or(named('a player', player), new Map(), 'people who play, by name', {
      tuba: { at: [2, 4], facing: 'cornet', plays: 'tuba', later: 'leave' },
    }),
    sources: or(named('a source', source), new Map(), 'whatever else sounds, by name', {
      'bass-amp': { instrument: 'bass-amp', at: [1, 1, 0.4], facing: 45, level: '92 dBC at 1 m' },
    }),
    listeners: or(named('a listener', listener), new Map(), 'people who do not play, by name', {
      producer: { at: [1, 1], facing: 'drums' },
    }),
    mics: or(named('a mic', mic), new Map(), 'microphones and lines, by name', {
      'voice-mic': { for: 'voice', near: { distance: '20 cm' }, pattern: 'figure-8', 'null-at': 'guitar' },
    }),
    passages: or(named('a list of names', listOf(name, 1)), new Map(), 'who sounds together, by name', {
      verse: ['singer', 'guitar'],
      chorus: ['singer', 'guitar', 'drums'],
    }),
    limits: or(limits, { seeEachOther: [], hear: new Map(), weighting: 'own' }, 'what must be met', {
      'signal-to-bleed': { 'voice-mic': '20 dB' },
      'three-to-one': true,
    }),
    'on-hand': or(onHand, { baffles: [], absorption: [], mics: [] }, 'what there is to use', {
      baffles: [{ 'made-of': 'upholstered-screen', width: 1.5, height: 1.5, count: 2 }],
    }),
    floor: or(floor, { noStands: new Map(), walkways: new Map() }, 'where nothing may stand', {
      'elbow-room': 0.6,
    }),
    tolerance: or(tolerance, {}, 'how sure each figure is', { aim: 8, place: '10 cm' }),
  }),
  ({ spillcheck: _version, units: _units, studio: _studio, ...plan }) => plan,
);
