/** The README's picture of a real run: S/B of the voice mic against where it looks, for two patterns. */
import { run } from './shown.ts';

export const PICTURE = 'fixtures/pictures/voice-mic-bearing.svg';

/** All the rows of which the README shows the best. */
const COMMAND =
  'spillcheck try fixtures/brass-hall.yaml --each mics.voice-mic.pattern=cardioid,figure-8 --each mics.voice-mic.aim.bearing=0..350/10 --show signal-to-bleed.voice-mic';
/** What the plan asks of this mic, dB. */
const LIMIT = 12;

export type Point = { readonly pattern: string; readonly bearing: number; readonly decibels: number };

export const pointsOf = (rows: readonly string[]): Point[] =>
  rows.slice(1).map((row) => {
    const [, pattern = '', bearing, decibels] = row.split(',');
    return { pattern, bearing: Number(bearing), decibels: Number(decibels) };
  });

const [WIDTH, HEIGHT] = [720, 330];
const FRAME = { left: 60, right: 560, top: 20, bottom: 275 };
const [LEAST, MOST] = [-10, 20];

const px = (value: number): string => String(Math.round(value * 10) / 10);
export const x = (bearing: number): number => FRAME.left + ((FRAME.right - FRAME.left) * bearing) / 360;
export const y = (decibels: number): number =>
  FRAME.bottom - ((FRAME.bottom - FRAME.top) * (decibels - LEAST)) / (MOST - LEAST);

const line = (name: string, points: readonly Point[]): string =>
  `<polyline class="${name}" points="${points.map((p) => `${px(x(p.bearing))},${px(y(p.decibels))}`).join(' ')}"/>`;

const ruled = (decibels: number): string =>
  `<path class="rule" d="M${FRAME.left} ${px(y(decibels))}H${FRAME.right}"/>` +
  `<text class="right" x="${FRAME.left - 8}" y="${px(y(decibels) + 4)}">${decibels}</text>`;

const marked = (bearing: number): string =>
  `<text class="middle" x="${px(x(bearing))}" y="${FRAME.bottom + 20}">${bearing}°</text>`;

/** A name at the end of its line. */
const named = (name: string, points: readonly Point[]): string =>
  `<text x="${FRAME.right}" y="${px(y(points.at(-1)?.decibels ?? 0) + 4)}">${name}</text>`;

export function bearingPicture(): string {
  const points = pointsOf(run(COMMAND));
  const of = (pattern: string) => points.filter((point) => point.pattern === pattern);
  const best = points.reduce((a, b) => (b.decibels > a.decibels ? b : a));
  const told = `Best: ${best.pattern} at ${best.bearing}°, ${best.decibels.toFixed(1)} dB`;
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-labelledby="title desc">
<title id="title">Signal to bleed of voice-mic against its bearing</title>
<desc id="desc">Two curves over bearings from 0 to 350 degrees, for a cardioid and a figure-8. ${told}.</desc>
<style>rect{fill:#fff}text{font:14px sans-serif;fill:#1b1b1b}.right{text-anchor:end}.middle{text-anchor:middle}.rule{stroke:#ddd}.limit{stroke:#744900;stroke-dasharray:2 4}polyline{fill:none;stroke:#0a4d8c;stroke-width:2.5}.figure-8{stroke:#9c1006;stroke-dasharray:8 4}circle{fill:#0a4d8c}</style>
<rect width="${WIDTH}" height="${HEIGHT}"/>
${[-10, -5, 0, 5, 10, 15, 20].map(ruled).join('\n')}
<path class="limit" d="M${FRAME.left} ${px(y(LIMIT))}H${FRAME.right}"/>
<text x="${FRAME.right}" y="${px(y(LIMIT) + 4)}">limit ${LIMIT} dB</text>
${[0, 45, 90, 135, 180, 225, 270, 315, 360].map(marked).join('\n')}
${line('cardioid', of('cardioid'))}
${named('cardioid', of('cardioid'))}
${line('figure-8', of('figure-8'))}
${named('figure-8', of('figure-8'))}
<circle cx="${px(x(best.bearing))}" cy="${px(y(best.decibels))}" r="5"/>
<text class="middle" x="${px(x(best.bearing))}" y="${px(y(best.decibels) - 10)}">${told}</text>
<text class="middle" x="${px((FRAME.left + FRAME.right) / 2)}" y="${HEIGHT - 10}">bearing of voice-mic (the soprano stands to the south of it)</text>
<text transform="rotate(-90)" class="middle" x="${px(-(FRAME.top + FRAME.bottom) / 2)}" y="18">signal to bleed, dB</text>
</svg>
`;
}
