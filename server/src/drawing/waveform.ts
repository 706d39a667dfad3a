import { type Axis, axis, moment, rangeOf } from './axis';
import { element, picture, polyline, words } from './svg';
import type { Trace, TracedChannel } from './trace';

/** A picture in an editor cannot know its theme: it brings its own paper, and ink that reads on it. */
export const paper = '#faf8f2';
export const ink = '#26241f';
const grid = '#cfcabc';
/** How channels are told apart: by their line, and by colour besides (dark ones of the Okabe-Ito set, safe for colour-blind eyes). */
export const styles: readonly { readonly colour: string; readonly dash: string | undefined }[] = [
  { colour: '#0063a0', dash: undefined },
  { colour: '#a84300', dash: '6 3' },
  { colour: '#00664a', dash: '1.5 2.5' },
  { colour: '#7a3d64', dash: '8 3 1.5 3' },
];

const width = 380;
const margin = { left: 48, right: 12, top: 24, bottom: 34 };
const plotHeight = 130;
const laneHeight = 62;
const laneGap = 10;
/** Where a unit must stand between lanes. */
const wideGap = 22;
/** Fewer samples than this are marked one by one: between them nothing is known. */
const fewSamples = 80;

/** Where one scale of levels is drawn. */
interface Lane {
  readonly top: number;
  readonly height: number;
  readonly time: Axis;
  readonly level: Axis;
  /** Whether its unit stands above it: at the first, and wherever it is another. */
  readonly named: boolean;
  x(value: number): number;
  y(value: number): number;
}

/**
 * A recording over time: its samples as lines laid over each other where they are few, else a lane a channel from lowest to highest.
 * Channels of one unit share one scale, so that levels compare; those of another have lanes and a scale of their own.
 * @param labels what the legend calls each channel; default its name
 * @returns SVG, 6 to 20 kB a channel at most
 */
export function waveform(trace: Trace, title: string, labels: readonly string[] = []): string {
  const { channels, timed, each, step } = trace;
  const lines = each === 1;
  const count = channels[0]!.low.length;
  const span = (lines ? count - 1 : count) * step;
  // A few periods out of the middle are told from their own start: nobody reads 512.003 off an axis.
  const start = lines ? trace.from : 0;
  const begin = trace.from - start;
  const time = axis(begin, begin + span, timed ? 's' : '', 5);
  const mixed = new Set(channels.map(({ unit }) => unit)).size > 1;
  const together = lines && !mixed;
  const lanes = lanesOf(
    together ? [channels[0]!] : channels,
    channels,
    time,
    together ? plotHeight : laneHeight,
    mixed,
  );
  const bottom = lanes.at(-1)!.top + lanes.at(-1)!.height;
  const total = bottom + margin.bottom;
  const middle = { 'text-anchor': 'middle', fill: ink };
  const caption = timed
    ? `time, ${time.unit}${start > 0 ? `, from ${moment(start)} on` : ''}`
    : 'sample (the recording states no time)';
  return picture(
    width,
    total,
    title,
    element('rect', { x: 0.5, y: 0.5, width: width - 1, height: total - 1, rx: 4, fill: paper, stroke: grid }),
    ...lanes.map(scales),
    ...channels.map((channel, at) => {
      const lane = lanes[together ? 0 : at]!;
      return lines ? curve(channel, at, lane, begin, step) : band(channel, at, lane, begin, step);
    }),
    legend(channels.map(({ name }, at) => labels[at] ?? name)),
    ...time.ticks.map(({ value, label }) => words(lanes[0]!.x(value), bottom + 14, label, middle)),
    words((margin.left + width - margin.right) / 2, bottom + 28, caption, middle),
  );
}

function lanesOf(
  first: readonly TracedChannel[],
  all: readonly TracedChannel[],
  time: Axis,
  height: number,
  mixed: boolean,
): Lane[] {
  return first.map(({ unit }, at) => {
    const top = margin.top + at * (height + (mixed ? wideGap : laneGap));
    const alike = all.filter((channel) => channel.unit === unit);
    const level = axis(...rangeOf(least(alike), most(alike)), unit, 5);
    return {
      top,
      height,
      time,
      level,
      named: at === 0 || mixed,
      x: (value) => margin.left + ((value - time.low) / (time.high - time.low)) * (width - margin.left - margin.right),
      y: (value) => top + height - ((value - level.low) / (level.high - level.low)) * height,
    };
  });
}

const least = (channels: readonly TracedChannel[]) =>
  channels.reduce((low, channel) => channel.low.reduce((a, b) => Math.min(a, b), low), Number.POSITIVE_INFINITY);
const most = (channels: readonly TracedChannel[]) =>
  channels.reduce((high, channel) => channel.high.reduce((a, b) => Math.max(a, b), high), Number.NEGATIVE_INFINITY);

/** The frame of a lane, its lines of equal level and time, and the labels of its levels. */
function scales(lane: Lane): string {
  const { time, level, top, height } = lane;
  const left = lane.x(time.low);
  const right = lane.x(time.high);
  const line = (x1: number, y1: number, x2: number, y2: number, stroke = grid) =>
    element('line', { x1, y1, x2, y2, stroke, 'stroke-width': 0.7 });
  return [
    ...time.ticks.map(({ value }) => line(lane.x(value), top, lane.x(value), top + height)),
    ...level.ticks.map(({ value }) => line(left, lane.y(value), right, lane.y(value), value === 0 ? ink : grid)),
    ...level.ticks.map(({ value, label }) =>
      words(left - 5, lane.y(value) + 4, label, { 'text-anchor': 'end', fill: ink }),
    ),
    ...(lane.named ? [words(6, top - 9, level.unit.replace('FS', 'full scale'), { fill: ink })] : []),
  ].join('');
}

/** Samples as a line, and as dots where they are few. */
function curve({ low }: TracedChannel, at: number, lane: Lane, begin: number, step: number): string {
  const points = [...low].map((value, i) => [lane.x(begin + i * step), lane.y(value)] as const);
  const dots = points.length < fewSamples ? points : [];
  return [
    stroke(at, polyline(points), { 'stroke-width': 1.6 }),
    ...dots.map(([cx, cy]) => element('circle', { cx, cy, r: 1.4, fill: styles[at]!.colour })),
  ].join('');
}

/** All between the lowest and the highest sample of each column. */
function band({ low, high }: TracedChannel, at: number, lane: Lane, begin: number, step: number): string {
  const x = (i: number) => lane.x(begin + (i + 0.5) * step);
  const top = [...high].map((value, i) => [x(i), lane.y(value)] as const);
  const under = [...low].map((value, i) => [x(i), lane.y(value)] as const).reverse();
  return stroke(at, `${polyline([...top, ...under])}Z`, {
    'stroke-width': 1,
    fill: styles[at]!.colour,
    'fill-opacity': '0.3',
  });
}

/** A path in a channel's own line. */
function stroke(at: number, d: string, more: Parameters<typeof element>[1]): string {
  const { colour, dash } = styles[at]!;
  return element('path', { d, fill: 'none', stroke: colour, 'stroke-dasharray': dash, ...more });
}

/** What each line stands for, above the plot; long names are cut. */
function legend(labels: readonly string[]): string {
  const left = margin.left + 26;
  const share = (width - margin.right - left) / labels.length;
  const fits = Math.max(3, Math.floor((share - 34) / 6));
  return labels
    .map((label, at) => {
      const x = left + at * share;
      const shown = label.length > fits ? `${label.slice(0, fits - 1)}…` : label;
      const sample = polyline([
        [x, 11],
        [x + 26, 11],
      ]);
      return stroke(at, sample, { 'stroke-width': 2 }) + words(x + 31, 15, shown, { fill: styles[at]!.colour });
    })
    .join('');
}
