import { levels, loudnessCaution, rates, type TestSignal, testSignals } from '../signal/test-signals';
import { wavBytes } from '../signal/wav-writer';
import { readOptions, Usage, type Verb } from './verb';

export const signals: Verb = {
  name: 'signals',
  summary: 'writes the test signals as WAV files, the all-in-one recording among them',
  help: `buzzout signals FOLDER [--rate ${rates.usual}] [--level ${levels.usual}]

Writes stereo test signals into a folder, and says how a board names each as a stimulus.

  --rate    samples a second, ${rates.least} to ${rates.most}
  --level   level of the tones in dBFS, ${levels.least} to ${levels.most}; a full-scale sine is 0 dBFS (AES17)`,
  async run(args, around) {
    const options = readOptions(args, ['--rate', '--level'], []);
    const [folder, ...more] = options.rest;
    if (folder === undefined || more.length > 0) throw new Usage('name one folder');
    const rate = within(options.values.get('--rate'), '--rate', rates);
    const level = within(options.values.get('--level'), '--level', levels);
    const top = folder.endsWith('/') ? folder : `${folder}/`;
    const rows: [string, TestSignal][] = [];
    for (const signal of testSignals) {
      const path = `${top}${signal.name}.wav`;
      try {
        await around.write(around.toUri(path), wavBytes(signal.render(rate, level), rate, 16));
      } catch (error) {
        around.err(`buzzout: ${path} cannot be written: ${(error as Error).message}\n`);
        return 2;
      }
      rows.push([path, signal]);
    }
    for (const [path, signal] of rows)
      around.out(`${path}  ${signal.seconds.toFixed(0)} s\n  ${signal.shows}\n  stimulus: ${signal.written(level)}\n`);
    around.out(`\n${loudnessCaution}\n`);
    return 0;
  },
};

function within(
  text: string | undefined,
  name: string,
  { least, usual, most }: { least: number; usual: number; most: number },
): number {
  if (text === undefined) return usual;
  const value = Number(text.replace('−', '-'));
  if (!Number.isFinite(value) || value < least || value > most)
    throw new Usage(`${name} is a number from ${least} to ${most}, not ${text}`);
  return value;
}
