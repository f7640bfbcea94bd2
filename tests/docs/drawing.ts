/** The drawing at the top of the README. */
import { run } from './shown.ts';

export const DRAWING = 'fixtures/pictures/brass-hall.svg';

export const drawing = (): string => `${run('spillcheck draw fixtures/brass-hall.yaml').join('\n')}\n`;
