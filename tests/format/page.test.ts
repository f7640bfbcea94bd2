/** The report's page: all of the answer in it, and nothing that a plan says can do anything there. */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { document, html, markup, renderHtml, REPORT_STYLE as STYLE } from '../../src/format/html.ts';
import type { Answer } from '../../src/report/answer.ts';
import { names, numbers, table, words } from '../../src/report/view.ts';
import { told } from '../report/hand-told.ts';
import { pageOf } from './page-of.ts';

const HALL = readFileSync(new URL('../../fixtures/brass-hall.yaml', import.meta.url), 'utf8');
const EVIL = `<img src=x onerror=alert(1)>"'&amp;]]></td></svg></style><script>alert(2)</script>\u202e`;

function hostileMoves(now: Answer['now']): Answer['now'] {
  if (now === null || now === 'too large') throw new Error('no moves');
  const suggestions = now.suggestions.map((one) => ({
    ...one,
    words: [EVIL],
    helps: one.helps.map((helped) => ({ ...helped, mic: EVIL })),
    costs: one.costs.map((worse) => ({ ...worse, about: [EVIL] })),
  }));
  return { ...now, title: EVIL, suggestions };
}

/** Every text in an answer made hostile, but for the words that our code tells apart by. */
function hostile(answer: Answer): Answer {
  const renamed = (name: string): string => `${EVIL} ${name}`;
  return {
    ...answer,
    title: EVIL,
    mics: answer.mics.map((mic) => ({
      ...mic,
      name: renamed(mic.name),
      for: mic.for.map(renamed),
      remark: EVIL,
      levels: mic.levels.map((level) => ({ ...level, source: renamed(level.source) })),
    })),
    parts: answer.parts.map((part) => ({ ...part, name: renamed(part.name), remark: EVIL, loudestIn: EVIL })),
    now: hostileMoves(told.now),
    pitfalls: answer.pitfalls.map((pitfall) => ({ ...pitfall, text: EVIL, fix: EVIL })),
    cautions: [{ code: 'WARNING', severity: 'warning', path: [], message: EVIL, fix: EVIL }],
    assumptions: [{ path: ['mics', EVIL], kind: 'assumed', text: EVIL }],
    tolerances: {
      draws: 10,
      seed: 1,
      rows: [
        {
          kind: 'ghost',
          about: [EVIL],
          p10: 1,
          p50: 2,
          p90: 3,
          limit: 1,
          limitIs: 'most',
          holds: 0.5,
          causes: [],
        },
      ],
    },
  };
}

const elements = (page: string): string[] => [
  ...new Set([...page.matchAll(/<([a-z][a-z0-9]*)/gi)].map(([, name = '']) => name)),
];

async function faults(page: string): Promise<readonly string[]> {
  const { errors } = await validateXML({
    xml: [{ fileName: 'page.html', contents: page }],
    normalization: 'c14n',
  });
  return errors.map(({ message }) => message);
}

let page = '';
let evil = '';
beforeAll(async () => {
  page = await pageOf(HALL, (answer) => ({ ...answer, now: told.now }));
  evil = await pageOf(HALL, hostile);
});

describe('the page', () => {
  test('is well-formed to a strict parser, with hostile names too', async () => {
    expect(await faults(page)).toEqual([]);
    expect(await faults(evil)).toEqual([]);
    expect(await faults(page.replace('</main>', ''))).not.toEqual([]);
  });

  test('has no element and no attribute that a plan brought', () => {
    const ours = elements(page).sort();
    expect(elements(evil).filter((name) => !ours.includes(name))).toEqual([]);
    expect(ours).not.toContain('script');
    expect(ours).not.toContain('img');
    const attributes = [...evil.replace(/="[^"]*"/g, '=""').matchAll(/<[^>]*?\s(on\w+|style|src|srcdoc)=/g)];
    expect(attributes).toEqual([]);
    expect(evil).not.toContain('\u202e');
  });

  test('is less than 500 kB and names no other place', () => {
    expect(Buffer.byteLength(page)).toBeLessThan(500_000);
    expect([...page.matchAll(/https?:[^"'\s<]*/g)].map(([address]) => address)).toEqual([
      'http://www.w3.org/2000/svg',
    ]);
  });

  test('goes from the answers to what is behind them', () => {
    const titles = [...page.matchAll(/<h2 id="([a-z-]+)">/g)].map(([, id]) => id);
    expect(titles.slice(0, 4)).toEqual(['summary', 'map', 'bleed', 'matrix']);
    expect([...page.matchAll(/<a href="#([a-z-]+)"/g)].map(([, id]) => id)).toEqual(titles);
    expect(page.indexOf('Worst: ')).toBeLessThan(page.indexOf('<nav'));
  });

  test('says first what to do, with all that each move does and costs', () => {
    const moves = page.slice(page.indexOf('Fix first'), page.indexOf('Can&#39;t be fixed'));
    expect(moves.match(/<li>/g)).toHaveLength(2);
    expect(moves).toContain('<strong>Move voice-mic in, 20 → 10 cm</strong>');
    expect(moves).toContain('2 min; S/B at mics 4.0 → 1.0 dB short in all');
    expect(moves).toContain('costs: tuba-mic S/B 11.0 → 8.0 dB (now short)');
  });

  test('gives every id once, and ids that point at something', () => {
    const ids = [...page.matchAll(/ id="([^"]*)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    const labels = [...page.matchAll(/aria-labelledby="([^"]*)"/g)].flatMap(([, list = '']) =>
      list.split(' '),
    );
    expect(labels.filter((id) => !ids.includes(id))).toEqual([]);
  });

  test('opens each microphone by itself, by keyboard too', () => {
    // seven single mics, a spaced pair with its two capsules, a main pair
    expect(page.match(/<details id="mic-\d+"><summary>/g)?.length).toBe(7 + 3 + 1);
    expect(page).toContain('Levels at voice-mic, in the octaves of its signal');
  });

  test('says a verdict as a word wherever it colours one', () => {
    const marked = [...page.matchAll(/<span class="is-(\w+)">([^<]*)</g)];
    expect(marked.length).toBeGreaterThan(20);
    for (const [, verdict = '', text = ''] of marked) expect(text).toMatch(WORDS[verdict] ?? /never/);
  });
});

describe('the heat map', () => {
  const shades = [0, -10, -20, -30, -40];

  test('shades by the figure that it shows', () => {
    const cells = [...page.matchAll(/<td class="heat-(\d)">(-?\d+)<\/td>/g)].map(([, shade, text]) => ({
      shade: Number(shade),
      over: Number(text),
    }));
    expect(cells.length).toBeGreaterThan(50);
    for (const { shade, over } of cells) {
      expect(over).toBeGreaterThanOrEqual(shades[shade] ?? Number.NEGATIVE_INFINITY);
      expect(over).toBeLessThan(shades[shade - 1] ?? Number.POSITIVE_INFINITY);
    }
  });

  test('has a figure for every source at every microphone that hears its own', () => {
    const rows = /<table class="heat">([\s\S]*?)<\/table>/.exec(page)?.[1]?.match(/<tr>.*<\/tr>/g) ?? [];
    // six of brass, a voice, a kit of 7 pieces; 7 single mics and two pairs
    expect(rows.slice(1).map((row) => row.match(/<td/g)?.length)).toEqual(Array(14).fill(11));
  });
});

test('who wears closed headphones is told of in one line, and leaks that nobody hears not at all', async () => {
  const shut = await pageOf(HALL.replace('plays: tuba,', 'plays: tuba, cue: closed,'));
  expect(shut).toContain('<li>tuba wears closed headphones: hears nobody by air</li>');
  expect(shut).not.toContain('tuba leaks into');
  expect(shut).toContain('All headphone leakage is at least 40 dB below');
});

const WORDS: Readonly<Record<string, RegExp>> = {
  short: /^(\d+\.\d dB SHORT|SHORT|can&#39;t)/,
  marginal: /^(marginal|barely)/,
  clear: /^(clear|hears)/,
};

describe('the policy', () => {
  test('lets in the styles of page and drawing by hash, and nothing else', () => {
    const policy = /Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1]?.replaceAll('&#39;', "'");
    expect(policy).toMatch(
      /^default-src 'none'; style-src 'sha256-\S{44}' 'sha256-\S{44}'; base-uri 'none'; form-action 'none'$/,
    );
  });

  test('is by SHA-256 of the style as it stands', () => {
    // of the empty text: FIPS 180-4's e3b0c442…, as base64
    expect(document({ title: '', styles: [''], body: html`` })).toContain(
      'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=',
    );
  });
});

test('a table leaves out columns in which no row says anything, and keeps every cell under its head', () => {
  const rows = [
    { who: 'a', level: '1' },
    { who: 'b', level: '' },
  ];
  const blocks = table('x', rows, [
    names('who', ({ who }) => who),
    words('empty', () => ''),
    numbers('dB', ({ level }) => level),
  ]);
  const page = renderHtml(
    { title: 't', lead: [], sections: [{ id: 's', title: 's', blocks }] },
    { style: STYLE, untitled: '' },
  );
  expect(page).not.toContain('empty');
  expect(page).toContain('<tr><th scope="row">a</th><td class="number">1</td></tr>');
  expect(page).toContain('<tr><th scope="row">b</th><td class="number"></td></tr>');
});

test('what is set into markup stays text', () => {
  expect(markup(html`<p title="${`"'><b>&`}">${'<b>'}</p>`)).toBe(
    '<p title="&#34;&#39;&#62;&#60;b&#62;&#38;">&#60;b&#62;</p>',
  );
});

/** Relative luminance and contrast: WCAG 2.1. */
function contrast(one: string, other: string): number {
  const luminance = (colour: string): number => {
    const hex = colour.length === 4 ? colour.replace(/[\da-f]/g, '$&$&') : colour;
    const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
      const value = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
      return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [high = 0, low = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a);
  return (high + 0.05) / (low + 0.05);
}

test('every text stands out from its ground by 4.5 to 1', () => {
  const rules = [...STYLE.matchAll(/([^{}]+)\{([^{}]*)\}/g)].flatMap(([, name = '', body = '']) => {
    const ink = /(?:^|[ ;])color: (#[\da-f]+)/.exec(body)?.[1];
    const ground = /background: (#[\da-f]+)/.exec(body)?.[1] ?? '#fff';
    return ink ? [{ name: name.trim(), ratio: contrast(ink, ground) }] : [];
  });
  expect(rules.length).toBeGreaterThan(12);
  expect(rules.filter(({ ratio }) => ratio < 4.5)).toEqual([]);
});
