import { noise } from './simulate';
import { captures } from './world';

/**
 * How likely figures are, given what a specimen shows without noise: 0.3 dB along each phasor and 2° across it, a floor and what
 * channels pick up of the loudest, and one unknown phase a capture, integrated over.
 */

const probes = 3;
const ln2Pi = Math.log(2 * Math.PI);

/** dB on either side within which the chip's level, which both outputs share, and the recorder's scale lie: evenly each. */
const chipLevel = 1;
const recorderScale = 0.3;
/** Nodes of the integral over the loudness common to all; a tenth of a dB apart, a third of what noise blurs. */
const nodes = 26;
const widest = chipLevel + recorderScale;

/** ln of the density of a sum of two even spreads, dB⁻¹. */
const trapezoid = (db: number): number =>
  Math.log(Math.min(2 * recorderScale, Math.max(0, widest - Math.abs(db))) / (4 * chipLevel * recorderScale));

/** What was seen, turned capture by capture onto what is given; kept between calls, which never overlap. */
const channels = probes * captures.length;
const bare = new Float64Array(channels);
const along = new Float64Array(channels);
const across = new Float64Array(channels);
const most = new Float64Array(captures.length);

function align(seen: Float64Array, given: Float64Array): void {
  for (let c = 0; c < captures.length; c++) {
    let loudest = 0;
    let re = 0;
    let im = 0;
    for (let k = probes * c; k < probes * (c + 1); k++) {
      const p = given[2 * k]!;
      const q = given[2 * k + 1]!;
      bare[k] = Math.sqrt(p * p + q * q);
      loudest = Math.max(loudest, p * p + q * q);
      re += p * seen[2 * k]! + q * seen[2 * k + 1]!;
      im += p * seen[2 * k + 1]! - q * seen[2 * k]!;
    }
    most[c] = loudest;
    const length = Math.sqrt(re * re + im * im);
    re = length > 0 ? re / length : 1;
    im = length > 0 ? im / length : 0;
    for (let k = probes * c; k < probes * (c + 1); k++) {
      const x = seen[2 * k]! * re + seen[2 * k + 1]! * im;
      const y = seen[2 * k + 1]! * re - seen[2 * k]! * im;
      const u = bare[k]! > 0 ? given[2 * k]! / bare[k]! : 1;
      const v = bare[k]! > 0 ? given[2 * k + 1]! / bare[k]! : 0;
      along[k] = u * x + v * y;
      across[k] = u * y - v * x;
    }
  }
}

/** ln of the density of what was aligned, what is given being `by` times as loud. */
function aligned(by: number): number {
  let log = -channels * ln2Pi;
  for (let c = 0; c < captures.length; c++) {
    const floor = noise.floor * noise.floor + noise.crosstalk * noise.crosstalk * by * by * most[c]!;
    let square = 0;
    let product = 1;
    let tight = 0;
    let off = 0;
    for (let k = probes * c; k < probes * (c + 1); k++) {
      const loud = by * bare[k]!;
      const a = noise.along * noise.along * loud * loud + floor;
      const b = noise.across * noise.across * loud * loud + floor;
      const d = along[k]! - loud;
      square += (d * d) / a + (across[k]! * across[k]!) / b;
      product *= a * b;
      tight += (along[k]! * along[k]!) / b;
      off += (along[k]! * across[k]!) / b;
    }
    // One phase, nothing known of it: a small turn more, integrated as the Gaussian it is.
    if (tight > 0) {
      square -= (off * off) / tight;
      log -= 0.5 * Math.max(0, ln2Pi + Math.log(tight));
    }
    log -= 0.5 * (square + Math.log(product));
  }
  return log;
}

/** ln of the density of what was seen, given what one specimen gives. */
export function logDensity(seen: Float64Array, given: Float64Array): number {
  align(seen, given);
  return aligned(1);
}

/**
 * The same with the loudness integrated over what chip and recorder may be. `shift`: where in a step the integral's nodes stand,
 * 0…1. What even at its best loudness stays below `hopeless` is answered by that.
 */
export function overLevels(seen: Float64Array, given: Float64Array, shift: number, hopeless: number): number {
  align(seen, given);
  let own = 0;
  let theirs = 0;
  for (let k = 0; k < channels; k++) {
    own += along[k]! ** 2 + across[k]! ** 2;
    theirs += bare[k]! ** 2;
  }
  const edge = 10 ** (widest / 20);
  const bound = aligned(theirs > 0 ? Math.min(edge, Math.max(1 / edge, Math.sqrt(own / theirs))) : 1);
  if (bound < hopeless) return bound;
  const step = (2 * widest) / nodes;
  const logs: number[] = [];
  for (let n = 0; n < nodes; n++) {
    const db = -widest + (n + shift) * step;
    logs.push(aligned(10 ** (db / 20)) + trapezoid(db));
  }
  return logSum(logs) + Math.log(step);
}

export function logSum(logs: readonly number[]): number {
  let top = Number.NEGATIVE_INFINITY;
  for (const log of logs) top = Math.max(top, log);
  if (!Number.isFinite(top)) return top;
  let sum = 0;
  for (const log of logs) sum += Math.exp(log - top);
  return top + Math.log(sum);
}
