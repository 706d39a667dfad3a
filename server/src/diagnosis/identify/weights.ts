import type { Evidence } from '../../quantity/figure';
import type { CopperKind } from './seen';

/** How often what is known in each way is wrong: a guess often, a beep now and then. Common practice, no source. */
export const wrongness: Readonly<Record<Evidence, number>> = {
  measured: 0.05,
  buzzed: 0.05,
  seen: 0.08,
  stated: 0.1,
  assumed: 0.35,
};
/** And what has been concluded from all that has been found on copper that is not yet listed in full. */
export const unfinished = 0.4;
/**
 * Nobody knows how careful a bench was: so many times as often wrong as above, with so much weight each. Three benches, of 1.5, 4 and
 * 10 wrong beeps in a hundred, and the evidence is the mean of what it would be on each: two pins that do not fit speak less than
 * twice against a pinout, since they also say that this bench slips. Careful ones weigh more because a bench that is wrong one time
 * in ten lets almost any pinout pass for the right one at the first six pins.
 */
export const cares: readonly { readonly factor: number; readonly weight: number }[] = [
  { factor: 0.3, weight: 0.4 },
  { factor: 0.8, weight: 0.4 },
  { factor: 2, weight: 0.2 },
];

/** No bench is wrong more often than this, whatever it guessed. */
export const mostWrong = 0.6;

/**
 * What a stated range, bias or frequency counts for when a reading keeps to it or not, against a data sheet that states none. A kept
 * range counts more the fewer supplies would keep to it, to the power of `trust`: in full, whoever wrote more into a pinout would win.
 */
export const stated = {
  volts: { trust: 0.7, broken: 0.12 },
  bias: { kept: 1.4, broken: 0.2 },
  frequency: { kept: 3, broken: 0.15 },
} as const;

/** Pins of one chip are not quite independent, and no table fits every workshop: the sum of their evidence is trusted this far. */
export const trust = 0.98;

/**
 * On any chip the ends of a crystal, the lines of a bus and both sides of an output lie beside each other: how likely each neighbour
 * of a pin that leads there is the other one. Without it two ends of a crystal would count as two coincidences against a chip that
 * nobody has offered, where they are hardly more than one. Common practice, no source.
 */
export const beside: Partial<Record<CopperKind, number>> = {
  clock: 0.45,
  data: 0.35,
  'audio-coupled': 0.4,
  'audio-straight': 0.4,
  'audio-divided': 0.4,
};

/** A pin that the candidate's package does not have was seen all the same: against the background. */
export const noSuchPin = 0.02;

/** Below this against the background a pin contradicts, above the other it agrees: common practice, no source. */
export const verdicts = { contradicts: 0.2, agrees: 1.25 } as const;

/** Before anything is seen. */
export const priors = {
  /** The chip is none of those offered. */
  none: 0.1,
  /** How the pins were counted; what a package cannot be counted as falls to the others in proportion. */
  numbering: {
    'as-marked': 0.56,
    'half-turn': 0.13,
    'quarter-turn': 0.045,
    'three-quarter-turn': 0.045,
    mirrored: 0.22,
  },
  /** Of the reflections: the share of counting clockwise from pin 1 and of pins seen from below with pin 1 in its corner. */
  usualMirror: 0.9,
  /** What the writer named, against others in reach. */
  stated: 5,
  /** A pinout whose package has another number of pins than the part is said to have. */
  otherPackage: 0.02,
} as const;

/**
 * How much a marking says: a pattern that matches counts twofold for every two letters it spells out, at most `most`; a data
 * sheet that lists markings and has none that matches counts `mismatch`. Chips are relabelled and share houses: it stays modest.
 */
export const markingWeight = { most: 16, mismatch: 0.25 } as const;
