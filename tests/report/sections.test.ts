import { describe, expect, test } from 'vitest';
import { text } from '../../src/format/text.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import { SECTIONS, type SectionName, sectionsFor } from '../../src/report/answer.ts';
import { everything, inFull, level, mic, plainOptions } from './hand-made.ts';
import { told } from './hand-told.ts';

const brief = text(told, plainOptions);
const full = (...sections: readonly SectionName[]) => text(told, inFull(...sections));

describe('which sections a page has', () => {
  const plain = { all: false, show: [], mics: false, uncertainty: false };

  test('the answers in brief where nobody asks for more; all of them with --all', () => {
    expect(sectionsFor(plain)).toMatchObject({ brief: true });
    expect(sectionsFor({ ...plain, all: true })).toEqual({ sections: SECTIONS, brief: false });
  });

  test('those asked for, in the order of the page', () => {
    const asked = { ...plain, show: ['rooms', 'bleed'] as const };
    expect(sectionsFor(asked)).toEqual({ sections: ['bleed', 'rooms'], brief: false });
  });

  test('with a microphone what there is of it; what is not sure where that is asked for', () => {
    const { sections, brief: isBrief } = sectionsFor({ ...plain, mics: true, uncertainty: true });
    expect(isBrief).toBe(false);
    expect(sections).toContain('inputs');
    expect(sections).toContain('uncertainty');
    expect(sections).not.toContain('exposure');
  });
});

describe('in brief', () => {
  test('bleed comes first, then fixes, and pitfalls last, each section with how to ask for its rest', () => {
    const heads = brief.split('\n').filter((line) => /^[A-Z].*--show/.test(line));
    expect(heads.map((line) => line.replace(/ {2}\(.*/, ''))).toEqual([
      ...['Signal to bleed', 'Fix first', "Can't be fixed in the mix", 'Main pairs'],
      ...['Hearing and sight lines', 'Headphones and cue', 'Noise exposure', 'Pitfalls'],
    ]);
  });

  test('tells a fix in a line: what it does for the mic in need, how long it takes, what it costs', () => {
    expect(brief).toContain(
      '  1 Move voice-mic in, 20 → 10 cm: voice-mic 6.0 → 9.0 dB, 2 min\n' +
        '  2 Have tuba play mf, not f: ghost of voice, 7.0 → 5.0 dB short, under 1 min;\n' +
        '    costs: tuba-mic 11.0 → 8.0 dB (now short)\n',
    );
  });

  test('says what passage alone it is about', () => expect(brief).toContain('Passage refrain only'));

  test('names what cannot be replaced or tuned, by how much and where', () => {
    expect(brief).toContain('  voice (replace): ghost -18.0 dB, 7.0 dB too loud, mostly in overheads');
    expect(brief).toContain('  tuba (tune): isolation 11.0 dB at tuba-mic, 9.0 dB short');
    expect(brief).toContain('  drums (replace): committed, overheads is shared with other parts');
  });

  test('has one row for each microphone, with its loudest bleeder', () => {
    // 4 dB short are two blocks of 2 dB to the left of the limit
    expect(brief).toMatch(/SHORT +voice-mic +6\.0 +-4\.0 +██┃ +drums +room 70%\n {2}marginal +tuba-mic/);
  });

  test('counts what is missed besides: a ghost and an edit of parts', () => {
    expect(brief.replaceAll('\n', ' ')).toMatch(/mics is short, [^;]*; \d other limits missed/);
  });

  test('adds a kit up: 80 and 80 dB of its pieces are louder than 82 dB of a tuba', () => {
    const levels = [
      level('voice', 90, { role: 'signal' }),
      level('tuba', 82),
      level('drums.kick', 80),
      level('drums.snare', 80),
    ];
    const page = text({ ...told, mics: [mic('voice-mic', { levels })], pairs: [] }, plainOptions);
    expect(page).toMatch(/SHORT +voice-mic +6\.0 +-4\.0 +█+┃ +drums /);
  });

  test('rather leaves the loudest bleeder out than cuts a name', () => {
    const name = 'second-violin-spot-beside-the-organ-loft';
    const page = text({ ...told, mics: [mic(name)], pairs: [] }, plainOptions);
    expect(page).toContain(`  ${name}  `);
    expect(page).not.toMatch(/margin.*mainly/);
  });

  test('gives demands, who cannot hear whom, and who is hidden', () => {
    expect(brief).toContain('singer must hear drums: -20 dB re everything else, 12.0 dB short');
    expect(brief).toContain('singer cannot hear drums (-20)');
    expect(brief).toContain('No sight line: singer and drummer (screen-1)');
  });

  test('lists headphones that are worn and leaks that are heard', () => {
    expect(brief.replace(/\s+/g, ' ')).toContain(
      'tuba (closed headphones, hears nobody by air): must have voice, own part; nice to have: drums',
    );
    expect(brief).toContain('tuba leaks into voice-mic: -30.0 dB');
    expect(brief).not.toContain('no headphones');
    expect(brief).not.toContain('drummer leaks');
  });

  test('does not say a ghost twice, and of a kind only the worst', () => {
    const pitfalls = brief.slice(brief.indexOf('Pitfalls'));
    expect(pitfalls).toContain('(2 more: --show pitfalls)');
    expect(pitfalls).toContain('these two comb');
    expect(pitfalls).not.toMatch(/ghost|those two/);
  });

  test('a plan that wants nothing replaced says so', () => {
    const page = text({ ...told, parts: told.parts.map((one) => ({ ...one, ...UNASKED })) }, plainOptions);
    expect(page).toContain('No part is marked replace or tune.');
  });
});

const UNASKED = {
  ...{ limit: null, margin: null, verdict: null, committed: null },
  isolation: {
    signalToBleed: 12,
    mic: 'm',
    passage: null,
    limit: null,
    margin: null,
    verdict: null,
    remark: null,
  },
} as const;

describe('in full', () => {
  test('combs count from 6 dB on, all of them with --all', () => {
    expect(full('delays')).toMatch(/drums +overheads\.left +voice-mic +2\.00 ms +2\.5 dB +9\.5 dB +250 Hz/);
    expect(full('delays')).not.toContain('167 Hz');
    expect(text(told, everything)).toContain('167 Hz');
    const atOnce = told.timing.rows.map((row) => ({ ...row, notches: null }));
    expect(text({ ...told, timing: { ...told.timing, rows: atOnce } }, inFull('delays'))).not.toMatch(
      /drums +overheads/,
    );
  });

  test('spots have their delays to main and overhead pairs, and the snare its place under them', () => {
    expect(full('delays')).toMatch(/voice-mic +voice +10\.00 ms +480 samples/);
    expect(full('delays')).toMatch(/snare-mic +drums\.snare +2\.50 ms +120 samples/);
    expect(full('delays')).toContain('drums.snare is 10 cm closer to overheads.left (0.30 ms early)');
    // 10 cm = 3.94 in: 7.9 halves, 8
    expect(text(told, { ...inFull('delays'), lengths: lengthsIn('ft') })).toContain(
      'drums.snare is 4 in closer to overheads.left (0.30 ms early)',
    );
  });

  test('a main pair tells balance, dryness, places and its recording angle', () => {
    const page = full('main-pair').replaceAll(/\n +/g, ' ');
    expect(page).toContain(
      'players span 40° left to 30° right; stereo recording angle (SRA) ±48° (±10°): 8° to spare',
    );
    expect(page).toMatch(/voice +0\.0 +-2\.0 +12° left/);
  });

  test('an input says where it wants a pad; noise that nobody knows has no column', () => {
    expect(full('inputs')).toMatch(/voice-mic +~138 +voice +pad +90\.0 +78\.0/);
    expect(full('inputs')).not.toContain('over room');
  });

  test('ears have the minutes first, those of OSHA beside', () => {
    expect(full('exposure')).toMatch(/player +NIOSH +OSHA +dBA[\s\S]*drummer +60 min/);
  });

  test('every pitfall says what would fix it', () => {
    expect(full('pitfalls').match(/fix: move it/g)).toHaveLength(4);
  });

  test('the tolerance has percentiles, the chance of its limit and what does most; the least sure first', () => {
    const page = full('uncertainty');
    expect(page).toMatch(/S\/B voice-mic +2\.0 +6\.0 +10\.0 +10 +10% +level, 7\.0 dB/);
    expect(page).toMatch(/S\/B voice-mic[\s\S]*3:1 voice-mic, tuba-mic +1\.0 +2\.0 +3\.0 +0 +100%/);
  });

  test('ties say which microphone binds', () => {
    expect(full('edits')).toMatch(/voice-mic +voice +drums +-12\.0/);
  });
});
