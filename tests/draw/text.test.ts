/** Names that would break out of the drawing if they could. */
import { describe, expect, test } from 'vitest';
import { drawn, expectXml, toldOf, unescaped } from './drawn.ts';
import { HOSTILE } from './plans.ts';

describe('hostile names', () => {
  test('come out as they were written, and add no element and no attribute', async () => {
    const told = await toldOf(HOSTILE);
    const svg = drawn(told);
    await expectXml(svg);
    const tags = new Set([...svg.matchAll(/<([a-zA-Z]+)/g)].map(([, tag]) => tag));
    expect([...tags].sort()).toEqual(
      ['circle', 'desc', 'g', 'path', 'rect', 'style', 'svg', 'text', 'title'].filter((tag) => tags.has(tag)),
    );
    expect(svg).not.toMatch(/<script|<[^>]*\s(?:href|on\w+)=/);
    const texts = [...svg.matchAll(/<text [^>]*>([^<]*)<\/text>/g)].map(([, text = '']) => unescaped(text));
    for (const { name } of [...told.scene.players, ...told.scene.mics, ...told.scene.rooms])
      expect(texts).toContain(name);
  });

  test('a mark that turns the direction of writing becomes visible', async () => {
    const svg = drawn(await toldOf(HOSTILE));
    expect(svg).not.toMatch(/[\u202a-\u202e\u2066-\u2069]/u);
    expect(svg).toContain('\\u{202e}');
  });

  test('what is written from right to left says so, and all text is isolated from its neighbours', async () => {
    const svg = drawn(await toldOf(HOSTILE));
    expect(svg).toMatch(
      /<text class="label player" x="[\d.]+" y="[\d.]+" direction="rtl">זמרת ראשונה<\/text>/,
    );
    expect(svg).toMatch(/direction="rtl">مغنية<\/text>/);
    expect(svg).not.toMatch(/direction="rtl">合奏/);
    expect(svg).toMatch(/text\{[^}]*unicode-bidi:isolate/);
    // a name stands on its middle, which is the same from either side
    expect(svg).toMatch(/\.label\{text-anchor:middle/);
  });
});

test('a long title ends in an ellipsis within the page', async () => {
  const svg = drawn(await toldOf(`spillcheck: 1\ntitle: ${'a very long title '.repeat(30)}\n`));
  expect(svg).toMatch(/<text class="title"[^>]*>a very long title [^<]*…<\/text>/);
});
