import { fourier, powerOfTwoFrom } from './fft';
import { windowOf } from './windows';

/** A sine that stands out of the noise around it. */
export interface Line {
  /** Hz, and its standard deviation. */
  readonly frequency: number;
  readonly sd: number;
  readonly rms: number;
  /** Power over the mean noise power of its bin; a line has at least `ln(bins/α)`, some 13 dB. */
  readonly overNoise: number;
}

/** Longest record looked at: 5.5 s at 48 kHz, bins of a fifth of a hertz. */
const longest = 1 << 18;
/** Chance that a record of noise alone shows any line. */
const alpha = 1e-3;
/** Bins whose median is the noise among them: as many near 0 Hz, where noise is steep, and a sixth of the frequency above. */
const fewest = 64;
const most = 2048;
/** Bins from 0 Hz within which drift is no line. */
const drift = 8;

/**
 * The lines of a record, by rising frequency: peaks of one long Blackman-Harris spectrum that noise of the local level would
 * reach once in a thousand records. Takes the middle of what is longer than 2^18 samples. Frequencies by a parabola through the
 * logarithms of the peak (twice zero-padded, so within a thousandth of a bin); their deviation is the Cramér–Rao bound times
 * what the window costs.
 */
export function findLines(samples: Float64Array, rate: number): Line[] {
  const length = Math.min(samples.length, longest);
  if (length < 8 * fewest || !(rate > 0)) return [];
  const start = (samples.length - length) >> 1;
  const window = windowOf('blackman-harris', length);
  const size = 2 * powerOfTwoFrom(length);
  const padded = new Float64Array(size);
  const record = samples.subarray(start, start + length);
  const mean = record.reduce((sum, value) => sum + value, 0) / length;
  for (let n = 0; n < length; n++) padded[n] = (record[n]! - mean) * window.values[n]!;
  const spectrum = fourier(size).real(padded);
  const power = new Float64Array(size / 2 + 1);
  for (let k = 0; k < power.length; k++) power[k] = spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;

  const stride = size / length; // padded bins a true bin
  const floor = noiseFloor(power, stride);
  const threshold = Math.log(length / 2 / alpha);
  const lobe = Math.ceil(4 * stride); // half the window's main lobe
  const lines: Line[] = [];
  for (let k = Math.ceil(drift * stride); k < power.length - lobe; k++) {
    const { noise, doubt } = floor(k);
    if (power[k]! < threshold * noise * doubt || power[k]! === 0 || !highest(power, k, lobe)) continue;
    const [offset, peak] = parabola(Math.log(power[k - 1]!), Math.log(power[k]!), Math.log(power[k + 1]!));
    const line = Math.exp(peak);
    // Amplitude A of a sine shows as A·Σw/2; noise of variance σ² as σ²·Σw².
    const amplitude = (2 * Math.sqrt(line)) / (window.gain * length);
    const variance = noise / window.sumOfSquares;
    const bound = Math.sqrt((24 * variance) / (amplitude ** 2 * length ** 3)) / (2 * Math.PI);
    lines.push({
      frequency: ((k + offset) * rate) / size,
      sd: rate * Math.hypot(windowCost * bound, 0.001 / length),
      rms: amplitude / Math.SQRT2,
      overNoise: noise > 0 ? line / noise : Number.POSITIVE_INFINITY,
    });
  }
  return lines;
}

/** How much a Blackman-Harris window widens a frequency's scatter beyond the bound: √(Σw²t²·N³/12)/Σwt². */
const windowCost = 2.158;

/** The highest of its own main lobe; side lobes of a stronger neighbour lie 92 dB under it and are not lines. */
function highest(power: Float64Array, k: number, lobe: number): boolean {
  for (let d = 1; d <= lobe; d++) if (power[k - d]! > power[k]! || power[k + d]! >= power[k]!) return false;
  for (let d = lobe + 1; d <= 16 * lobe; d++)
    if (Math.max(power[k - d] ?? 0, power[k + d] ?? 0) * 1e-9 > power[k]!) return false;
  return true;
}

/** The top of a parabola through three equally spaced points: its place relative to the middle one, and its height. */
function parabola(left: number, middle: number, right: number): [number, number] {
  const bend = left - 2 * middle + right;
  const offset = bend < 0 ? (0.5 * (left - right)) / bend : 0;
  return [offset, middle - 0.25 * (left - right) * offset];
}

/** Mean noise power around a bin, and the factor by which that may be too low. */
interface Floor {
  readonly noise: number;
  readonly doubt: number;
}

/** The floor by blocks of bins: the median of each, ln 2 of the mean for exponential power, which lines hardly move. */
function noiseFloor(power: Float64Array, stride: number): (k: number) => Floor {
  const blocks: (Floor & { readonly to: number })[] = [];
  for (let from = 0; from < power.length; ) {
    const bins = Math.min(most, Math.max(fewest, from / stride / 6));
    const end = from + Math.round(bins * stride);
    // A remnant joins the last whole block.
    const to = power.length - end < bins * stride ? power.length : end;
    const part = power.slice(from, to).sort();
    // The window halves the independent bins; a median of n scatters by 1/(ln 2·√n). Two deviations.
    blocks.push({ to, noise: part[part.length >> 1]! / Math.LN2, doubt: 1 + 2 / (Math.LN2 * Math.sqrt(bins / 2)) });
    from = to;
  }
  let at = 0;
  return (k) => {
    while (k >= blocks[at]!.to) at++;
    return blocks[at]!;
  };
}
