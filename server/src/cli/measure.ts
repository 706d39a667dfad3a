import { readStimulus } from '../board/measurements';
import { parseBoard } from '../dialect/parse';
import { parseQuantity } from '../quantity/quantity';
import type { RecordingFigures, Stimulus } from '../signal/figures';
import type { MeasureRequest } from '../signal/measure';
import { formatOf, playedStimulus } from '../workspace/requests';
import { jsonNumber } from './json';
import { measureText } from './measure-text';
import { readOptions, type Surroundings, Usage, type Verb } from './verb';

export const measure: Verb = {
  name: 'measure',
  summary: 'the figures of one recording, with no board',
  help: `buzzout measure CAPTURE [--stimulus WHAT] [--full-scale V] [--json]

Prints the figures of a WAV or CSV recording.

  --stimulus     what was being played, as a board writes it:
                 silence, programme, sweep, all-in-one, or '{tone: 997 Hz, side: left}'
  --full-scale   volts, peak, at digital full scale of a WAV file; figures are then in volts
  --json         the figures as JSON`,
  async run(args, around) {
    const options = readOptions(args, ['--stimulus', '--full-scale'], ['--json']);
    const [path, ...more] = options.rest;
    if (path === undefined || more.length > 0) throw new Usage('name one recording');
    const stimulus = stimulusOf(options.values.get('--stimulus'));
    const scale = scaleOf(options.values.get('--full-scale'));
    const uri = around.toUri(path);
    const stat = await around.files.stat(uri);
    if (!stat || stat.kind === 'folder')
      return refuse(around, stat ? `${path} is a folder` : `there is no file ${path}`);
    const request: MeasureRequest = { format: formatOf(path), stimulus };
    const task = { kind: 'measure' as const, uri, size: stat.size };
    const control = { cancelled: () => false, progress: () => {} };
    let outcome = await around.compute({ ...task, request }, control);
    if ('figures' in outcome && scale !== undefined) {
      const channels = outcome.figures.channels.map((channel, index) => ({
        plus: index + 1,
        name: channel.name,
        scale,
      }));
      outcome = await around.compute({ ...task, request: { ...request, channels } }, control);
    }
    if ('error' in outcome) return refuse(around, `${path}: ${outcome.error}`);
    around.out(options.flags.has('--json') ? measureJson(outcome.figures) : measureText(outcome.figures));
    return 0;
  },
};

function refuse(around: Surroundings, text: string): 2 {
  around.err(`buzzout: ${text}\n`);
  return 2;
}

function scaleOf(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  const { quantity, problem } = parseQuantity(text, ['voltage'], { amplitude: 'peak' });
  if (!quantity) throw new Usage(`--full-scale ${problem?.message}`);
  return quantity.value;
}

/** The stimulus as a board would write it. */
function stimulusOf(text: string | undefined): Stimulus | null {
  if (text === undefined) return null;
  const parsed = parseBoard(`board: b\ncaptures:\n  c:\n    stimulus: ${text}\n`);
  const entry = parsed.value.value?.captures?.value?.[0]?.value.value?.stimulus;
  const problem = parsed.problems[0];
  const stimulus = readStimulus(entry, { states: [], problems: [], points: () => [] });
  if (problem || !stimulus) throw new Usage(`--stimulus: ${problem?.message ?? `${text} is no stimulus`}`);
  return playedStimulus(stimulus);
}

/** The stable fields of the contract, with everything else beside them. */
function measureJson(figures: RecordingFigures): string {
  const { rate, frames, channels, pairs, ...rest } = figures;
  return `${JSON.stringify({ rate, frames, channels, pairs, ...rest }, jsonNumber, 2)}\n`;
}
