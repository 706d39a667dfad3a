import { degrees, wrap } from './angle';
import type { SineFit } from './sine-fit';
import { toneAt } from './tones';

/**
 * What a driven channel leaves in another at one frequency, measured selectively, so that noise and hum do not set the reading.
 */
export interface Leak {
  /** Hz. */
  readonly frequency: number;
  /** The undriven channel over the driven one, dB (negative where it is quieter). An upper bound where `floor`. */
  readonly level: number;
  readonly levelSd: number;
  /** Nothing but noise is there: `level` is two deviations of what noise puts there. */
  readonly floor: boolean;
  /** Undriven against driven, degrees; null where `floor`. */
  readonly phase: number | null;
  readonly phaseSd: number | null;
}

/** A leak is there from this many deviations on. Common practice, no source. */
const evident = 4;

/**
 * Synchronous detection: both channels fitted at the stimulus' exact frequency (three-parameter fit, IEEE 1057), the undriven
 * one judged by the noise near it. Null where the driven channel carries no such tone.
 *
 * @param step of the recorder: a tone of less than half of it leaves no trace where no noise carries it. 0: none.
 */
export function leakAt(
  driven: Float64Array,
  undriven: Float64Array,
  rate: number,
  frequency: number,
  step = 0,
): Leak | null {
  const omega = (2 * Math.PI * frequency) / rate;
  const [from, into] = [toneAt(driven, omega), toneAt(undriven, omega)];
  return from && into && leakBetween(from, into, frequency, step / 2);
}

/**
 * The same of two channels fitted already, at one frequency over one record.
 *
 * @param resolution amplitude below which the undriven channel's format shows no tone at all, where nothing is heard there.
 */
export function leakBetween(from: SineFit, into: SineFit, frequency: number, resolution = 0): Leak | null {
  if (!(from.amplitude > evident * from.sd.amplitude)) return null;
  // Rounding of the driven tone is the least any reading can resolve.
  const least = Math.max(into.sd.amplitude, from.amplitude * 1e-12);
  const floor = into.amplitude <= evident * least;
  const amplitude = floor ? Math.max(into.amplitude + 2 * least, resolution) : into.amplitude;
  return {
    frequency,
    level: 20 * Math.log10(amplitude / from.amplitude),
    levelSd: (20 / Math.LN10) * Math.hypot(least / amplitude, from.sd.amplitude / from.amplitude),
    floor,
    phase: floor ? null : degrees(wrap(into.phase - from.phase)),
    phaseSd: floor ? null : degrees(Math.hypot(least / amplitude, from.sd.phase)),
  };
}

export type LeakSign = 'in-phase' | 'inverted' | 'leading' | 'lagging';

/** What a leak's sign and slope say of its path. */
export type LeakPath = 'common-return' | 'resistive' | 'capacitive' | 'return-capacitor';

/** The quadrant a phase in degrees lies in, second channel against first. */
export function signOf(phase: number): LeakSign {
  if (Math.abs(phase) <= 45) return 'in-phase';
  if (Math.abs(phase) >= 135) return 'inverted';
  return phase > 0 ? 'leading' : 'lagging';
}

export interface LeakCurve {
  /** dB per decade, least squares weighted by the deviations; null below two frequencies an octave apart. */
  readonly slope: number | null;
  readonly slopeSd: number | null;
  readonly sign: LeakSign | null;
  /** Null where sign and slope fit none plainly. */
  readonly path: LeakPath | null;
}

/**
 * Slope and sign of a leak over frequency, and the path they speak for, by Kirchhoff: a shared resistance in the return inverts
 * and is flat; a resistance between the sides keeps the sign and is flat; a capacitance between them rises by 20 dB a decade, a
 * quarter turn ahead; a coupling capacitor in the common return falls by 20 dB a decade, inverted and turned a quarter.
 * Bounds (`floor`) take no part.
 */
export function leakCurve(leaks: readonly Leak[]): LeakCurve {
  const heard = leaks.filter(({ floor }) => !floor);
  if (heard.length === 0) return { slope: null, slopeSd: null, sign: null, path: null };
  let [w, wx, wy, wxx, wxy] = [0, 0, 0, 0, 0];
  const turn = { re: 0, im: 0 };
  for (const { frequency, level, levelSd, phase } of heard) {
    // No reading is trusted beyond a tenth of a decibel: contacts and ripples in the response are worse.
    const weight = 1 / (levelSd ** 2 + 0.1 ** 2);
    const x = Math.log10(frequency);
    w += weight;
    wx += weight * x;
    wy += weight * level;
    wxx += weight * x * x;
    wxy += weight * x * level;
    turn.re += weight * Math.cos((phase! * Math.PI) / 180);
    turn.im += weight * Math.sin((phase! * Math.PI) / 180);
  }
  const spread = wxx - (wx * wx) / w;
  const frequencies = heard.map(({ frequency }) => frequency);
  const wide = Math.max(...frequencies) >= 2 * Math.min(...frequencies);
  const slope = wide ? (wxy - (wx * wy) / w) / spread : null;
  const sign = signOf(degrees(Math.atan2(turn.im, turn.re)));
  return { slope, slopeSd: wide ? 1 / Math.sqrt(spread) : null, sign, path: pathOf(sign, slope) };
}

/** Half way between the slopes the paths have, dB per decade. */
const steep = 10;

function pathOf(sign: LeakSign, slope: number | null): LeakPath | null {
  if (slope === null) return null;
  if (Math.abs(slope) < steep) return sign === 'inverted' ? 'common-return' : sign === 'in-phase' ? 'resistive' : null;
  if (slope > steep) return sign === 'leading' ? 'capacitive' : null;
  return sign === 'leading' || sign === 'inverted' ? 'return-capacitor' : null;
}
