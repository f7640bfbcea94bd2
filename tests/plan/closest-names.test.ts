/** Which names are offered for one that is not there: pairs chosen by hand. */
import { describe, expect, test } from 'vitest';
import { closestFew, closestNames, didYouMean, oneOf, unknownName } from '../../src/text.ts';

const keys = ['facing', 'height', 'made-of', 'null-at', 'aim', 'at'];

describe('a key', () => {
  test.each([
    ['facign', ['facing'], 'two letters changed places'],
    ['hieght', ['height'], 'two letters changed places'],
    ['madeof', ['made-of'], 'a hyphen left out'],
    ['null_at', ['null-at'], 'another line between the words'],
    ['AIM', ['aim'], 'capitals'],
    ['zebra', [], 'nothing near'],
    ['x', [], 'one letter, which says nothing'],
  ])('%s: %j, %s', (written, names) => expect(closestNames(written, keys)).toEqual(names));
});

const mics = ['voice-mic', 'cornet-mic', 'tuba-mic', 'snare-mic', 'room-left', 'room-right'];

describe('a name of the plan', () => {
  test.each([
    ['voice', ['voice-mic'], 'a whole word of it'],
    ['mic-voice', ['voice-mic'], 'its words the other way round'],
    ['Voice Mic', ['voice-mic'], 'capitals and a blank'],
    ['vioce-mic', ['voice-mic'], 'a slip of the pen'],
    ['snares-mic', ['snare-mic'], 'several for one'],
    ['room', ['room-left', 'room-right'], 'two that fit as well'],
    ['left', ['room-left'], 'the other word'],
    ['harp-mic', [], 'sharing only what most of them share says nothing'],
    ['zzz', [], 'nothing near'],
  ])('%s: %j, %s', (written, names) => expect(closestNames(written, mics)).toEqual(names));
});

describe('what a thing is also called', () => {
  const known = [
    { name: 'moss-wall', also: ['green wall'] },
    { name: 'fern-harp', also: ['bog lyre'] },
    { name: 'bog-oak', also: [] },
  ];

  test.each([
    ['bog-lyre', ['fern-harp'], 'wins over a name that shares a word'],
    ['bog-lire', ['fern-harp'], 'so does a slip in it'],
    ['bog-pine', ['bog-oak'], 'sharing a word with a name goes before sharing it so'],
    ['lyre', ['fern-harp'], 'a word of it'],
    ['bug-kite', [], 'likeness of letters is asked of names only'],
  ])('%s: %j, %s', (written, names) => expect(closestNames(written, known)).toEqual(names));
});

describe('in words', () => {
  test('up to three are offered, joined as one says them', () => {
    expect(oneOf(['a'])).toBe('a');
    expect(oneOf(['a', 'b'])).toBe('a or b');
    expect(oneOf(['a', 'b', 'c'])).toBe('a, b or c');
    expect(didYouMean(closestFew('room', mics))).toBe('did you mean "room-left" or "room-right"?');
  });

  test('where more than three are as near, none is, and all are told', () => {
    const desks = ['desk-1', 'desk-2', 'desk-3', 'desk-4'];
    const asked = { what: 'mic', name: 'desk', known: desks };
    expect(closestFew('desk', desks)).toEqual([]);
    expect(unknownName('--mic', asked)).toMatchObject({
      code: 'UNKNOWN_NAME',
      message: '--mic: no mic named "desk"',
      fix: 'use one of desk-1, desk-2, desk-3, desk-4',
    });
    expect(unknownName(null, asked).message).toBe('no mic named "desk"');
    expect(unknownName(null, { ...asked, known: [] }).fix).toBe('this plan has none');
  });
});
