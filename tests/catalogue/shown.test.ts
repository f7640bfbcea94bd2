import { expect, test } from 'vitest';
import { toInstrument } from '../../src/catalogue/catalogue.ts';
import { catalogueEntries } from '../../src/catalogue/entries.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { only, posture, writtenInstruments } from './shipped-sources.ts';

const shipped = shippedCatalogue();

// Sphere mean 1/Q = b + (1 − b)/(n + 1) with b = 10^(−FB/10). Q = 2 with 2 dB asks for b = 0.631 > 1/2: no n gives that.
// Q = 2 with 20 dB: b = 0.01, n = 0.99/0.49 − 1 = 1.02, within 0.5 to 8.
test('a front-to-back ratio that its Q cannot have is said to be adjusted, band by band', () => {
  const raw = only(writtenInstruments, 'violin');
  const directivity = { Q: 2, 'front-to-back': [20, 20, 2, 20, 20, 20, 20, 2] };
  const violin = toInstrument('violin', { ...raw, directivity }, posture);
  const entries = catalogueEntries({ ...shipped, instruments: new Map([['violin', violin]]) });
  const [ratio] = (entries[0]?.properties ?? []).filter(({ name }) => name === 'front-to-back ratio');
  expect(ratio?.remarks).toEqual(['adjusted to keep Q at 250, 8000 Hz']);
});

test('every entry has values, and every value that was measured or estimated its origin', () => {
  const entries = catalogueEntries(shipped);
  const bare = entries.filter(({ properties }) => properties.length === 0);
  expect(bare.map(({ name }) => name)).toEqual([]);
  const without = entries.flatMap(({ name, properties }) =>
    properties.filter(({ origins }) => origins.length === 0).map((one) => `${name}: ${one.name}`),
  );
  expect(without.filter((one) => !one.endsWith('window above'))).toEqual([]);
});

test('every key leads to a citation', () => {
  const keys = catalogueEntries(shipped).flatMap(({ properties }) =>
    properties.flatMap(({ origins }) => origins.flatMap(({ origin }) => origin.sources)),
  );
  expect(keys.filter((key) => !shipped.citations.has(key))).toEqual([]);
});
