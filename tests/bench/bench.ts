/** Speed, as ratios of figures measured in this one run. Never part of the tests: machines differ and are shared. */
import { coldReport } from './cold.ts';
import { movesAndTrials } from './moves.ts';
import { recomputations } from './recomputations.ts';

coldReport();
recomputations();
await movesAndTrials();
