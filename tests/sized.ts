/** How much of a sample is tried: `npm test` tries the first of it, `npm run test:long` all. */
const LONG = process.env.SPILLCHECK_LONG === '1';

export const sized = (short: number, long: number): number => (LONG ? long : short);
