/** Puts today's output and figures into the pages, and draws their pictures: npm run docs. */
import { writeFileSync } from 'node:fs';
import { withAccuracy } from './accuracy.ts';
import { bearingPicture, PICTURE } from './bearing-picture.ts';
import { DRAWING, drawing } from './drawing.ts';
import { PAGES, pageOf } from './pages.ts';
import { PLAN_PAGE, planPage } from './plan-page.ts';
import { refreshed, shownIn } from './shown.ts';

writeFileSync(PLAN_PAGE, planPage());
for (const file of PAGES) {
  const page = withAccuracy(pageOf(file));
  const fresh = shownIn(page).reduce(
    (before, shown) => before.replace(shown.block, () => refreshed(shown)),
    page,
  );
  writeFileSync(file, fresh);
}
writeFileSync(PICTURE, bearingPicture());
writeFileSync(DRAWING, drawing());
