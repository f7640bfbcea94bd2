/** Whom a microphone is for, whom it is against, and who counts neither way. */
import { describe, expect, test } from 'vitest';
import { judge } from '../../src/judge/judge.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { expectVector, faultsOf, micNamed, resolved, sceneOf, sourceNames } from './resolved.ts';

const BAND = `players:
  max: {at: [6, 5], facing: 180, plays: small-kit}
  ada: {at: [2, 5], facing: 180, plays: {voice: {instrument: singing-voice, later: replace}, guitar: {instrument: steel-string-guitar, later: leave}}}
  bo: {at: [4, 8], facing: 180, plays: cello}
sources:
  amp: {instrument: bass-amp, at: [1, 1], facing: 0, part: bass, later: tune, player: bo}
  sub: {instrument: bass-amp, at: [9, 1], facing: 0, part: bass}
  pickup: {instrument: line-only, at: [1, 1], part: bass}
  wedge: {instrument: monitor-wedge, at: [2, 3], facing: 0, repeats: voice}
`;
const KIT = ['max.kick', 'max.snare', 'max.hi-hat', 'max.ride'];
const EVERYONE = [...KIT, 'voice', 'guitar', 'bo', 'amp', 'sub', 'wedge'];

const mic = async (wanted: string) => {
  const scene = await sceneOf(`${BAND}mics: {m: {for: ${wanted}, at: [5, 3, 1]}}`);
  const { wanted: own, ignored, ...rest } = micNamed(scene, 'm');
  return { ...rest, own: sourceNames(scene, own), ignored: sourceNames(scene, ignored) };
};

describe('for', () => {
  test.each([
    { whom: 'max', own: KIT, ignored: [], what: 'a kit by its player: every piece' },
    {
      whom: 'max.snare',
      own: ['max.snare'],
      ignored: ['max.kick', 'max.hi-hat', 'max.ride'],
      what: 'one piece: the others count neither way',
    },
    {
      whom: '[max.snare, max.hi-hat]',
      own: ['max.snare', 'max.hi-hat'],
      ignored: ['max.kick', 'max.ride'],
      what: 'two pieces',
    },
    { whom: 'ada', own: ['voice', 'guitar'], ignored: [], what: 'a player with two instruments: both' },
    {
      whom: 'voice',
      own: ['voice'],
      ignored: [],
      what: 'one of the two: the other is bleed, being a part of its own',
    },
    {
      whom: 'bass',
      own: ['amp', 'sub', 'pickup'],
      ignored: [],
      what: 'a part of several sources: all of them',
    },
    {
      whom: 'amp',
      own: ['amp'],
      ignored: ['sub', 'pickup'],
      what: 'one source of a part: the others count neither way',
    },
    {
      whom: '[voice, bo]',
      own: ['voice', 'bo'],
      ignored: [],
      what: 'a list; bo is the cello, which goes by his name, not the amplifier he plays too',
    },
    { whom: 'all', own: EVERYONE, ignored: [], what: 'everyone that sounds, wedges too, lines not' },
    { whom: 'room', own: EVERYONE, ignored: [], what: 'the room' },
  ])('$whom is $what', async ({ whom, own, ignored }) => {
    const made = await mic(whom);
    expect(made.own.toSorted()).toEqual(own.toSorted());
    expect(made.ignored.toSorted()).toEqual(ignored.toSorted());
  });

  test.each([
    { whom: 'all', purpose: 'all' },
    { whom: 'room', purpose: 'room' },
    { whom: 'bass', purpose: 'parts' },
  ])('$whom has the purpose $purpose', async ({ whom, purpose }) =>
    expect((await mic(whom)).purpose).toBe(purpose),
  );

  test.each([
    { whom: 'max.snar', says: /"max\.snar".*"max\.snare"/ },
    { whom: 'wedge', says: /wedge repeats a part, so it is bleed at every mic/ },
    { whom: 'pickup', says: /pickup makes no sound in the room, so only a DI can be for it/ },
    { whom: 'm', says: /no source, player or part named "m"/ },
  ])('$whom is refused', async ({ whom, says }) => {
    expect(await faultsOf(`${BAND}mics: {m: {for: ${whom}, at: [5, 3, 1]}}`)).toEqual([
      expect.stringMatching(says),
    ]);
  });
});

describe('limits', () => {
  // leave 6, rebalance 10, tune 20, replace 10 dB
  test.each([
    ['guitar', 6, 'leave'],
    ['voice', 10, 'replace'],
    ['ada', 10, 'replace'],
    ['bass', 20, 'tune'],
    ['bo', 10, 'rebalance'],
    ['max', 10, 'rebalance'],
    ['[guitar, max]', 10, 'rebalance'],
  ])('a microphone for %s takes %i dB from the strictest, %s', async (whom, limit, limitFrom) => {
    expect(await mic(whom)).toMatchObject({ limit, limitFrom });
  });

  test.each([
    ['{signal-to-bleed: 15}', 15],
    ['{signal-to-bleed: {m: 12}}', 12],
  ])('%s goes before that', async (limits, limit) => {
    const scene = await sceneOf(`${BAND}mics: {m: {for: bass, at: [5, 3, 1]}}\nlimits: ${limits}`);
    expect(micNamed(scene, 'm')).toMatchObject({ limit, limitFrom: 'limits' });
  });

  test('of a microphone that is not there is an error with the nearest name; of one left out it is none', async () => {
    const plan = (name: string) => `${BAND}mics:
  bass-mic: {for: bass, at: [5, 3, 1]}
  spare: {for: bass, at: [5, 2, 1], use: false}
limits: {signal-to-bleed: {${name}: 12 dB}}`;
    expect(await faultsOf(plan('bas-mic'))).toEqual([
      expect.stringMatching(/^limits\.signal-to-bleed\.bas-mic: no mic named "bas-mic".*"bass-mic"/),
    ]);
    expect(await faultsOf(plan('spare'))).toEqual([]);
  });
});

describe('balance', () => {
  const plan = (balance: string, mics = 'main: {for: all, at: [5, 3, 2]}, m: {for: bo, at: [5, 3, 1]}') =>
    `${BAND}mics: {${mics}}\nlimits: {balance: [${balance}]}`;

  test('is of players, parts and families, summed; a kit is percussion; wedges are left out', async () => {
    const scene = await sceneOf(plan('{of: [ada, strings], over: [percussion, bass], least: 3}'));
    const [one, ...more] = scene.limits.balance;
    expect(more).toEqual([]);
    expect(one).toMatchObject({ least: 3, names: ['ada and strings', 'percussion and bass'] });
    expect(sourceNames(scene, one?.of ?? [])).toEqual(['voice', 'guitar', 'bo']);
    expect(sourceNames(scene, one?.over ?? [])).toEqual([...KIT, 'amp', 'sub', 'pickup']);
  });

  test('is asked at every mic for all, or at one', async () => {
    const two = 'main: {for: all, at: [5, 3, 2]}, high: {for: all, at: [5, 2, 3]}';
    const at = async (balance: string) =>
      (await sceneOf(plan(balance, two))).limits.balance.map(({ mic }) => mic);
    expect(await at('{of: ada, over: bo, least: 3}')).toEqual([0, 1]);
    expect(await at('{of: ada, over: bo, least: 3, at: high}')).toEqual([1]);
  });

  test.each([
    ['{of: ada, over: bra, least: 0}', /over\.0: no player, source, part or family named "bra"/],
    ['{of: ada, over: bo, least: 0, at: m}', /at: no mic for all named "m"/],
    ['{of: ada, over: strings, least: 0}', /guitar is in both groups/],
  ])('%s is an error', async (balance, fault) => {
    expect((await faultsOf(plan(balance))).join()).toMatch(fault);
  });

  test('and direct-to-reverberant ratio without a mic for all are warnings', async () => {
    const text = `${BAND}mics: {m: {for: bo, at: [5, 3, 1]}}
limits: {balance: [{of: ada, over: bo, least: 3}], direct-to-reverberant: 0}`;
    const { findings } = await resolved(text);
    expect(
      findings.flatMap(({ severity, message }) => (/no mic is for all/.test(message) ? [severity] : [])),
    ).toEqual(['warning', 'warning']);
  });
});

describe('who counts neither way', () => {
  const kitMic = async (hiHat: string, cello: string) => {
    const scene = await sceneOf(`players:
  max: {at: [6, 5], facing: 180, plays: small-kit, dynamic: mf, parts: {hi-hat: {dynamic: ${hiHat}}}}
  bo: {at: [4, 8], facing: 180, plays: cello, dynamic: ${cello}}
mics: {snare: {for: max.snare, near: {distance: 10 cm, above: 5 cm}}}`);
    return judge(scene, transfer(scene), []).mics[0]?.signalToBleed ?? Number.NaN;
  };

  test('a louder hi-hat changes nothing at the snare microphone, a louder cello does', async () => {
    const before = await kitMic('mf', 'mf');
    expect(await kitMic('ff', 'mf')).toBeCloseTo(before, 9);
    // cello: mf 84, f 90 dB of power
    expect(await kitMic('mf', 'f')).toBeCloseTo(before - 6, 6);
  });
});

describe('a wedge that repeats a part', () => {
  test('belongs to the part, and is bleed at every microphone, that of the part too', async () => {
    const scene = await sceneOf(`${BAND}mics: {m: {for: voice, at: [2, 4.5, 1.5]}}`);
    const wedge = scene.sources.findIndex(({ name }) => name === 'wedge');
    const part = scene.parts[scene.sources[wedge]?.part ?? -1];
    expect(part?.name).toBe('voice');
    expect(sourceNames(scene, part?.sources ?? [])).toEqual(['voice', 'wedge']);
    expect(scene.sources[wedge]?.repeats).toBe(true);
    const { wanted, ignored } = micNamed(scene, 'm');
    expect([...wanted, ...ignored]).not.toContain(wedge);
    expect(judge(scene, transfer(scene), []).mics[0]?.levels[wedge]).toMatchObject({
      role: 'bleed',
    });
  });

  test('of nothing is refused', async () => {
    expect(await faultsOf(BAND.replace('repeats: voice', 'repeats: voyce'))).toEqual([
      expect.stringMatching(/^sources\.wedge\.repeats: .*"voyce".*"voice"/),
    ]);
  });
});

describe('lines', () => {
  test('have no capsule and no bleed, and are listed as what they are', async () => {
    const scene = await sceneOf(`${BAND}mics:
  line: {for: bass, di: true, mix: -3}
  amp-mic: {for: amp, near: {distance: 5 cm}}`);
    expect(micNamed(scene, 'line')).toMatchObject({ line: true, capsules: [], mix: -3 });
    expect(scene.capsules.map(({ name, mic: index }) => `${name} ${index}`)).toEqual(['amp-mic 1']);
    const { lines, mics } = judge(scene, transfer(scene), []);
    expect(lines.map(({ name }) => name)).toEqual(['line']);
    expect(mics.map(({ name }) => name)).toEqual(['amp-mic']);
  });

  test('line-only sounds nowhere: at no microphone does it bring anything', async () => {
    const scene = await sceneOf(`${BAND}mics: {m: {for: all, at: [5, 3, 1]}, line: {for: pickup, di: true}}`);
    const pickup = scene.sources.findIndex(({ name }) => name === 'pickup');
    expect(scene.sources[pickup]).toMatchObject({ instrument: 'line-only', points: [] });
    expect([...(scene.sources[pickup]?.power ?? [1])]).toEqual(Array(8).fill(0));
    expect(sourceNames(scene, micNamed(scene, 'line').wanted)).toEqual(['pickup']);
  });

  test('nor does a player whose instrument is a line alone', async () => {
    const scene = await sceneOf(`players: {eve: {at: [1, 1], facing: 90, plays: line-only}}
mics: {line: {for: eve, di: true}}`);
    expect(scene.sources[0]).toMatchObject({ name: 'eve', instrument: 'line-only', player: 0, points: [] });
    expect(sourceNames(scene, micNamed(scene, 'line').wanted)).toEqual(['eve']);
  });
});

test('use: false leaves a microphone out, which is printed', async () => {
  const { scene, assumptions } = await resolved(`${BAND}mics:
  m: {for: bo, at: [5, 3, 1]}
  n: {for: voice, at: [5, 2, 1], use: false}`);
  expect(scene?.mics.map(({ name }) => name)).toEqual(['m']);
  expectVector(scene?.capsules[0]?.at, [5, 3, 1]);
  expect(assumptions.map(({ text }) => text)).toContain('n is not in use');
});
