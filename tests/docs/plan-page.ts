/** shared/plan.md: every key of the plan format, from the schema that reads plans. */
import { shelvesOf } from '../../src/catalogue/entries.ts';
import type { Key, ShapeOf } from '../../src/plan/schema.ts';
import { explainKey, keyPlaces } from '../../src/report/explain.ts';
import { shippedCatalogue } from '../../src/shipped.ts';

export const PLAN_PAGE = 'shared/plan.md';

type Group = {
  readonly title: string;
  /** Keys of the top level. */
  readonly keys: readonly string[];
  readonly about: string;
  /** A whole plan that uses them. */
  readonly example: string;
};

const GROUPS: readonly Group[] = [
  {
    title: 'Heading and air',
    keys: ['spillcheck', 'title', 'units', 'studio', 'air'],
    about:
      'A plan begins with its format version. One that names a studio lists only what differs from it that day; `~` removes an entry of the studio.',
    example: `spillcheck: 1
title: Two fiddles in a barn
units: ft
air: {temperature: 12 °C, humidity: 70}
rooms:
  barn: {size: [30, 22], height: 14, walls: wood-on-joists}
players:
  ann: {at: [12, 10], facing: ben, plays: violin, level: 84 dBA at 3 ft}
  ben: {at: [18, 10], facing: ann, plays: violin, dynamic: mf}
mics:
  ann-mic: {for: ann, near: {distance: 16 in}}
  ben-mic: {for: ben, near: {distance: 16 in}}`,
  },
  {
    title: 'Rooms, walls and baffles',
    keys: ['rooms', 'partitions', 'baffles'],
    about:
      'Rooms that touch, or lie inside each other, need a partition between them. A plan without rooms is computed in a free field.',
    example: `spillcheck: 1
rooms:
  live-room:
    size: [8, 6]
    height: 3.2
    floor: wood-on-joists
    ceiling: acoustic-tile
    walls: {left: curtain-heavy, right: plaster, top: plaster, bottom: window-glass}
    patches: {rug: {on: floor, finish: rug-on-underlay, area: 6 m2}}
    contents: {chair-wooden: 12}
  booth: {size: [2.5, 2], origin: [8, 0], height: 2.4, booth: true, reverberation: 0.25}
partitions:
  booth-wall:
    between: [live-room, booth]
    wall: stud-gypsum-insulated
    doors: [{at: [8, 0.6], width: 0.8, height: 2, leaf: solid-core-sealed, state: ajar}]
    windows: [{at: [8, 1.5], width: 0.8, height: 1, sill: 1, glass: glass-6}]
baffles:
  gobo: {from: [3, 2], to: [4.5, 2], height: 1.5, made-of: duvet}
players:
  drums: {at: [2, 4], facing: 90, plays: drum-kit}
  singer: {at: [9.5, 1], facing: drums, standing: true, plays: singing-voice}
mics:
  overheads: {for: drums, at: [2.2, 4, 2], stereo: {spaced: 90 cm}}
  vocal: {for: singer, near: {distance: 15 cm}}`,
  },
  {
    title: 'People and what they play',
    keys: ['players', 'sources', 'listeners'],
    about:
      'A player stands where the instrument is played. What sounds somewhere else (an amplifier, a wedge, a choir) is a source; who only listens is a listener.',
    example: `spillcheck: 1
rooms:
  hall: {size: [12, 9], height: 4.5}
players:
  singer:
    at: [6, 3]
    facing: 0
    standing: true
    cue: {wearing: closed, level: 85 dBA}
    plays:
      voice: {instrument: singing-voice, level: 82 dBA at 1 m, later: tune}
      guitar: steel-string-guitar
  drums:
    at: [3, 6]
    facing: singer
    riser: 30 cm
    plays: drum-kit
    playing: brushes
    parts: {snare: {level: 92 dBA at 1 m}, tom-2: ~}
  bass: {at: [9, 6], facing: drums}
sources:
  bass-amp: {instrument: bass-amp, at: [10, 6.5, 0.4], facing: 225, player: bass, level: 88 dBA at 1 m}
  wedge: {instrument: monitor-wedge, at: [6, 4.2, 0.2], facing: 180, repeats: voice, level: 80 dBA at 1 m}
listeners:
  producer: {at: [2, 2], facing: singer}
mics:
  vocal: {for: voice, near: {distance: 8 cm}, pattern: supercardioid}
  bass-di: {for: bass-amp, di: true}`,
  },
  {
    title: 'Mics and DIs',
    keys: ['mics'],
    about:
      'A mic stands at a point (`at`) or by its source (`near`). A stereo pair is one mic, a DI is a mic without a position.',
    example: `spillcheck: 1
rooms:
  church: {size: [14, 10], height: 7}
players:
  flute: {at: [5, 5], facing: 180, plays: flute}
  cello: {at: [8, 5], facing: 200, plays: cello, later: tune}
mics:
  flute-mic: {for: flute, near: {distance: 40 cm, angle: 30, side: left, above: 20 cm}, null-at: cello, aim-loss: 4}
  cello-mic: {for: cello, near: {distance: 40 cm}, pattern: hypercardioid, high-pass: {at: 60 Hz, slope: 18}, mix: -3}
  main: {for: all, at: [6.5, 2, 2.8], aim: {bearing: 0, tilt: -15}, stereo: ortf, channel: [1, 2]}
  far: {for: room, at: [6.5, 0.8, 3.5], pattern: omni, use: false}`,
  },
  {
    title: 'Passages and limits',
    keys: ['passages', 'limits'],
    about:
      'Without passages everyone plays at once. Limits are what `check` judges; every mic has one for signal to bleed even where the plan sets none.',
    example: `spillcheck: 1
rooms:
  den: {size: [7, 5], height: 2.7, walls: curtain-heavy}
players:
  singer: {at: [2, 2.5], facing: guitar, plays: singing-voice, later: replace}
  guitar: {at: [5, 2.5], facing: singer, plays: steel-string-guitar, later: tune}
mics:
  vocal: {for: singer, near: {distance: 15 cm}}
  guitar-mic: {for: guitar, near: {distance: 20 cm}}
  main: {for: all, at: [3.5, 1, 1.8], aim: {bearing: 0}, stereo: ortf}
passages:
  verse: [singer, guitar]
  solo: [guitar]
limits:
  signal-to-bleed: {vocal: 15 dB, guitar-mic: 12 dB}
  ghost: {singer: -25}
  three-to-one: true
  see-each-other: [[singer, guitar]]
  hear: {singer: [guitar]}
  balance: [{of: singer, over: strings, least: 3 dB}]
  direct-to-reverberant: {main: -3 dB}
  session-length: 3 h`,
  },
  {
    title: 'On hand, floor and tolerance',
    keys: ['on-hand', 'floor', 'tolerance'],
    about:
      '`suggest` uses what is on hand, and keeps clear what the floor must keep clear. The tolerance says how far the session may differ from the plan.',
    example: `spillcheck: 1
rooms:
  den: {size: [7, 5], height: 2.7}
players:
  singer: {at: [2, 2.5], facing: guitar, plays: singing-voice}
  guitar: {at: [5, 2.5], facing: singer, plays: steel-string-guitar}
mics:
  vocal: {for: singer, near: {distance: 15 cm}}
  guitar-mic: {for: guitar, near: {distance: 20 cm}}
on-hand:
  baffles: [{made-of: duvet, width: 1.5, height: 1.5, count: 2}]
  absorption: [{finish: curtain-heavy, area: 6, count: 2}]
  mics: [{patterns: [omni, cardioid, figure-8], count: 2}]
floor:
  no-stands: {stairs: [[0, 0], [1, 0], [1, 1], [0, 1]]}
  walkways: {exit: {along: [[6.5, 0], [6.5, 5]], width: 90 cm}}
  elbow-room: 0.6
tolerance: {aim: 8, facing: 20, place: 10 cm, level: 3, seed: 1}`,
  },
];

const INTRO = `# Every key of a plan

<!-- written by npm run docs, from the schema that reads plans -->

A plan is a YAML file. Keys are in lower case; NAME is any name of your choice. A key in **bold** is required.
\`spillcheck explain KEY\` prints the same on the command line, \`spillcheck catalogue\` lists what the catalogue holds, and
editors show the descriptions as you type (\`spillcheck start\` points them to the schema).

Lengths count in metres unless \`units\` says feet; any value may give its own unit (\`30 cm\`, \`6 ft\`, \`5 ft 3 in\`). Points are
[x, y] or [x, y, z], y up the page. Bearings are in degrees, 0 up the page, 90 to the right. Octave bands are
63 to 8000 Hz: \`{125: 0.2, 1000: 0.5}\`; bands between two that are given are interpolated.`;

type Place = ReturnType<typeof keyPlaces>[number];

const shelves = shelvesOf(shippedCatalogue());
const above = ({ steps }: Place): string => steps.slice(0, -1).join('.');

export function planPage(): string {
  const places = keyPlaces();
  const described = new Map<Key, string>();
  const sections = GROUPS.flatMap(({ title, keys, about, example }) => {
    const inside = places.filter(({ steps: [first = ''] }) => keys.includes(first.replace('[]', '')));
    const top = inside.filter(({ steps }) => steps.length === 1);
    const below = [...mapsIn(inside.filter(({ steps }) => steps.length > 1)).values()];
    const plan = `\`\`\`yaml\n${example}\n\`\`\``;
    return [`## ${title}`, about, plan, tableOf(top), ...below.flatMap((own) => mapSection(own, described))];
  });
  return `${[INTRO, ...sections].join('\n\n')}\n`;
}

/** Keys by the map that holds them, at the first place where there is one such. */
function mapsIn(places: readonly Place[]): Map<ShapeOf<'object'>, Place[]> {
  const found = new Map<ShapeOf<'object'>, Place[]>();
  for (const place of places) {
    const own = found.get(place.map) ?? [];
    if (own[0] === undefined || above(own[0]) === above(place)) found.set(place.map, [...own, place]);
  }
  return found;
}

/** Keys that another map has are named, with the map that has them. */
function mapSection(own: readonly Place[], described: Map<Key, string>): string[] {
  const fresh = own.filter(({ key }) => !described.has(key));
  const others = own.filter(({ key }) => described.has(key));
  const path = above(own[0] as Place).replaceAll('[]', '');
  const { what } = (own[0] as Place).map;
  for (const { key } of fresh) described.set(key, path);
  const elsewhere = [...new Set(others.map(({ key }) => described.get(key) ?? ''))].map((at) => {
    const names = others
      .filter(({ key }) => described.get(key) === at)
      .map(({ steps }) => `\`${steps.at(-1)}\``);
    return `As in \`${at}\`: ${names.join(', ')}.`;
  });
  const rules = [...new Set(own.flatMap((one) => explainKey(one, shelves).rules))];
  return [
    `### \`${path}\`: ${what}`,
    ...(fresh.length > 0 ? [tableOf(fresh)] : []),
    ...elsewhere,
    ...(rules.length > 0 ? [rules.map((rule) => `- ${capital(rule)}.`).join('\n')] : []),
  ];
}

function tableOf(places: readonly Place[]): string {
  const rows = places.map((place) => {
    const { path, presence, description, values, default: usual } = explainKey(place, shelves);
    const name = `\`${path.split('.').at(-1)}\``;
    const shown = presence === 'required' ? `**${name}**` : name;
    return `| ${[shown, capital(description), values.join('; '), usual ?? ''].map(cell).join(' | ')} |`;
  });
  return ['| key | meaning | values | default |', '| --- | --- | --- | --- |', ...rows].join('\n');
}

const cell = (text: string): string => text.replaceAll('|', '\\|');
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
