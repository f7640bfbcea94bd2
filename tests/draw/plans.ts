/** Plans for tests of drawing; houses, people and music are invented. */

/** Two rooms 20 cm apart with all that can be let into a wall, a booth, two baffles, a listener, a section and a line. */
export const HOUSE = `spillcheck: 1
title: A house that does not exist
rooms:
  hall: {outline: [[0, 0], [8, 0], [8, 4], [5, 4], [5, 7], [0, 7]], height: 3}
  den: {size: [4, 4], origin: [8.2, 0], height: 2.6}
  box: {size: [1.6, 1.5], origin: [0.5, 5], height: 2.2, booth: true}
partitions:
  hall-den:
    between: [hall, den]
    wall: stud-gypsum-insulated
    doors: [{at: [8.1, 1], width: 0.9, height: 2, leaf: solid-core-sealed, state: open}]
    windows: [{at: [8.1, 2.2], width: 0.8, height: 1, sill: 1, glass: studio-window, state: closed}]
    openings: [{at: [8.1, 3.4], width: 0.6, height: 1, sill: 1}]
  box-wall:
    between: [box, hall]
    wall: stud-gypsum-insulated
    doors: [{at: [2.1, 5.7], width: 0.8, height: 2, leaf: solid-core-sealed, state: ajar}]
  den-yard:
    between: [den, outside]
    wall: stud-gypsum-insulated
    doors: [{at: [12.2, 2], width: 0.9, height: 2, leaf: solid-core-sealed, state: closed}]
baffles:
  baffle-1: {from: [3, 1], to: [3, 3], height: 2, made-of: upholstered-baffle}
  baffle-2: {from: [3, 3], to: [4, 3.4], height: 2, made-of: upholstered-baffle}
players:
  singer: {at: [1.3, 5.8], facing: 180, standing: true, plays: singing-voice}
  drummer: {at: [1.5, 1.5], facing: 90, plays: drum-kit}
  bells: {at: [6, 2], facing: 270, plays: {cow: {instrument: cowbell}, shake: {instrument: tambourine}}}
  tuba: {at: [11, 3], facing: 200, plays: tuba}
listeners:
  producer: {at: [9, 3.4], facing: 180}
sources:
  amp: {instrument: bass-amp, at: [9, 0.6, 0.4], facing: 90}
  choir: {instrument: choir-voice, at: [4, 5.4, 1.5], facing: 180, section: {players: 8, rows: 2, size: [1.6, 1]}}
mics:
  voice-mic: {for: singer, near: {distance: 12 cm}}
  overheads: {for: drummer, at: [2.1, 1.5, 1.9], aim: drummer, stereo: {xy: 90}}
  cow-mic: {for: cow, near: {distance: 25 cm}, pattern: hypercardioid}
  tuba-mic: {for: tuba, near: {distance: 40 cm}}
  amp-mic: {for: amp, near: {distance: 5 cm}}
  main: {for: all, at: [5.8, 3, 2.4], aim: drummer, stereo: ortf}
  air: {for: room, at: [7, 3, 2.5], aim: 0, pattern: omni}
  amp-line: {for: amp, di: true}
`;

/** The same names, written as hostilely as the plan format lets them be. */
export const HOSTILE = `spillcheck: 1
title: "</title><script>alert(1)</script> & \\"two\\" \\u202e 'quotes' 🎺"
rooms:
  "<hall> & 'co'": {size: [9, 7], height: 3}
players:
  "</text><a href='x'>": {at: [2, 2], facing: 90, plays: tuba}
  "זמרת ראשונה": {at: [6, 4], facing: 270, standing: true, plays: singing-voice}
  "🥁 & \\"sticks\\"": {at: [4, 5.5], facing: 180, plays: cornet}
  "مغنية": {at: [7.5, 2], facing: 270, plays: cornet}
mics:
  "m<1> & ü": {for: "זמרת ראשונה", near: {distance: 15 cm}}
  "合奏": {for: "🥁 & \\"sticks\\"", near: {distance: 40 cm}}
`;

/** Close quarters: twelve players and as many microphones on six square metres. */
export const CROWD = `spillcheck: 1
title: A crowd that does not exist
rooms: {closet: {size: [6, 4.5], height: 2.5}}
players:
${Array.from({ length: 12 }, (_, i) => `  cornet-number-${i + 1}: {at: [${1 + (i % 4)}, ${1 + Math.floor(i / 4)}], facing: ${i * 30}, plays: cornet}`).join('\n')}
mics:
${Array.from({ length: 12 }, (_, i) => `  microphone-${i + 1}: {for: cornet-number-${i + 1}, near: {distance: 30 cm}}`).join('\n')}
`;
