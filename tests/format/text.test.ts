import { stripVTControlCharacters } from 'node:util';
import { describe, expect, test } from 'vitest';
import { displayWidth } from '../../src/format/table.ts';
import { text } from '../../src/format/text.ts';
import type { MicRow } from '../../src/judge/signal-to-bleed.ts';
import {
  everything,
  exposed,
  inFull,
  level,
  mic,
  plainOptions,
  session,
  silent,
} from '../report/hand-made.ts';
import { told } from '../report/hand-told.ts';

const line = (page: string, start: string): string =>
  page.split('\n').find((one) => one.trim().startsWith(start)) ?? '';

describe('the page', () => {
  test.each([80, 120, 140])('no line of a full report is wider than %i columns', (width) => {
    const wide = {
      ...session,
      title: '長い題名'.repeat(40),
      mics: [...session.mics, mic('マイク-スネア-上'.repeat(4))],
    };
    for (const report of [session, silent, wide, told]) {
      const lines = text(report, { ...everything, width }).split('\n');
      expect(lines.filter((one) => displayWidth(one) > width)).toEqual([]);
    }
  });

  test('names in wide scripts and emoji keep the columns in line', () => {
    const names = ['a-mic', 'マイク', '🎤-mic', 'é-mic', 'e\u0301-mic', '👩‍🎤'];
    const page = text(
      { ...session, pairs: [], mics: names.map((name) => mic(name)), lines: [] },
      plainOptions,
    );
    const places = names.map((name) => {
      const row = line(page, `${name} `);
      return displayWidth(row.slice(0, row.indexOf('4.0 dB SHORT')));
    });
    expect(new Set(places).size).toBe(1);
  });

  test('colour only adds escapes: without them the page is the same', () => {
    const coloured = text(session, { ...everything, colour: true });
    expect(coloured).toContain('\u001b[');
    expect(stripVTControlCharacters(coloured)).toBe(text(session, everything));
  });

  test('a name that would steer the terminal prints as an escape', () => {
    const hostile = 'x\u001b[2J\u202ey\u0007\n\u009b1mz';
    const report = {
      ...session,
      title: hostile,
      rooms: session.rooms.map((room) => ({ ...room, name: hostile })),
      mics: [
        mic(hostile, { for: [hostile], limitFrom: hostile, remark: hostile, levels: [level(hostile, 3)] }),
      ],
      lines: [{ name: hostile, for: [hostile] }],
      exposure: [exposed(hostile, 100, 15)],
    };
    const assumptions = [{ path: [hostile], kind: 'assumed', text: hostile }] as const;
    const page = text({ ...report, assumptions }, { ...everything, listAssumptions: true });
    expect(page.replaceAll('\n', '')).not.toMatch(/\p{Cc}|\u202e/u);
    expect(page).toContain('x\\u{1b}[2J\\u{202e}y\\u{7}\\u{a}\\u{9b}1mz');
  });

  test('nothing that is not there prints as null, NaN or undefined', () => {
    const endless = {
      ...session,
      rooms: session.rooms.map((room) => ({ ...room, schroeder: Number.POSITIVE_INFINITY })),
    };
    for (const report of [silent, endless, session, told]) {
      expect(text(report, everything)).not.toMatch(/(?<!(its|the) )\bnull\b|NaN|undefined|Infinity/);
    }
  });
});

describe('signal to bleed', () => {
  test('the headline counts the microphones and names the worst', () => {
    expect(text(session, inFull('bleed')).split('\n').slice(1, 3)).toEqual([
      '1 of 3 mics is short, 1 marginal, 1 clear, 2 not judged, 1 DI',
      'Worst: voice-mic (voice), 4.0 dB short',
    ]);
  });

  test('where nothing is short the headline names what is closest to its limit, if anything is', () => {
    const near = mic('near', { margin: 4, verdict: 'clear' });
    const alone = mic('alone', { margin: null, verdict: 'clear', bleedShares: null });
    const page = (mics: MicRow[]) => text({ ...session, pairs: [], mics }, plainOptions);
    expect(page([alone, near])).toContain('Closest to its limit: near (voice), clear, 4.0 dB to spare');
    expect(page([alone])).not.toContain('Closest');
  });

  test('the worst stand first, and what has no verdict after them', () => {
    const page = text(session, inFull('bleed'));
    const order = ['voice-mic', 'tuba-mic', 'overheads', 'left', 'right', 'main', 'ambience', 'bass-di'];
    const places = order.map((name) => page.indexOf(`\n${line(page, `${name} `)}`));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(line(page, 'main ')).toMatch(/not judged$/);
    expect(line(page, 'ambience ')).toMatch(/not judged$/);
    expect(line(page, 'bass-di ')).toMatch(/DI, no bleed$/);
  });

  test('a short mic says what bleeds into it, by which paths, and what helps', () => {
    const page = text(session, inFull('bleed'));
    expect(page.slice(page.indexOf('  voice-mic'), page.indexOf('  tuba-mic'))).toMatchInlineSnapshot(`
      "  voice-mic  voice     6.0     10  4.0 dB SHORT
            250 Hz to 2 kHz; limit from later: rebalance; 1.0 dB unweighted; 12.5 dB
            without room sound
            bleed from  dB re signal  distance  mic off-axis
            drums               -7.0    3.25 m          115°
            tuba               -13.0    3.25 m          115°
            Bleed: 70% room, 20% direct, 10% first reflections
            Room: closer mic, softer playing, absorption, another room
            Direct: re-aim, use the null, add a baffle
            Baffles gain 1.2 dB at most (absorption aside)
      "
    `);
  });

  test('bleeders count from the signal in the same octaves: 83 dB beside 90 dB is -7.0', () => {
    expect(line(text(session, inFull('bleed')), 'drums ')).toMatch(/drums +-7\.0 +3\.25 m +115°/);
  });

  test('the main bleeders are those that hold nine tenths of the bleed; --all names every one', () => {
    // 80 dB beside 60 dB: the first holds 99 %
    const levels = [level('voice', 90, { role: 'signal' }), level('loud', 80), level('soft', 60)];
    const report = { ...session, pairs: [], mics: [mic('m', { levels })] };
    expect(text(report, inFull('bleed'))).toContain('1 other, -30.0 dB');
    expect(text(report, { ...inFull('bleed'), all: true })).toMatch(/soft +-30\.0/);
  });

  test('the unweighted figure stands beside the judged one only where they differ by 3 dB', () => {
    const page = (whole: number) =>
      text({ ...session, pairs: [], mics: [mic('m', { signalToBleedUnweighted: whole })] }, inFull('bleed'));
    expect(page(3)).toContain('3.0 dB unweighted');
    expect(page(3.1)).not.toContain('dB unweighted');
  });

  test('what gets nothing of its own is short in words, what nobody else reaches is clear', () => {
    const page = text(silent, inFull('bleed'));
    expect(line(page, 'deaf-mic ')).toMatch(/none +10 +SHORT, no signal$/);
    expect(line(page, 'alone-mic ')).toMatch(/none +10 +clear, no bleed$/);
  });

  test('a name too long for its column stands in full under its row', () => {
    const name = 'the-one-over-there-'.repeat(5);
    const parts = ['first horn of the back row', 'second horn of the back row'];
    const page = text({ ...session, pairs: [], mics: [mic(name, { for: parts })] }, inFull('bleed'));
    const table = page.slice(page.indexOf('verdict'), page.indexOf('250 Hz to'));
    const unspaced = (written: string) => written.replaceAll(/\s+/g, '');
    expect(unspaced(table)).toContain(unspaced(`${name}, for ${parts.join(', ')}`));
  });

  test('a plan without microphones says so', () => {
    const page = text({ ...silent, mics: [], lines: [] }, plainOptions);
    expect(page).toContain('\nNo mics\n');
    expect(page).not.toContain('Signal to bleed');
  });
});

describe('the rest', () => {
  test('the matrix gives each source re the signal: 83 dB where the signal is 90 is -7', () => {
    const page = text(session, { ...inFull('matrix'), width: 120 });
    const matrix = page.slice(page.indexOf('Bleed matrix'));
    expect(
      line(matrix, 'signal, dB SPL')
        .trim()
        .split(/\s{2,}/)
        .slice(1),
    ).toEqual(['90', '90', '90', '90', '90', '90']);
    expect(line(matrix, 'drums').trim().split(/\s+/).slice(1)).toEqual(['6*', '6*', '-7', '-7', '-7', '-7']);
  });

  test('sums by octave add energies: 71 dB and 61 dB are 71.4 dB', () => {
    // 10·lg(10^7.1 + 10^6.1) = 71.41
    const page = text(session, { ...plainOptions, bands: true });
    const ofLeft = page.slice(page.indexOf('overheads.left', page.indexOf('By octave')));
    expect(line(ofLeft, 'bleed')).toMatch(/^ {2}bleed( +71\.4){8}$/);
  });

  test('octaves below the Schroeder frequency are marked uncertain', () => {
    const page = text(session, { ...inFull('uncertainty'), width: 120 });
    expect(page).toContain('hall: ±5 dB at 63 Hz: below');
    expect(page).toContain('store: ±5 dB at 63, 125 Hz: below');
  });

  test('94 dBA is one hour a day by NIOSH, and 84 dBA is not listed', () => {
    // NIOSH 98-126: 8 h / 2^((94 − 85)/3) = 1 h
    const page = text(session, plainOptions);
    expect(page).toContain('drummer 60 min (94.0 dBA)');
    expect(page).not.toMatch(/day:.*singer/);
    expect(page).toContain('An estimate: measure, and follow local rules.');
    expect(page).toContain('main stands in a walkway; move it 40 cm');
  });

  test('assumptions are counted, and listed when asked for', () => {
    const assumptions = [
      { path: ['mics', 'voice-mic', 'at'], kind: 'default', text: 'height taken as 1.5 m' },
    ] as const;
    const answer = { ...session, assumptions };
    expect(text(answer, plainOptions)).toContain('1 value assumed (--assumptions)');
    expect(text(answer, { ...plainOptions, listAssumptions: true })).toContain(
      '  - mics.voice-mic.at: height taken as 1.5 m (default)',
    );
  });
});
