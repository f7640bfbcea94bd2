import type { Finding, FindingCode } from '../finding.ts';
import type { Place } from './readings.ts';

/** What is wrong with readings, where they stand. */
export const complaint = (code: FindingCode, place: Place, message: string, mend: string): Finding => ({
  code,
  severity: 'error',
  path: [],
  message,
  mend,
  ...place,
});
