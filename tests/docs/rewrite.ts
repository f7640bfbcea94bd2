/** Puts today's output into the README: npm run docs. */
import { writeFileSync } from 'node:fs';
import { README, readme, refreshed, shownIn } from './shown.ts';

const text = readme();
const fresh = shownIn(text).reduce(
  (before, shown) => before.replace(shown.block, () => refreshed(shown)),
  text,
);
writeFileSync(README, fresh);
