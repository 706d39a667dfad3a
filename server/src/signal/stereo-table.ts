import type { Echo } from './echo';
import type { Relation } from './figures';
import type { OutputCase } from './output-cases';
import type { Leak, LeakPath, LeakSign } from './separation';
import type { PartName } from './sequence';

/**
 * All the stereo figures one take of the all-in-one recording yields. Plain data. Levels in dB re `reference` (the louder side
 * driven alone at 997 Hz), phases in degrees of the second channel against the first, pairs as [first channel, second channel].
 */
export interface StereoTable {
  /** RMS of 0 dB, in the samples' unit. */
  readonly reference: number;
  readonly rows: readonly StereoRow[];
  /** What each side, driven alone, leaves in the channel that is not its own. Null where the part is missing or silent. */
  readonly leftDriven: Crosstalk | null;
  readonly rightDriven: Crosstalk | null;
  /** Right's level, driven alone, over left's, each in the channel where it is louder, dB. */
  readonly balance: number | null;
  readonly balanceSd: number | null;
  /** Whether a tone on both comes out in phase or opposed; null where it vanishes or one side is silent. */
  readonly polarity: 'same' | 'opposed' | null;
  /** The 61 Hz tone over the 997 Hz one, each side driven alone, dB: what coupling parts take. */
  readonly lowLeft: number | null;
  readonly lowRight: number | null;
  /** How much later right arrives than left, s; null where one side is missing. */
  readonly rightLate: number | null;
  readonly rightLateSd: number | null;
  /** What comes once more, the strongest of both sides; null where nothing does or sync is at one end only. */
  readonly echo: Echo | null;
  /** RMS of what is there under silence, per channel, in the samples' unit; null where that part is missing. */
  readonly noise: readonly [number, number] | null;
  /** What this take shows the output to be, all together; empty: none of the cases known. */
  readonly found: readonly OutputCase[];
  /** In words with the figures. */
  readonly because: string;
}

/** One part: a tone, measured selectively at its frequency, or noise, measured over everything. */
export interface StereoRow {
  readonly part: PartName;
  /** Hz as recorded; null for noise. */
  readonly frequency: number | null;
  readonly level: readonly [number, number];
  /** Whether the part stands out of the noise, per channel; where not, `level` is an upper bound. */
  readonly heard: readonly [boolean, boolean];
  readonly phase: number | null;
  /** Of a tone: the cosine of its phase. Null where a channel is silent. */
  readonly correlation: number | null;
  /** Half-sum and half-difference of the channels, dB re `reference`. */
  readonly mid: number;
  readonly side: number;
  readonly relation: Relation;
}

export interface Crosstalk {
  /** The channel the side comes out of: 0 or 1. */
  readonly channel: 0 | 1;
  /** How far the other channel lies below it at 997 Hz, dB; a lower bound where `floor`. */
  readonly separation: number;
  readonly floor: boolean;
  readonly phase: number | null;
  readonly sign: LeakSign | null;
  /** dB per decade over all the frequencies at hand. */
  readonly slope: number | null;
  readonly slopeSd: number | null;
  readonly path: LeakPath | null;
  /** At 61 Hz, 997 Hz, and octave by octave from the chirps. */
  readonly points: readonly Leak[];
}
