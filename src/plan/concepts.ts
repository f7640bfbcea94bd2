/** What the trade calls things, and the key of a plan that stands for each: answers to keys that do not exist. */
import { sameName } from '../text.ts';

/** `key` is where the concept belongs, and `says` how it is written there; `words` are what people call it. */
export type Concept = { readonly key: string; readonly says: string; readonly words: readonly string[] };

/** A row a line: key | how it is written | words. */
const ROWS = `
title | the name of the session is \`title\` | name, project, session name, gig, event, show
units | the unit of bare lengths is \`units: m\` or \`units: ft\` | metric, imperial, feet, metres
studio | a plan to build on is named by \`studio\` | base, include, extends, template, import, venue, preset
air | temperature and humidity go under \`air\` | climate, weather
rooms | a room goes under \`rooms\` | hall, church, space, live room, control room, stage, garage
rooms.size | the floor of a rectangular room is \`size: [width, depth]\` | dimensions, footprint, measurements
rooms.outline | a floor that is not a rectangle is an \`outline\` of its corners | shape, polygon, corners, vertices
rooms.booth | a booth is a room with \`booth: true\` | booth, iso booth, isolation booth, vocal booth, drum booth, iso room, isolation room, cabin
rooms.reverberation | a measured RT60 is the \`reverberation\` of a room | reverb, reverb time, reverberation time, RT60, T60, RT, decay, decay time, echo, clap, balloon, impulse response
rooms.contents | furniture and audience are listed in the \`contents\` of a room | furniture, furnishings, chairs, seats, seating, pews, sofas, tables, audience, crowd
rooms.floor | the floor covering is the \`floor\` of a room | carpet, flooring, parquet
rooms.patches | treatment on part of a surface is one of the \`patches\` of a room | absorbers, absorption, acoustic panels, acoustic treatment, treatment, foam, curtains, drapes, rugs, bass traps, diffusers, tiles
rooms.walls | the finish of the walls is the \`walls\` of a room | surfaces, materials, wall finish, wallpaper
rooms.noise | background noise is the \`noise\` of a room | background noise, ambient noise, noise floor, hvac, air conditioning, ventilation
partitions | a wall between two rooms goes under \`partitions\` | wall, party wall, dividing wall, walls between
partitions.doors | a door is one of the \`doors\` of a partition | door, doorway, hatch
partitions.windows | a window between rooms is one of the \`windows\` of a partition | window, control room window, glazing
partitions.openings | a hole in a wall is one of the \`openings\` of a partition | opening, hole, arch, archway, gap in the wall
baffles | a gobo goes under \`baffles\` | screens, gobos, panels, dividers, acoustic screens, drum shield, drum screen, acrylic screen, clear screen, duvets on stands
players | whoever plays goes under \`players\` | people, musicians, performers, band, members, artists, singers, vocalists, drummers, ensemble, persons, talent
players.plays | an instrument is what its player \`plays\` | instruments, instrument, type, drums, drum kit, kit, guitar, piano, vocals
players.cue | headphones are the \`cue\` of a player | headphones, cans, earphones, earbuds, in ears, IEM, IEMs, ears, headset, cue mix, headphone mix
players.later | what will be done with a part in the mix is \`later\` | overdub, overdubs, retake, replace, tuning, pitch correction, editing, edit, fix in the mix, keep
players.riser | the height of a platform is the \`riser\` of whoever stands on it | platform, podium, stage riser, drum riser, rostrum
players.dynamic | how loud somebody plays is \`dynamic\`, or a measured \`level\` | loudness, volume, velocity, marking
players.level | a measured level is \`level: 88 dBA at 1 m\` | SPL, dB, dBA, sound level, sound pressure level
players.facing | where somebody or something faces is \`facing\` | aim, direction, orientation, rotation, heading, looking, looks at, azimuth
players.hands | a left-handed player has \`hands: left\` | left handed, lefty, handedness
sources | whatever sounds apart from its player goes under \`sources\` | amps, amplifiers, guitar amp, bass amp, cabinets, cabs, combos, stacks, keyboard amp, organ, noise source, source
sources.instrument | what a source is, is its \`instrument\` | type, kind, model
sources.repeats | a loudspeaker is a source with \`repeats\`, the part it carries | loudspeakers, speakers, wedges, monitors, stage monitors, floor monitors, foldback, PA, sidefills, playback, talkback, front fills
sources.section | a choir or string section is a source with \`section\` | choir, strings, string section, orchestra, group of players, rows
sources.cover | a lid, blanket or cover is the \`cover\` of a source | lid, blanket, duvet, piano lid, tent, enclosure
listeners | whoever listens without playing goes under \`listeners\` | producer, conductor, director, engineer, guests, spectators
mics | a microphone goes under \`mics\` | microphones, channels, inputs, tracks, input list
mics.di | a DI is a mic with \`di: true\` | lines, line, DI, direct box, direct, DI box, DIs, direct line, direct lines, direct injection, direct input, line input, line in, pickup
mics.at | a position is \`at: [x, y]\` or \`at: [x, y, z]\` | position, location, coordinates, coords, pos, place, xyz
mics.near | a close mic is placed by \`near: {distance: 20 cm}\` | close mic, close, spot mics, spots, miked from
mics.aim | where a mic points is \`aim\` | facing, points at, pointing, pointed at, target, bearing, angle
mics.null-at | a null is pointed by \`null-at\` | null, nulls, rejection, reject, dead side
mics.pattern | a polar pattern is the \`pattern\` of a mic | polar pattern, polar, directivity pattern, cardioid, omni, figure-8, capsule, type, model
mics.stereo | a stereo pair is one mic with \`stereo\` | stereo pair, pair, pairs, ortf, xy, nos, ab, spaced pair, mid-side, ms, overheads
mics.for | what a mic is for is \`for\` | source, sources, purpose, assigned to, captures, picks up
mics.for | a room mic is a mic with \`for: room\` | room mics, ambience, ambience mics, ambient mics
mics.high-pass | a low cut is \`high-pass\` | low cut, hpf, low roll-off, rumble filter, filters, eq
mics.low-pass | a high cut is \`low-pass\` | high cut, lpf, high roll-off
mics.mix | the level of a mic in the mix is \`mix\` | fader, gain, trim, balance
mics.use | a mic that stays unused has \`use: false\` | mute, muted, off, disabled, enabled, active, skip
mics.channel | the input of a mic is \`channel\` | input, preamp, socket, stagebox
passages | who plays when is set in \`passages\` | songs, verse, verses, chorus, movements, takes, scenes, cues, numbers, pieces, arrangement
limits | what must be met is set in \`limits\` | targets, goals, requirements, thresholds, criteria, spec
limits.signal-to-bleed | the bleed allowed is set by \`signal-to-bleed\` in \`limits\` | bleed, spill, leakage, crosstalk, separation, S/B, SBR
limits.three-to-one | the 3:1 rule is \`three-to-one\` in \`limits\` | 3:1, 3 to 1, three to one rule, phase, comb filtering
limits.see-each-other | sight lines are \`see-each-other\` in \`limits\` | sight lines, sightlines, line of sight, eye contact, visibility
limits.balance | balance at main mics is \`balance\` in \`limits\` | balances, blend, section balance, mix balance
limits.direct-to-reverberant | direct against reverberant sound is \`direct-to-reverberant\` in \`limits\` | direct to room, D/R, DRR, dryness, wet to dry
limits.hear | who must hear whom is \`hear\` in \`limits\` | hearing, hears, audibility, must hear
limits.session-length | the hours of playing are \`session-length\` in \`limits\` | duration, hours, exposure, noise exposure, session
on-hand | what can be used is listed in \`on-hand\` | inventory, gear, equipment, available, stock, mic locker, spares
floor | where nothing may stand is set in \`floor\` | keep out, no go, obstacles
floor.walkways | a path that must stay clear is one of the \`walkways\` of the \`floor\` | aisle, aisles, exit, exits, fire exit, escape route, corridor
tolerance | how far the session may differ from the plan goes under \`tolerance\` | accuracy, uncertainty, errors, deviation, margin of error, spread
`;

export const concepts = (): Concept[] =>
  ROWS.trim()
    .split('\n')
    .map((row) => {
      const [key = '', says = '', words = ''] = row.split(' | ');
      return { key, says, words: words.split(', ') };
    });

const lettersOf = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
/** Of all rows: a word whose letters are not among them is none of theirs, as most of a plan's wrong keys. */
const LETTERS = lettersOf(ROWS);

/** The concept that people call by a word, before others one of the keys `here`; null where there is none. */
export function conceptOf(word: string, here: readonly string[] = []): Concept | null {
  if (!LETTERS.includes(lettersOf(word).replace(/e?s$/, ''))) return null;
  const called = concepts().filter(({ words }) => words.some((one) => sameName(one, word)));
  return called.find(({ key }) => here.includes(key.split('.').at(-1) ?? '')) ?? called[0] ?? null;
}

/** How to write what is called by a word, and where to read on. */
export const conceptFix = ({ says, key }: Concept): string => `${says}; see spillcheck explain ${key}`;
