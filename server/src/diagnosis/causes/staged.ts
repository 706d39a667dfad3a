import type { Context } from './context';
import type { Heard } from './reach';
import type { Gain, Metered, Take } from './takes';

/** A take the network can be asked about: each channel's port in each band's context. */
export interface Staged {
  readonly take: Take;
  readonly gain: Gain;
  readonly contexts: readonly Context[];
  /** By band, then channel. */
  readonly ports: readonly (readonly number[])[];
  /** Where its channels stand in the prediction. */
  readonly first: number;
  readonly heard: Heard;
  /** An earlier take of the very same things under the same programme: what it shows, this one shows. */
  readonly like: Staged | undefined;
}

export interface StagedMeter {
  readonly meter: Metered;
  readonly context: Context;
  readonly port: number;
  readonly atChip: boolean;
  readonly slot: number;
  readonly heard: Heard;
}

/**
 * What a hypothesis predicts: a phasor (tone), a peak level, V or Ω for each slot, real and imaginary part side by side; what
 * each slot moves by when a shared unknown is one standard deviation off; the correlation of each take.
 */
export interface Prediction {
  readonly values: Float64Array;
  readonly columns: ReadonlyMap<string, Float64Array>;
  readonly correlations: readonly (number | undefined)[];
  /** Under programme whose sides nobody knows: the correlations that any programme might give, least and most. */
  readonly ranges: readonly (readonly [number, number] | undefined)[];
}
