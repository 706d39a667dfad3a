import type { Board } from '../board/board';
import type { Capture, Stimulus } from '../board/measured';
import { sideOf } from '../board/sides';
import { parseQuantity } from '../quantity/quantity';
import type { Stimulus as PlayedStimulus } from '../signal/figures';
import type { MeasureRequest } from '../signal/measure';
import type { ChannelRequest } from '../signal/select';

/** The format of a recording by its name: WAV, else CSV. */
export const formatOf = (path: string): MeasureRequest['format'] => (/\.wave?$/i.test(path) ? 'wav' : 'csv');

/** What the signal room needs to know of a stimulus. */
export function playedStimulus(stimulus: Stimulus | undefined): PlayedStimulus | null {
  if (!stimulus) return null;
  const level = stimulus.level?.unit === 'dBFS' ? stimulus.level.value : undefined;
  return {
    kind: stimulus.kind,
    ...(stimulus.frequency !== undefined && { tone: stimulus.frequency }),
    ...(stimulus.side && { side: stimulus.side }),
    ...(level !== undefined && { level }),
  };
}

/** What is to be measured in a capture: its channels with their scale and side, under its stimulus. */
export function measureRequest(board: Board, capture: Capture): MeasureRequest {
  const format = formatOf(capture.file?.path ?? '');
  const copper = board.at(capture.state);
  const unit =
    capture.unit === undefined ? undefined : parseQuantity(`1 ${capture.unit}`, ['voltage', 'current']).quantity;
  const probe = capture.probe === 1 ? null : capture.probe;
  const scale = format === 'csv' ? probe : capture.fullScale === undefined ? null : capture.fullScale * capture.probe;
  return {
    format,
    channels: capture.channels.map((channel): ChannelRequest => {
      const node = channel.points.length === 1 ? copper.node(channel.points[0]!.ref.name) : undefined;
      return {
        plus: /^\d+$/.test(channel.key) ? Number(channel.key) : channel.key,
        name: channel.key,
        scale,
        ...(format === 'csv' && unit && { written: unit.value }),
        ...(unit?.dimension === 'current' && { unit: 'A' as const }),
        side: (node && sideOf(copper, node)) ?? null,
      };
    }),
    stimulus: playedStimulus(capture.stimulus),
    coupling: capture.coupling,
  };
}
