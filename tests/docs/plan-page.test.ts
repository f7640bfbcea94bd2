/** The page of every key is the one that `npm run docs` writes today; its plans are tried with those of the other pages. */
import { expect, test } from 'vitest';
import { keyPlaces } from '../../src/report/explain.ts';
import { pageOf } from './pages.ts';
import { PLAN_PAGE, planPage } from './plan-page.ts';

test('the page is up to date: `npm run docs` makes it so', () => {
  expect(pageOf(PLAN_PAGE)).toBe(planPage());
});

test('it has every key', () => {
  const page = planPage();
  const missing = keyPlaces().filter(({ steps }) => !page.includes(`\`${steps.at(-1)?.replace('[]', '')}\``));
  expect(missing).toEqual([]);
});
