/** JUnit XML against two schemas that others hold it against: tests/schemas/README.md says where they are from. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { junit } from '../../src/format/check.ts';
import { hostile, limit, marginal, met, options, plan, week } from './check-plans.ts';

const schemas = ['junit.xsd', 'junit-server.xsd'].map((name) => ({
  name,
  text: readFileSync(new URL(`../schemas/${name}`, import.meta.url), 'utf8'),
}));

async function faults(xml: string, schema: string): Promise<readonly string[]> {
  const { errors } = await validateXML({ xml: [{ fileName: 'out.xml', contents: xml }], schema: [schema] });
  return errors.map(({ message }) => message);
}

test.each(schemas)('every answer fits $name', async ({ name, text }) => {
  // the copy of the Ant schema is of before it took in `skipped`: without that, all the rest must fit
  const fitted = (xml: string) =>
    name === 'junit.xsd' ? xml.replace(/ skipped="\d+"/g, '').replace(/<skipped>.*?<\/skipped>/gs, '') : xml;
  for (const check of [week, hostile, { plans: [], strict: false }])
    expect(await faults(fitted(junit(check, options)), text)).toEqual([]);
});

test.each(schemas)('$name refuses a lost name, a stranger and an open end', async ({ text }) => {
  const good = junit(week, options);
  expect(await faults(good.replace(/(<testcase) name="[^"]*"/, '$1'), text)).not.toEqual([]);
  expect(await faults(good.replaceAll('failure', 'failing'), text)).not.toEqual([]);
  expect(await faults(good.slice(0, -4), text)).not.toEqual([]);
});

test('a plan is a suite that counts its cases: missed is a failure, broken an error, not judged skipped', () => {
  const suites = [...junit(week, options).matchAll(/<testsuite [^>]*>/g)].map(([tag]) => tag);
  expect(suites.map((tag) => tag.match(/(tests|failures|errors|skipped)="\d+"/g)?.join(' '))).toEqual([
    'tests="4" failures="1" errors="0" skipped="1"',
    'tests="1" failures="0" errors="1" skipped="0"',
    'tests="1" failures="0" errors="0" skipped="0"',
    'tests="1" failures="0" errors="1" skipped="0"',
  ]);
  expect(suites[0]).toContain('timestamp="2024-02-29T23:59:58"');
  expect(suites[0]).toContain('time="0.250"');
});

test('a failure says where and how far', () => {
  expect(junit({ plans: [plan({ limits: [limit()] })], strict: false }, options)).toContain(
    '<testcase name="signal-to-bleed voice-mic" classname="plans/monday" time="0"><failure ' +
      'message="voice-mic: S/B 6.0 dB, limit 10 (for later: rebalance), 4.0 dB short" ' +
      'type="signal-to-bleed">plans/monday.yaml:12:3 voice-mic: ',
  );
});

test('strict counts a limit met by a hair as a failure', () => {
  const plans = [plan({ limits: [marginal, met] })];
  expect(junit({ plans, strict: false }, options)).not.toContain('<failure');
  expect(junit({ plans, strict: true }, options)).toContain('failures="1"');
});

test('a hostile name comes back whole from the XML, but for what XML cannot hold', async () => {
  const { normalized } = await validateXML({
    xml: [{ fileName: 'out.xml', contents: junit(hostile, options) }],
    normalization: 'c14n',
  });
  // canonical XML 1.0 writes attributes with &lt; &amp; &quot; and white space by number, the rest as it is
  expect(normalized).toContain(
    `name="&lt;a href=&quot;x&quot;>&amp;amp;'&quot;]]>\\u{1b}[2J\u202e%0A::error::,:{0}[a](b)&#xD;&#xA;line 2&#x9;🎤\\u{0}\\u{d800} end"`,
  );
});
