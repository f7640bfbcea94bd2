/**
 * Names of the trade that the catalogue has under another name, and slips of the pen: pairs chosen by hand from common
 * practice, no source.
 */
import { describe, expect, test } from 'vitest';
import { catalogueEntries, findEntries, KINDS, type Kind } from '../../src/catalogue/entries.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { closestNames, sameName } from '../../src/text.ts';

const shipped = shippedCatalogue();
const all = catalogueEntries(shipped);
const of = (...kinds: Kind[]) => all.filter(({ kind }) => kinds.includes(kind));
const played = of('instruments', 'kits');

describe('an instrument', () => {
  test.each([
    ['upright-bass', ['double-bass']],
    ['string bass', ['double-bass']],
    ['contrabass', ['double-bass']],
    ['bass', ['bass-amp', 'double-bass']],
    ['bass-guitar', ['bass-amp']],
    ['fiddle', ['violin']],
    ['fidle', ['violin']],
    ['mouth-organ', ['harmonica']],
    ['bass-drum', ['kick']],
    ['kick_drum', ['kick']],
    ['drums', ['drum-kit']],
    ['Double Bass', ['double-bass']],
    ['french-horn', ['horn']],
    ['cor-anglais', ['english-horn']],
    ['kettledrum', ['timpani']],
    ['harmonium', ['reed-organ']],
    ['acoustic-guitar', ['steel-string-guitar']],
    ['classical-guitar', ['nylon-string-guitar']],
    ['guitar', ['guitar-amp', 'steel-string-guitar', 'nylon-string-guitar']],
    ['electric-guitar', ['guitar-amp', 'open-back-guitar-amp']],
    ['piano', ['grand-piano', 'upright-piano']],
    ['upright-pinao', ['upright-piano']],
    ['alto-saxaphone', ['alto-saxophone']],
    ['trumpt', ['trumpet']],
    ['soprano-cornet', ['cornet']],
    ['snare-drum', ['snare']],
    ['congas', ['conga']],
    ['vocals', ['singing-voice']],
    ['cymbal', ['crash', 'ride']],
    ['marimba', []],
    ['didgeridoo', []],
    ['sitar', []],
  ])('%s was meant as %j', (written, names) => {
    expect(closestNames(written, played).sort()).toEqual([...names].sort());
  });
});

describe('what rooms and screens are made of', () => {
  test.each([
    ['finishes', 'drywall', ['gypsum-board']],
    ['finishes', 'floorboards', ['wood-on-joists']],
    ['finishes', 'drapes', ['curtain-heavy', 'curtain-light', 'curtain-medium']],
    ['finishes', 'carpets', ['carpet-heavy', 'carpet-on-underlay', 'carpet-thin']],
    ['finishes', 'marble', []],
    ['contents', 'couch', ['sofa']],
    ['panels', 'gobo', ['upholstered-baffle']],
    ['panels', 'drum-shield', ['acrylic-shield']],
    ['panels', 'blanket', ['moving-blanket']],
    ['covers', 'moving-blanket', ['blanket']],
    ['doors', 'oak-door', ['hardwood-66']],
    ['glazings', 'control-room window', ['studio-window']],
    ['constructions', 'stud-wall', ['stud-gypsum']],
  ] as const)('%s: %s was meant as %j', (kind, written, names) => {
    expect(closestNames(written, of(kind)).sort()).toEqual(names);
  });
});

describe('a pattern', () => {
  test.each([
    ['figure-of-eight', 'figure-8'],
    ['fig8', 'figure-8'],
    ['bidirectional', 'figure-8'],
    ['omnidirectional', 'omni'],
    ['super-cardioid', 'supercardioid'],
    ['cardoid', 'cardioid'],
    ['subcardioid', 'wide-cardioid'],
  ])('%s was meant as %s', (written, name) => expect(closestNames(written, of('patterns'))).toEqual([name]));
});

describe('in a plan', () => {
  const mends = async (player: string) => {
    const { plan, findings } = await readPlan(
      `spillcheck: 1\nplayers:\n  one: {at: [0, 0], facing: 0, ${player}}\n`,
      {
        name: 'plan.yaml',
      },
    );
    const told = plan ? resolve(plan, shipped).findings : findings;
    return told.filter(({ severity }) => severity === 'error').map(({ code, fix }) => `${code} ${fix}`);
  };

  test.each([
    ['plays: upright-bass', 'did you mean "double-bass"?'],
    ['plays: guitar', 'did you mean "guitar-amp", "steel-string-guitar" or "nylon-string-guitar"?'],
    ['plays: marimba', 'see `spillcheck catalogue`'],
    ['plays: violin, playing: strummed', 'use one of bowed, plucked'],
    [
      'plays: saxophone',
      'did you mean "soprano-saxophone", "alto-saxophone" or "tenor-saxophone"? spillcheck catalogue saxophone lists more',
    ],
  ])('%s stays an error: %s', async (player, fix) => {
    expect(await mends(player)).toEqual([`UNKNOWN_NAME ${fix}`]);
  });
});

describe('the catalogue', () => {
  const names = ({ whole, listed }: ReturnType<typeof findEntries>) =>
    [whole, listed].map((some) => some.map(({ name }) => name));

  test('shows by another name the one thing that has it, and lists those that share it', () => {
    expect(names(findEntries(all, ['fiddle']))).toEqual([['violin'], ['double-bass']]);
    expect(names(findEntries(all, ['Mouth', 'organ']))).toEqual([['harmonica'], []]);
    expect(names(findEntries(all, ['acoustic', 'panel']))).toEqual([
      [],
      ['absorber', 'foam-panel', 'wool-panel'],
    ]);
    expect(names(findEntries(all, ['harp']))[0]).toEqual(['harp']);
  });

  test('no entry is also called by the name of one that stands beside it, nor twice the same', () => {
    for (const shelf of [played, ...KINDS.map((kind) => of(kind))]) {
      for (const { name, also } of shelf) {
        const clash = also.filter((one) => shelf.some((other) => sameName(other.name, one)));
        const twice = also.filter((one, i) => also.slice(0, i).some((before) => sameName(before, one)));
        expect({ name, clash, twice }).toEqual({ name, clash: [], twice: [] });
      }
    }
  });
});
