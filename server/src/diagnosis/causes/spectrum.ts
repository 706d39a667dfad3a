import type { PairFigures } from '../../signal/figures';
import { floors } from './priors';
import type { Take } from './takes';

/** How the power of something broadband lies over frequency: even over the hertz, or over the octaves. */
export type Colour = 'white' | 'pink';

/** Hz between which octaves are used: below a recorder's own corner, above its filters bend them. Common practice, no source. */
const lowest = 35;
const highest = 12e3;

/**
 * The octaves of a broadband recording of two channels as takes of their own, so that a corner is seen by its slope and an echo by
 * its comb. Only their levels to one another count: each is as loud as its share of the spectrum would make it, and the loudness of
 * all is free.
 *
 * @param whole the same recording as one take
 * @param seconds how long it is: an octave of B Hz has 2·B·T independent figures, so its RMS is known to 1/(2·√(B·T))
 */
export function octaveTakes(whole: Take, colour: Colour, pair: PairFigures, seconds: number): Take[] {
  return pair.bands.flatMap(({ from, to, rms }): Take[] => {
    if (from < lowest || to > highest || whole.channels.length !== 2) return [];
    const share = Math.sqrt(
      colour === 'white' ? (to - from) / highest : Math.log(to / from) / Math.log(highest / lowest),
    );
    const chance = 1 / (2 * Math.sqrt((to - from) * seconds));
    const factor = Math.SQRT2 / share;
    return [
      {
        ...whole,
        kind: 'power',
        bands: [{ hertz: Math.sqrt(from * to), weight: 1, octave: [from, to] }],
        gain: { name: `spectrum of ${whole.label}`, sd: floors.unknownGain },
        channels: whole.channels.map((channel, k) => ({
          ...channel,
          value: { re: factor * rms[k]!, im: 0 },
          sd: { along: factor * rms[k]! * Math.hypot(chance, floors.octave), across: Number.POSITIVE_INFINITY },
        })),
        correlation: undefined,
        delay: undefined,
      },
    ];
  });
}
