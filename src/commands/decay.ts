/** `spillcheck decay`: decay times of a room from recorded claps. */
import type { Finding } from '../finding.ts';
import { decayJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { openFile } from '../io/files.ts';
import { announce, CHECK_PATH, fileFinding } from '../io/terminal.ts';
import { heardOnce } from '../io/watch.ts';
import type { Heard } from '../plan/files.ts';
import { clapsIn } from '../recording/decay.ts';
import { type ByteSource, FORMATS, openWave } from '../recording/wave.ts';
import { type ClapFile, decayOf, decayView } from '../report/decay.ts';
import { deliver, overwrites, pageOf, refused } from './output.ts';

export type DecayOptions = {
  readonly all?: true;
  readonly chart?: true;
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function decay(files: readonly string[], options: DecayOptions): Promise<0 | 2> {
  const read: ClapFile[] = [];
  const findings: Finding[] = [];
  for (const file of new Set(files)) {
    const heard = heardIn(file);
    if ('problem' in heard) findings.push(fileFinding(`${file}: ${heard.problem}`, heard.fix));
    else read.push({ file, ...heard });
  }
  if (findings.length > 0) return refused(...findings);
  if (await overwrites([options.output])) return 2;
  const found = decayOf(read);
  const page = pageOf(options);
  return deliver(
    options.json ? decayJson(found) : renderText(decayView(found, options), page),
    options.output,
  );
}

/** The claps of a file, or why there are none, in words that follow its name and a colon. */
export const heardIn = (file: string): Heard =>
  heardOnce(file, () => {
    const bytes = openFile(file);
    if ('problem' in bytes) return { ...bytes, fix: CHECK_PATH };
    const done = announce(`reading ${file} …`);
    const heard = clapsOf(bytes);
    bytes.close();
    done();
    return heard;
  });

export function clapsOf(bytes: ByteSource): Heard {
  const wave = openWave(bytes);
  if ('problem' in wave) return { problem: wave.problem, fix: FORMATS };
  const claps = clapsIn(wave);
  if (claps.length > 0) return { claps };
  return {
    problem: 'no clap in it: nothing starts suddenly and dies away',
    fix: 'record a clap after a second of quiet',
  };
}
