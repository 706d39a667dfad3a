import type { Capture } from '../../board/measured';
import type { Trace } from '../../drawing/trace';
import { waveform } from '../../drawing/waveform';
import { image, prose } from '../markdown';

/** Recordings as they are drawn, by capture name; none for a client that shows no pictures. */
export type Traces = ReadonlyMap<string, Trace>;

export const noTraces: Traces = new Map();

/** A capture over time as a picture in Markdown; undefined where there is none to be shown. */
export function plot(capture: Capture, traces: Traces): string | undefined {
  const trace = traces.get(capture.name);
  if (!trace) return undefined;
  const labels = trace.channels.map(({ name }) => {
    const points = capture.channels.find(({ key }) => key === name)?.points ?? [];
    return points.length === 0 ? name : `${name}: ${points.map((point) => point.text).join(' − ')}`;
  });
  return image(`${prose(capture.name)} over time`, waveform(trace, `${capture.name} over time`, labels));
}
