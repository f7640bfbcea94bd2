/** The sheet on paper, in a spreadsheet and in a browser: nothing lost, and nothing that a name says does anything. */
import { describe, expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { sheetFormats } from '../../src/format/lists.ts';
import type { Sheet } from '../../src/report/sheet.ts';
import { sheetOf } from '../report/sheet-of.ts';

const EVIL = `<img src=x onerror=alert(1)>"'&amp;</td></table>`;

const hostile: Sheet = {
  title: `</title><script>alert(1)</script>`,
  lists: [
    {
      key: 'inputs',
      title: 'Input list',
      columns: [
        { head: 'channel', kind: 'word' },
        { head: 'input', kind: 'word', naming: true },
        { head: 'remarks', kind: 'word', under: true },
      ],
      rows: [
        ['1', EVIL, 'two, or "three"'],
        ['2', '=1+2', '＝A1'],
        ['3', '@SUM', ' +1'],
        ['4', '-tuba', 'fine'],
        ['5', 'чудо 演奏者 🎺', "it's"],
      ],
      notes: [EVIL],
    },
    {
      key: 'cautions',
      title: 'Cautions',
      columns: [{ head: 'caution', kind: 'word' }],
      rows: [[EVIL]],
      notes: [],
    },
  ],
};

/** RFC 4180 to the letter; throws where a text is none. */
function records(csv: string): string[][] {
  const rows: string[][] = [];
  let rest = csv;
  let row: string[] = [];
  while (rest !== '') {
    const met = /^(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|\r\n)/.exec(rest);
    if (!met) throw new Error(`not RFC 4180: ${rest.slice(0, 40)}`);
    row.push(met[1]?.replaceAll('""', '"') ?? met[2] ?? '');
    if (met[3] === '\r\n') {
      rows.push(row);
      row = [];
    }
    rest = rest.slice(met[0].length);
  }
  return rows;
}

describe('as CSV', () => {
  const rows = records(sheetFormats.csv(hostile));

  test('every record has as many fields, the first its list', () => {
    expect(new Set(rows.map((row) => row.length))).toEqual(new Set([4]));
    expect(new Set(rows.map(([list]) => list))).toEqual(new Set(['inputs', 'cautions']));
  });

  test('quotes and commas come back whole', () => {
    expect(rows[1]).toEqual(['inputs', '1', EVIL, 'two, or "three"']);
    expect(rows[5]).toEqual(['inputs', '5', 'чудо 演奏者 🎺', "it's"]);
  });

  test('no field is a formula to a spreadsheet', () => {
    expect(rows[2]?.slice(2)).toEqual(["'=1+2", "'＝A1"]);
    expect(rows[3]?.slice(2)).toEqual(["'@SUM", "' +1"]);
    expect(rows[4]?.slice(2)).toEqual(["'-tuba", 'fine']);
  });
});

describe('as a page', () => {
  const page = sheetFormats.html(hostile);

  test('is well-formed to a strict parser', async () => {
    const { errors } = await validateXML({
      xml: [{ fileName: 'sheet.html', contents: page }],
      normalization: 'c14n',
    });
    expect(errors).toEqual([]);
  });

  test('holds no element but its own', () => {
    const elements = new Set([...page.matchAll(/<([a-z][a-z0-9]*)/gi)].map(([, name]) => name));
    expect([...elements].sort()).toEqual(
      'body div h1 h2 head header html li main meta p section style table tbody td th thead title tr ul'.split(
        ' ',
      ),
    );
  });

  test('lets in nothing but its own style, by hash', () => {
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1];
    expect(policy).toMatch(
      /^default-src &#39;none&#39;; style-src &#39;sha256-[\w+/]{43}=&#39;; base-uri &#39;none&#39;; form-action &#39;none&#39;$/,
    );
    expect(page).not.toMatch(/<[^>]+\b(?:style|on\w+|src|href)=/);
  });

  test('names each row for whoever hears it read', () => {
    expect(page).toContain('<th scope="row">-tuba</th>');
  });
});

describe('as text', () => {
  test('keeps to 80 columns and loses no word', async () => {
    const name = 'a-player-whose-name-does-not-end-before-the-page-does-and-then-some-more';
    const text = sheetFormats.text(
      await sheetOf(`players: {${name}: {at: [0, 0], facing: 0, plays: tuba}}
mics: {${name}-mic: {for: ${name}, near: {distance: 40 cm}}}`),
    );
    expect(Math.max(...text.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
    expect(text.replace(/\s+/g, '')).toContain(
      'aimedata-player-whose-name-does-not-end-before-the-page-does-and-then-some-more',
    );
  });
});

test('controls in names are written out in every format', async () => {
  const sheet = await sheetOf(
    'title: "one\\u202etwo\\u001b[2J"\nplayers: {tuba: {at: [0, 0], facing: 0, plays: tuba}}',
  );
  expect(sheet.title).toBe('one\\u{202e}two\\u{1b}[2J');
});
