import type { Grade, Origin } from '../../scene/origin.ts';

export const gradeWords = (grade: Grade): string => (grade === 'from-memory' ? 'from memory' : grade);

const WEAKEST_FIRST: readonly Grade[] = ['estimate', 'from-memory', 'published'];

/** The weakest of several, in words; nothing of none. */
export function weakest(origins: readonly Origin[]): string {
  const found = WEAKEST_FIRST.find((grade) => origins.some((origin) => origin.grade === grade));
  return found ? gradeWords(found) : '';
}
