import { figure } from '../words.ts';

/** As many decimals as the value has, up to `most`. */
export const shownNumber = (value: number, most: number): string => {
  const text = figure(value, most);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
};

/** As many decimals for all as the one that has most of them needs, so that the points stand under each other. */
export function decimalsOf(values: readonly (number | null)[], most: number): number {
  const needed = values.map((value) =>
    value === null ? 0 : (shownNumber(value, most).split('.')[1]?.length ?? 0),
  );
  return Math.max(0, ...needed);
}
