import { type Capture, stimulusText } from '../../board/measured';
import { degrees } from '../../checks/channels/words';
import { deviations } from '../../checks/levels/deviations';
import { formatQuantity } from '../../quantity/format';
import type { ChannelFigures, PairFigures, RecordingFigures } from '../../signal/figures';
import type { BoardAnalysis } from '../analysis';
import { bullets, code, paragraphs, prose } from '../markdown';
import { noTraces, plot, type Traces } from './plot';
import { inUnit, levelText } from './quantities';

/** A recording: what was played, where its channels sat, and the figures it came to. */
export function describeCapture(analysis: BoardAnalysis, capture: Capture, traces: Traces = noTraces): string {
  const state = analysis.snapshot.captures.get(capture.name);
  return paragraphs(
    captureHead(capture, traces),
    state === undefined
      ? undefined
      : state.is === 'pending'
        ? pendingText(state)
        : state.is === 'failed'
          ? prose(state.message)
          : figuresText(state.figures, capture, predictedTones(analysis, capture)),
  );
}

/** What is told of a recording whose figures are not there yet. */
export const pendingText = ({ stopped }: { readonly stopped?: true }): string =>
  stopped ? 'Its measurement was stopped. The line above it in the board begins it again.' : 'Being measured.';

/** What was played, how it looks, and where its channels sat. */
export function captureHead(capture: Capture, traces: Traces): string {
  const where = capture.channels.map(
    (channel) => `channel ${code(channel.key)} on ${channel.points.map((point) => code(point.text)).join(' against ')}`,
  );
  return paragraphs(
    `**${prose(capture.name)}** · ${prose(stimulusText(capture.stimulus))}`,
    plot(capture, traces),
    bullets([
      ...(capture.file ? [`file ${code(capture.file.path)}`] : []),
      ...where,
      ...(capture.state === 'as-found' ? [] : [`taken after ${code(capture.state)}`]),
      ...(capture.coupling === 'ac' ? ['AC-coupled: it says nothing about DC'] : []),
    ]),
  );
}

/** What the network says a tone comes to, in words, by channel. */
type Predicted = ReadonlyMap<string, string>;

/** The tones of a recording as the network predicts them, where everything that takes is stated. */
const predictedTones = ({ snapshot }: BoardAnalysis, capture: Capture): Predicted =>
  new Map(
    deviations(snapshot).flatMap((one) => {
      const channel = capture.channels.find(({ span }) => one.capture === capture && span === one.span);
      return channel && one.predicted !== null
        ? [[channel.key, `${formatQuantity(one.predicted, 'V')} RMS`] as const]
        : [];
    }),
  );

/** The figures of a recording, those a bench asks for first. */
function figuresText(figures: RecordingFigures, capture: Capture, predicted: Predicted): string {
  const { rate, duration, channels, pairs, warnings, sequence } = figures;
  const head = [
    prose(figures.format),
    ...(rate > 0 ? [formatQuantity(rate, 'Hz', 6)] : []),
    formatQuantity(duration, 's'),
  ].join(', ');
  return paragraphs(
    head,
    ...warnings.map((warning) => `**${prose(warning.text)}**`),
    sequence
      ? `All-in-one recording, found at ${formatQuantity(sequence.start, 's')}: ${sequence.segments.map((one) => code(one.name)).join(', ')}.`
      : channelTable(channels, capture, predicted),
    ...(sequence ? [] : pairs.map(pairText)),
  );
}

type Row = readonly [string, (channel: ChannelFigures) => string | null];

const rows: readonly Row[] = [
  ['level', levelText],
  ['peak', (channel) => inUnit(channel.peak, channel)],
  ['tone', (channel) => channel.tone && formatQuantity(channel.tone.frequency, 'Hz', 6)],
  ['THD', (channel) => db(channel.thd)],
  ['THD+N, 20 Hz–20 kHz', (channel) => db(channel.thdnAudio)],
  ['noise', (channel) => channel.noise && formatQuantity(channel.noise.flat, channel.unit === 'FS' ? 'dBFS' : 'dBV')],
  ['hum', (channel) => db(channel.hum)],
  ['clipped', (channel) => (channel.clipped ? `${channel.clipped} runs` : null)],
];

const db = (value: number | null): string | null => (value === null ? null : formatQuantity(value, 'dB'));

function channelTable(channels: readonly ChannelFigures[], capture: Capture, predicted: Predicted): string {
  const [level, ...others] = rows;
  const dc: Row = ['DC', (channel) => inUnit(channel.dc, channel)];
  const tone: Row = ['tone by the network', ({ name }) => predicted.get(name) ?? null];
  const shown = [...(capture.coupling === 'dc' ? [dc] : []), level!, tone, ...others];
  const lines = shown.flatMap(([label, show]) => {
    const cells = channels.map((channel) => show(channel) ?? '');
    return cells.some((cell) => cell !== '') ? [`| ${label} | ${cells.join(' | ')} |`] : [];
  });
  return [
    `| | ${channels.map((channel) => prose(channel.name)).join(' | ')} |`,
    `| --- |${' --- |'.repeat(channels.length)}`,
    ...lines,
  ].join('\n');
}

/** How two channels stand to each other, and what the stimulus lets one conclude from it. */
function pairText(pair: PairFigures): string {
  const facts = [
    pair.phase === null ? undefined : `phase ${degrees(pair.phase)}`,
    pair.correlation === null ? undefined : `correlation ${pair.correlation.toFixed(3).replace('-', '−')}`,
    pair.coherence === null ? undefined : `coherence ${pair.coherence.toFixed(3)}`,
    pair.balance === null ? undefined : `balance ${formatQuantity(pair.balance, 'dB')}`,
    pair.delay === null ? undefined : `delay ${formatQuantity(pair.delay, 's')}`,
  ].filter((fact) => fact !== undefined);
  const { can, cannot } = pair.tells;
  return paragraphs(
    `**${pair.channels.map(prose).join(' and ')}: ${pair.relation}** · ${prose(pair.because)}`,
    facts.join(', '),
    can.length > 0 && `This stimulus can tell:\n\n${bullets(can.map(prose))}`,
    cannot.length > 0 && `It cannot tell:\n\n${bullets(cannot.map(prose))}`,
  );
}
