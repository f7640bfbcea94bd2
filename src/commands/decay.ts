/** `spillcheck decay`: decay times of a room from recorded claps. */
import type { Finding } from '../finding.ts';
import { decayJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { openFile } from '../io/files.ts';
import { announce, fileFinding } from '../io/terminal.ts';
import { clapsIn } from '../recording/decay.ts';
import { FORMATS, openWave } from '../recording/wave.ts';
import { type ClapFile, decayOf, decayView } from '../report/decay.ts';
import { deliver, overwrites, pageOf, refused } from './output.ts';
import type { AnswerOptions } from './pipeline.ts';

export type DecayOptions = Pick<AnswerOptions, 'all' | 'json' | 'output'> & { readonly chart?: true };

/** Exit code: 0 done, 2 refused. */
export async function decay(files: readonly string[], options: DecayOptions): Promise<0 | 2> {
  const read: ClapFile[] = [];
  const findings: Finding[] = [];
  for (const file of new Set(files)) {
    const heard = clapsOf(file);
    if ('code' in heard) findings.push(heard);
    else read.push(heard);
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

function clapsOf(file: string): ClapFile | Finding {
  const bytes = openFile(file);
  if ('code' in bytes) return bytes;
  const done = announce(`reading ${file} …`);
  const wave = openWave(bytes);
  const claps = 'problem' in wave ? [] : clapsIn(wave);
  bytes.close();
  done();
  if ('problem' in wave) return fileFinding(`${file} cannot be read: ${wave.problem}`, FORMATS);
  if (claps.length > 0) return { file, claps };
  return fileFinding(
    `${file} holds no clap: nothing in it starts suddenly`,
    'record a clap after a second of quiet',
  );
}
