/** Takes to levels: whose each is, which channel is which microphone, and those that cannot be used. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Scene } from '../scene/scene.ts';
import { channelNames } from './channel-names.ts';
import { complaint } from './complaint.ts';
import { NOISE } from './names.ts';
import type { Entry } from './readings.ts';
import { LONGEST, measureTake, type Take } from './take.ts';
import { type ByteSource, openWave } from './wav.ts';

/** A file of a take. `mic` is null where its channels are all microphones of the plan. */
export type TakeFile = {
  readonly who: string;
  readonly mic: string | null;
  readonly file: string;
  readonly bytes: ByteSource;
};

export type ReadTakes = { readonly entries: readonly Entry[]; readonly findings: readonly Finding[] };

/** Quieter than this on its loudest channel, dB re full scale, nobody played. Common practice, no source. */
const QUIET = -60;
/** Less than this tells no level, s. Common practice, no source. */
const SHORTEST = 0.5;

/** The files of one take, or one: they are read to their end before the next is asked for. */
export function readTake(files: readonly TakeFile[], scene: Scene): ReadTakes {
  const findings: Finding[] = [];
  const takes = files.flatMap((one) => measured(one, scene, findings) ?? []);
  const [first] = files;
  if (first && takes.length === files.length && first.who !== NOISE) refuseQuiet(first, takes, findings);
  return { entries: takes.flatMap(entriesOf), findings };
}

type Measured = { readonly file: TakeFile; readonly take: Take; readonly names: readonly string[] };

function measured(file: TakeFile, scene: Scene, findings: Finding[]): Measured | null {
  const refuse = (code: Finding['code'], message: string, mend: string) => {
    findings.push(complaint(code, { file: file.file }, message, mend));
    return null;
  };
  const wave = openWave(file.bytes);
  if ('problem' in wave)
    return refuse('FILE_UNREADABLE', `${file.file} cannot be read: ${wave.problem}`, FORMATS);
  const seconds = wave.frames / wave.rate;
  if (seconds > LONGEST)
    return refuse(
      'BAD_RANGE',
      `${file.file} lasts ${seconds.toFixed(0)} s`,
      `cut it to what one player plays alone, at most ${LONGEST} s`,
    );
  const names = channelNames(scene, file.mic, wave.channels);
  if ('problem' in names) return refuse('WRONG_SHAPE', `${file.file} ${names.problem}`, names.mend);
  const take = measureTake(wave, file.who === NOISE);
  const [clipped] = take.clipped;
  if (clipped !== undefined)
    return refuse(
      'BAD_RANGE',
      `${file.file} is clipped on channel ${clipped + 1}, ${names[clipped]}`,
      'turn the gain down and play it again',
    );
  return { file, take, names };
}

const FORMATS = 'write it as WAVE with PCM of 16, 24 or 32 bits, or float';

function refuseQuiet({ who, file }: TakeFile, takes: readonly Measured[], findings: Finding[]): void {
  const loudest = Math.max(...takes.map(({ take }) => take.loudest));
  const seconds = Math.max(...takes.map(({ take }) => take.seconds));
  const level = Number.isFinite(loudest) ? `${loudest.toFixed(0)} dB re full scale` : 'silence';
  if (!(loudest >= QUIET)) {
    const message = `the take of ${who} is too quiet: ${level} on its loudest channel`;
    findings.push(
      complaint(
        'BAD_RANGE',
        { file },
        message,
        'turn the gain up, or see that the right channels were recorded',
      ),
    );
  } else if (seconds < SHORTEST) {
    const message = `the take of ${who} holds only ${seconds.toFixed(1)} s of playing`;
    findings.push(complaint('BAD_RANGE', { file }, message, 'let it play for some seconds'));
  }
}

/** An octave in which a channel holds nothing is a gap; a channel that is no microphone's says nothing. */
const entriesOf = ({ file, take, names }: Measured): Entry[] =>
  names.flatMap((mic, channel) =>
    NOMINAL_BANDS.flatMap((_, layer): Entry[] => {
      if (mic === '') return [];
      const level = take.levels[channel]?.[layer] ?? null;
      const place = { file: file.file };
      return [
        {
          who: { name: file.who, place },
          mic: { name: mic, place },
          layer,
          level: level !== null && Number.isFinite(level) ? level : null,
          unit: '',
          place,
        },
      ];
    }),
  );
