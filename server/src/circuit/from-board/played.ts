import type { Stimulus } from '../../board/measured';
import { toVoltsRms } from '../../quantity/convert';
import type { Sources } from '../assemble';
import type { BoardNetwork } from './build';
import { weightsOf } from './chips';

/** How loud each programme is, as a factor of full scale, with its sign. */
export interface Programme {
  readonly left: number;
  readonly right: number;
}

/** Programmes a stimulus plays one at a time: unlike signals add as powers, so each is worked out alone. */
export function programmes(side: Stimulus['side'], level = 1): Programme[] {
  switch (side) {
    case 'left':
      return [{ left: level, right: 0 }];
    case 'right':
      return [{ left: 0, right: level }];
    case 'opposed':
      return [{ left: level, right: -level }];
    case 'unlike':
      return [
        { left: level, right: 0 },
        { left: 0, right: level },
      ];
    default:
      return [{ left: level, right: level }];
  }
}

/** The factor of full scale a stimulus plays at; undefined where its level is not stated in dBFS. */
export const levelOf = (stimulus: Stimulus): number | undefined =>
  stimulus.level?.unit === 'dBFS' ? 10 ** (stimulus.level.value / 20) : undefined;

/** V RMS a generator gives; undefined where its level is not stated in volts, dBV or dBu. */
export const generatorVolts = (stimulus: Stimulus): number | undefined =>
  stimulus.level === undefined ? undefined : (toVoltsRms(stimulus.level) ?? undefined);

/**
 * The chip's outputs as sources for a programme, in V RMS (of a 0 dBFS sine times the factor), under the mode the part runs in or
 * `mode`. `unit` stands in for a full scale that is not stated: then only ratios mean anything.
 */
export function sourcesFor(
  board: BoardNetwork,
  programme: Programme,
  options: { mode?: string; unit?: number } = {},
): Sources {
  const sources: Record<string, number> = {};
  for (const output of board.outputs) {
    const weights = weightsOf(output.pin, options.mode ?? output.pin.part.modeName);
    const full = output.fullScale ?? options.unit;
    if (!weights || full === undefined) continue;
    sources[output.name] = full * (weights.left * programme.left + weights.right * programme.right);
  }
  return sources;
}
