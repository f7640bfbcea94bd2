/** Every source at every microphone, as figures on shades: the shade says again what the figure says. */
import type { LevelRow, MicRow } from '../../judge/report.ts';
import type { Answer } from '../answer.ts';
import { figure } from '../words.ts';
import { type Html, html } from './html.ts';
import { type PagePart, part } from './part.ts';

/** Lower ends of the shades, dB over the own sound; below the last there is none. */
const SHADES = [0, -10, -20, -30, -40] as const;

export function heatMap({ mics }: Answer): PagePart | null {
  const heard = mics.filter(({ signal }) => signal !== null);
  const deaf = mics.filter(({ signal }) => signal === null);
  if (heard.length === 0) return null;
  const sources = [...new Set(heard.flatMap(({ levels }) => levels.map(({ source }) => source)))];
  const rows = sources.map(
    (source) =>
      html`<tr><th scope="row">${source}</th>${heard.map((mic) =>
        cell(
          mic,
          mic.levels.find((one) => one.source === source),
        ),
      )}</tr>\n`,
  );
  const own = heard.map(({ signal }) => html`<td>${figure(signal ?? 0, 0)}</td>`);
  return part(
    'matrix',
    'Every source at every microphone',
    html`<p>Decibels over the microphone's own sound, all octaves, unweighted. ${legend()}</p>\n`,
    html`<div class="scroll" role="region" tabindex="0" aria-label="Every source at every microphone"><table class="heat">
<thead><tr><td></td>${heard.map(({ name }) => html`<th scope="col">${breaking(name)}</th>`)}</tr></thead>
<tbody>
<tr class="own-level"><th scope="row">own sound, dB SPL</th>${own}</tr>
${rows}</tbody>
</table></div>\n`,
    deaf.length > 0
      ? html`<p>Nothing of its own sound: ${deaf.map(({ name }) => name).join(', ')}.</p>\n`
      : null,
  );
}

function cell({ signal }: MicRow, level: LevelRow | undefined): Html {
  if (level?.level == null || signal === null) return html`<td>none</td>`;
  const over = figure(level.level - signal, 0);
  if (level.wanted) return html`<td class="heat-own">${over}<span class="role"> own</span></td>`;
  if (level.ignored) return html`<td class="heat-mate">${over}<span class="role"> mate</span></td>`;
  const shade = SHADES.findIndex((from) => Number(over) >= from);
  return html`<td class="heat-${shade < 0 ? SHADES.length : shade}">${over}</td>`;
}

/** A name that may go on below after its own separators. */
const breaking = (name: string): Html =>
  html`${name.split(/(?<=[-_. ])/u).map((piece, i) => (i === 0 ? html`${piece}` : html`<wbr/>${piece}`))}`;

function legend(): Html {
  const ends = SHADES.map((from, i) => html`<span class="heat-${i} swatch">from ${from}</span> `);
  return html`Bleed ${ends}dB. <span class="heat-own swatch">own</span> what the microphone is for; <span class="heat-mate swatch">mate</span> of the same kit or part, neither signal nor bleed.`;
}
