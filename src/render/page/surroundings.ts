/** Inputs, rooms, and how sure all of it is. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { Lengths } from '../../plan/lengths.ts';
import type { Answer } from '../answer.ts';
import { unsure as unsureText } from '../text/unsure.ts';
import { counted, figure, figureOr, hertzName, percent, round } from '../words.ts';
import { type Html, html } from './html.ts';
import { type PagePart, part } from './part.ts';
import { sentencesOf } from './sentences.ts';
import { listMarkup, number, paragraphs, tableMarkup, words } from './tables.ts';

export function inputs({ inputs: rows }: Answer): PagePart | null {
  if (rows.length === 0) return null;
  const heads = [
    words('input'),
    number('peak dB'),
    words('of'),
    words('pad'),
    number('softest dBA'),
    number('over the room'),
    number('over its own noise'),
  ];
  return part(
    'inputs',
    'Inputs',
    tableMarkup(
      'What each microphone brings; ~ a crest that is a guess',
      heads,
      rows.map(({ mic, peak, pad, signal, overNoise, overSelfNoise }) => [
        mic,
        peak ? `${peak.guessed ? '~' : ''}${figure(peak.level, 0)}` : 'silent',
        peak?.source ?? '',
        pad ?? '',
        figureOr(signal, 1, 'none'),
        figureOr(overNoise, 1, ''),
        figureOr(overSelfNoise, 1, ''),
      ]),
    ),
  );
}

export function rooms({ rooms: rows }: Answer, lengths: Lengths): PagePart | null {
  if (rows.length === 0) return null;
  const sizes = rows.map(({ name, volume, criticalDistance, schroeder, measured }) => [
    name,
    lengths.volume(volume).join(' '),
    measured ? 'measured' : 'Eyring',
    lengths.way(criticalDistance, 2),
    `${figure(schroeder, 0)} Hz`,
  ]);
  const times = rows.flatMap(({ name, sabine, eyring, measured }) =>
    Object.entries({ Sabine: sabine, Eyring: eyring, ...(measured ? { measured } : {}) }).map(
      ([by, bands]) => [`${name}, ${by}`, ...Array.from(bands, (seconds) => figure(seconds, 2))],
    ),
  );
  return part(
    'rooms',
    'Rooms',
    tableMarkup(
      'Size and sound',
      [words('room'), number('volume'), words('decay'), number('critical distance'), number('Schroeder')],
      sizes,
    ),
    tableMarkup(
      'Reverberation time, seconds',
      [words('room'), ...NOMINAL_BANDS.map((hertz) => number(hertzName(hertz)))],
      times,
    ),
  );
}

const KINDS = { 'signal-to-bleed': 'S/B', ghost: 'ghost', editable: 'alone', 'three-to-one': '3:1' } as const;

export function tolerances({ tolerances: told }: Answer): PagePart | null {
  const rows = told?.rows.filter(({ p50 }) => p50 !== null) ?? [];
  if (!told || rows.length === 0) return null;
  const heads = [
    words('figure'),
    ...['10%', '50%', '90%', 'limit', 'holds'].map(number),
    words('mostly from'),
  ];
  return part(
    'tolerance',
    'How far off on the day',
    html`<p>Percentiles of ${told.draws} draws in which aims, places, levels, nulls and absorption are off by chance, dB.</p>\n`,
    tableMarkup(
      'Tolerance of each figure',
      heads,
      rows.map(({ kind, about, p10, p50, p90, limit, holds, causes: [first] }) => [
        `${KINDS[kind]} ${about.join(', ')}`,
        ...[p10, p50, p90].map((value) => figureOr(value, 1, 'none')),
        limit === null ? '' : round(limit),
        holds === null ? '' : percent(holds),
        first ? `${first.cause}, ${figure(first.spread, 1)} dB` : '',
      ]),
    ),
  );
}

export function unsure(answer: Answer): PagePart | null {
  const told = sentencesOf(
    (about: Answer, layout) => unsureText({ ...about, tolerances: null }, false, layout),
    answer,
    'full',
  );
  return part(
    'unsure',
    'Not sure about',
    paragraphs(told.map((line) => line.replace(' (--assumptions)', ''))),
    assumed(answer),
  );
}

function assumed({ assumptions }: Answer): Html | null {
  if (assumptions.length === 0) return null;
  const list = assumptions.map(
    ({ path, text, kind }) => `${path.length > 0 ? `${path.join('.')}: ` : ''}${text} (${kind})`,
  );
  return html`<details><summary>${counted(assumptions.length, 'assumption')}</summary>\n${listMarkup(list)}</details>\n`;
}

export function cautions({ cautions: rows }: Answer): PagePart | null {
  const texts = rows.map(({ message, mend }) => (mend ? `${message}; ${mend}` : message));
  return texts.length > 0 ? part('cautions', 'Cautions', listMarkup(texts)) : null;
}
