/**
 * Names of the units beyond our own table, as the unit library knows them, so that an editor takes what a plan may hold.
 * A test holds the lists to the library's own. Quotients and powers other than an area are read in plans, too, but not listed.
 */

/** Prefixes in full and as letters: the SI's, with those of 2022. */
const LONG =
  'deca|hecto|kilo|mega|giga|tera|peta|exa|zetta|yotta|ronna|quetta|deci|centi|milli|micro|nano|pico|femto|atto|zepto|yocto|ronto|quecto';
const SHORT = 'da|[hkMGTPEZYRQdcmunpfazyrq]';

/** Names without a prefix, with one in full, and with one as a letter, each as the branches of a pattern. */
type Names = { readonly bare?: string; readonly long?: string; readonly short?: string };

const NAMES = {
  length: {
    long: 'meters?',
    short: 'm',
    bare: 'inch(?:es)?|foot|feet|(?:yard|mile|link|rod|chain|angstrom)s?|in|ft|yd|mi|li|rd|ch|mil',
  },
  area: {
    short: 'm2',
    bare: 'sq(?:in|ft|yd|mi|rd|ch|mil|feet|yard|miles?)|acres?|hectares?',
  },
  mass: {
    long: 'grams?|tonnes?',
    short: 'g|t|tons?',
    bare: '(?:grain|dram|ounce|hundredweight|stick)s?|poundmass(?:es)?|stone|gr|dr|oz|lbm|cwt|lbs?',
  },
  time: {
    long: 'sec(?:ond)?s?',
    short: 's',
    bare: '(?:minute|hour|day|week|month|year|decade|min|hr)s?|h|centur(?:y|ies)|millenni(?:um|a)',
  },
  frequency: { long: 'hertz', short: 'Hz' },
  angle: {
    long: '(?:radian|degree|gradian)s?',
    short: 'rad|deg|grad',
    bare: 'cycles?|arcsec(?:onds?)?|arcmin(?:utes?)?',
  },
  temperature: { long: 'kelvin|celsius|fahrenheit|rankine', short: 'K|deg[CFR]', bare: '°?F' },
} satisfies Readonly<Record<string, Names>>;

const branches = ({ bare, long, short }: Names): string =>
  [
    ...(long ? [`(?:${LONG})?(?:${long})`] : []),
    ...(short ? [`(?:${SHORT})?(?:${short})`] : []),
    ...(bare ? [bare] : []),
  ].join('|');

const squared = `(?:${branches(NAMES.length)})(?:\\^2|²)`;

/** What may stand after a number of each dimension that the library reads. */
export const UNCOMMON: Readonly<Record<string, string>> = {
  length: branches(NAMES.length),
  area: `${branches(NAMES.area)}|${squared}`,
  'surface-mass': `(?:${branches(NAMES.mass)})/(?:${branches(NAMES.area)}|${squared})`,
  time: branches(NAMES.time),
  frequency: branches(NAMES.frequency),
  angle: branches(NAMES.angle),
  temperature: branches(NAMES.temperature),
};
