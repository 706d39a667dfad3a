import { readStimulus } from '../board/measurements';
import { parseBoard } from '../dialect/parse';
import { measureText } from '../editor/describe/measurement';
import { parseQuantity } from '../quantity/quantity';
import type { RecordingFigures, Stimulus } from '../signal/figures';
import { type MeasureOutcome, type MeasureRequest, measure as measureSource } from '../signal/measure';
import { memorySource } from '../signal/source';
import { formatOf, playedStimulus } from '../workspace/requests';
import { jsonNumber } from './json';
import { readOptions, type Surroundings, Usage, type Verb } from './verb';

export const measure: Verb = {
  name: 'measure',
  summary: 'the figures of one recording, with no board',
  help: `buzzout measure CAPTURE [--stimulus WHAT] [--full-scale V] [--json]

Prints the figures of a WAV or CSV recording; - reads it from standard input.

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
    const opened = path === '-' ? await fromStandardInput(around) : await fromFile(around, path);
    if ('refused' in opened) return refuse(around, opened.refused);
    const request: MeasureRequest = { format: opened.format, stimulus };
    let outcome = await opened.measure(request);
    if ('figures' in outcome && scale !== undefined) {
      const channels = outcome.figures.channels.map(({ name }, index) => ({ plus: index + 1, name, scale }));
      outcome = await opened.measure({ ...request, channels });
    }
    if ('error' in outcome) return refuse(around, `${path}: ${outcome.error}`);
    around.out(options.flags.has('--json') ? measureJson(outcome.figures) : measureText(outcome.figures));
    return 0;
  },
};

interface Opened {
  readonly format: MeasureRequest['format'];
  measure(request: MeasureRequest): Promise<MeasureOutcome>;
}

async function fromFile(around: Surroundings, path: string): Promise<Opened | { readonly refused: string }> {
  const uri = around.toUri(path);
  const stat = await around.files.stat(uri);
  if (!stat || stat.kind === 'folder') return { refused: stat ? `${path} is a folder` : `there is no file ${path}` };
  const control = { cancelled: () => false, progress: () => {} };
  return {
    format: formatOf(path),
    measure: (request) => around.compute({ kind: 'measure', uri, size: stat.size, request }, control),
  };
}

/** What comes in has no name: a WAV says by its first bytes that it is one. */
async function fromStandardInput(around: Surroundings): Promise<Opened> {
  const bytes = await around.standardInput();
  const start = new TextDecoder('latin1').decode(bytes.subarray(0, 4));
  return {
    format: /^(RIFF|RIFX|RF64|BW64)$/.test(start) ? 'wav' : 'csv',
    measure: (request) => measureSource(memorySource(bytes), request),
  };
}

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
