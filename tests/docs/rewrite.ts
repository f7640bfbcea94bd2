/** Puts today's output into the README, and draws its picture: npm run docs. */
import { writeFileSync } from 'node:fs';
import { bearingPicture, PICTURE } from './bearing-picture.ts';
import { README, readme, refreshed, shownIn } from './shown.ts';

const text = readme();
const fresh = shownIn(text).reduce(
  (before, shown) => before.replace(shown.block, () => refreshed(shown)),
  text,
);
writeFileSync(README, fresh);
writeFileSync(PICTURE, bearingPicture());
