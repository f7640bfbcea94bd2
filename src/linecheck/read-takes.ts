/** Takes to levels: whose each is, which channel is which microphone, and those that cannot be used. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Finding } from '../finding.ts';
import type { Scene } from '../scene/scene.ts';
import { channelNames } from './channel-names.ts';
import { complaint } from './complaint.ts';
import { NOISE } from './names.ts';
import type { Entry } from './readings.ts';
import { LONGEST, measureTakes, type Take } from './take.ts';
import { type ByteSource, openWave, type Wave } from './wav.ts';

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

/** The files of one take: a file, or one for each microphone. */
export function readTake(files: readonly TakeFile[], scene: Scene): ReadTakes {
  const findings: Finding[] = [];
  const opened = files.flatMap((one) => openedTake(one, scene, findings) ?? []);
  const [first] = files;
  if (!first || findings.length > 0) return { entries: [], findings };
  const takes = measureTakes(
    opened.map(({ wave }) => wave),
    first.who === NOISE,
  );
  const measured = opened.map((one, i) => ({ ...one, take: takes[i] as Take }));
  for (const one of measured) refuseClipped(one, findings);
  if (first.who !== NOISE) refuseQuiet(first, takes, findings);
  return { entries: measured.flatMap(entriesOf), findings };
}

type Opened = { readonly file: TakeFile; readonly wave: Wave; readonly names: readonly string[] };
type Measured = Opened & { readonly take: Take };

function openedTake(file: TakeFile, scene: Scene, findings: Finding[]): Opened | null {
  const refuse = (code: Finding['code'], message: string, mend: string) => {
    findings.push(complaint(code, { file: file.file }, `${file.file} ${message}`, mend));
    return null;
  };
  const wave = openWave(file.bytes);
  if ('problem' in wave) return refuse('FILE_UNREADABLE', `cannot be read: ${wave.problem}`, FORMATS);
  const seconds = wave.frames / wave.rate;
  const mend = `cut it to what one player plays alone, at most ${LONGEST} s`;
  if (seconds > LONGEST) return refuse('BAD_RANGE', `lasts ${seconds.toFixed(0)} s`, mend);
  const names = channelNames(scene, file.mic, wave.channels);
  return 'problem' in names ? refuse('WRONG_SHAPE', names.problem, names.mend) : { file, wave, names };
}

function refuseClipped({ file: { file }, take, names }: Measured, findings: Finding[]): void {
  const [clipped] = take.clipped;
  if (clipped === undefined) return;
  const name = names[clipped] ? `, ${names[clipped]}` : '';
  const message = `${file} is clipped on channel ${clipped + 1}${name}`;
  findings.push(complaint('BAD_RANGE', { file }, message, 'turn the gain down and play it again'));
}

const FORMATS = 'write it as WAVE with PCM of 16, 24 or 32 bits, or float';

function refuseQuiet({ who, file }: TakeFile, takes: readonly Take[], findings: Finding[]): void {
  const loudest = Math.max(...takes.map((take) => take.loudest));
  const seconds = Math.max(...takes.map((take) => take.seconds));
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
