/** The answer before the figures: what rules at a microphone, and what would help. Cures: common practice, no source. */
import type { Shares } from '../judge/report.ts';
import type { WhyPair, WhyPath } from '../judge/why/why-shape.ts';
import { kindsIn } from './shares.ts';
import { lessWithout, screenName, wayName } from './why-words.ts';
import { figure, percent } from './words.ts';

/** Shares below this get no sentence of their own, unless nothing is larger. */
const WORTH_A_WORD = 0.2;

const NAMES: Readonly<Record<keyof Shares, string>> = {
  direct: 'Direct sound',
  reflections: 'First reflections',
  room: 'Room field',
  walls: 'Sound through walls',
};

/** One sentence for each share that matters, the largest first. */
export function answer(pair: WhyPair): string[] {
  if (pair.level === null) return [`Nothing of ${pair.source} reaches ${pair.mic}.`];
  const kinds = kindsIn(pair.shares);
  if (kinds.length === 0)
    return [`In the octaves that ${pair.mic} is judged in, nothing of ${pair.source} arrives.`];
  const worth = kinds.filter(({ key }, i) => i === 0 || pair.shares[key] >= WORTH_A_WORD);
  const sentences = worth.map(({ key }) => sentence(pair, key));
  return [...sentences, ...roleOf(pair)];
}

function sentence(pair: WhyPair, key: keyof Shares): string {
  const share = pair.shares[key];
  const lead = `${NAMES[key]} ${percent(share)}`;
  if (pair.role !== 'bleed') return `${lead}${ofOwn(pair, key)}.`;
  const less = lessWithout(share);
  const gone = less === null ? 'it is nearly all there is' : `without it ${figure(less, 1)} dB less`;
  return `${lead}: ${helps(pair, key)}; ${gone}.`;
}

function helps(pair: WhyPair, key: keyof Shares): string {
  const loudest = pair.paths.find((path) => path.share === key);
  switch (key) {
    case 'room':
      return 'no screen helps; closer, softer, absorption or another room';
    case 'direct':
      return againstDirect(loudest);
    case 'reflections':
      return `${mostly(loudest)}absorption there, or where the two stand`;
    case 'walls':
      return `${mostly(loudest)}${againstWalls(loudest)}`;
  }
}

function againstDirect(path: WhyPath | undefined): string {
  if (path?.kind === 'bent') return 'it bends round a corner; aim, null, or further from the corner';
  const [screen] = path?.screens ?? [];
  return screen
    ? `past ${screenName(screen)} already; aim, null, or a higher or wider screen`
    : 'aim, null or screen';
}

function againstWalls(path: WhyPath | undefined): string {
  if (path?.kind === 'opening') return 'shut it, or move out of its line';
  if (path?.kind === 'through') return path.by === 'wall' ? 'a heavier wall' : `a better ${path.by}`;
  return 'doors first, then heavier walls, or softer in the other room';
}

const mostly = (path: WhyPath | undefined): string =>
  path ? `mostly ${wayName(path)} (${percent(path.fraction)}); ` : '';

const ofOwn = ({ role, shares }: WhyPair, key: keyof Shares): string =>
  role === 'own' && key !== 'direct' && shares.direct < 0.5 ? ': closer makes it drier' : '';

function roleOf({ role, mic, source }: WhyPair): string[] {
  if (role === 'own') return [`${mic} is for ${source}: this is signal, not bleed.`];
  if (role === 'mate') return [`${source} belongs to what ${mic} is for: neither signal nor bleed.`];
  return [];
}
