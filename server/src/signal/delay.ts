import { degrees, wrap } from './angle';
import { lowestJudged } from './bands';
import { coherence, coherenceThreshold } from './coherence';
import { fourier } from './fft';
import type { Spectra } from './welch';

/** A delay read off the cross spectrum's phase. */
export interface DelayEstimate {
  /** Second behind the first, s; negative where it is ahead. */
  readonly seconds: number;
  readonly sd: number;
  /** Whether one channel is also inverted: a constant 180° beside the line through zero. Null where the phase at 0 Hz is neither. */
  readonly inverted: boolean | null;
  /** Phase the fitted line reaches at 0 Hz, degrees, and its standard deviation. */
  readonly intercept: number;
  readonly interceptSd: number;
  /** RMS distance of the phases from the line, degrees, weighted as they were fitted. */
  readonly residual: number;
}

/**
 * Delay of channel b behind a from the slope of the cross-spectrum phase, φ = φ₀ − 2πfτ, so τ = −(1/2π)·dφ/df (Piersol 1981).
 * A first lag comes from the generalised cross-correlation with maximum-likelihood weights (Knapp & Carter 1976) within half a
 * segment; then a line is fitted to the aligned phases by weighted least squares, weights γ²/(1−γ²), and fitted again through
 * the polarity found. Null where fewer than eight bins' worth of spectrum is significantly coherent: a tone gives delay only
 * modulo its period. Null too where a line does not describe the phases (RMS misfit over 45°): then nothing is simply late.
 */
export function estimateDelay(spectra: Spectra, a: number, b: number): DelayEstimate | null {
  const used = usableBins(spectra, a, b);
  if (!used) return null;
  let delay = coarseLag(spectra, used);
  let fit = fitLine(spectra, used, delay);
  for (let pass = 0; pass < 3; pass++) {
    delay += fit.delay;
    fit = fitLine(spectra, used, delay);
  }
  const polarity =
    Math.abs(fit.intercept) <= Math.PI / 4 ? false : Math.abs(fit.intercept) >= (3 * Math.PI) / 4 || null;
  const through = polarity === null ? fit : fitLine(spectra, used, delay, polarity ? Math.PI : 0);
  if (through.residual > Math.PI / 4) return null;
  return {
    seconds: delay + through.delay,
    sd: through.delaySd,
    inverted: polarity,
    intercept: degrees(fit.intercept),
    interceptSd: degrees(fit.interceptSd),
    residual: degrees(through.residual),
  };
}

interface Usable {
  readonly bins: readonly number[];
  readonly frequency: Float64Array;
  readonly phase: Float64Array;
  /** 1/variance of each phase. */
  readonly weight: Float64Array;
}

function usableBins(spectra: Spectra, a: number, b: number): Usable | null {
  const x = spectra.auto[a]!;
  const y = spectra.auto[b]!;
  const { re, im, evenness } = spectra.cross(a, b);
  const gamma = coherence(spectra, a, b);
  const segments = spectra.effectiveSegments * evenness;
  const threshold = coherenceThreshold(segments, 0.01);
  const power = x.map((value, k) => Math.sqrt(value * y[k]!));
  const first = Math.ceil(lowestJudged(spectra, a, b) / spectra.binWidth);
  let largest = 0;
  for (let k = first; k < power.length - 1; k++) largest = Math.max(largest, power[k]!);
  const bins: number[] = [];
  let sum = 0;
  let squares = 0;
  for (let k = first; k < power.length - 1; k++) {
    // 60 dB below the strongest bin, windows leak and rounding shows: coherent, but no programme.
    if (!(gamma[k]! > threshold) || power[k]! < 1e-6 * largest) continue;
    bins.push(k);
    sum += power[k]!;
    squares += power[k]! ** 2;
  }
  if (squares === 0 || sum ** 2 / squares / spectra.window.enbw < 8) return null;
  return {
    bins,
    frequency: Float64Array.from(bins, (k) => k * spectra.binWidth),
    phase: Float64Array.from(bins, (k) => Math.atan2(im[k]!, re[k]!)),
    // Capped: a noiseless pair has no variance to weigh by.
    weight: Float64Array.from(bins, (k) => {
      const c = Math.min(gamma[k]!, 0.999999);
      return (2 * segments * c) / (1 - c);
    }),
  };
}

/** The lag, in seconds, at which the weighted cross-correlation is largest in magnitude; of near equals the smallest. */
function coarseLag(spectra: Spectra, { bins, phase, weight }: Usable): number {
  const size = spectra.segment;
  const spectrum = new Float64Array(2 * size);
  bins.forEach((k, i) => {
    const re = weight[i]! * Math.cos(phase[i]!);
    const im = weight[i]! * Math.sin(phase[i]!);
    spectrum[2 * k] = re;
    spectrum[2 * k + 1] = im;
    spectrum[2 * (size - k)] = re;
    spectrum[2 * (size - k) + 1] = -im;
  });
  const lags = fourier(size).inverse(spectrum);
  let best = 0;
  // From the centre outwards; a farther lag must be better by a hundredth, for a periodic programme repeats its peak.
  for (let d = 1; d < size / 2; d++)
    for (const lag of [d, -d]) if (height(lags, lag, size) > 1.01 * height(lags, best, size)) best = lag;
  return best / spectra.rate;
}

const height = (lags: Float64Array, lag: number, size: number) => Math.abs(lags[2 * ((lag + size) % size)]!);

/** Fits phase = intercept − 2πf·delay to the phases turned back by `aligned`; with `through`, the intercept is held. */
function fitLine(spectra: Spectra, { frequency, phase, weight }: Usable, aligned: number, through?: number) {
  const omega = frequency.map((f) => -2 * Math.PI * f);
  const turned = phase.map((value, i) => value - omega[i]! * aligned);
  // Phases are differences from their weighted mean direction, so that none lies on the seam.
  let re = 0;
  let im = 0;
  turned.forEach((value, i) => {
    re += weight[i]! * Math.cos(value);
    im += weight[i]! * Math.sin(value);
  });
  const middle = through ?? Math.atan2(im, re);
  let w = 0;
  let wx = 0;
  let wy = 0;
  let wxx = 0;
  let wxy = 0;
  const from = turned.map((value) => wrap(value - middle));
  from.forEach((y, i) => {
    const x = omega[i]!;
    w += weight[i]!;
    wx += weight[i]! * x;
    wy += weight[i]! * y;
    wxx += weight[i]! * x * x;
    wxy += weight[i]! * x * y;
  });
  const spread = through === undefined ? wxx - (wx * wx) / w : wxx;
  const delay = through === undefined ? (wxy - (wx * wy) / w) / spread : wxy / wxx;
  const intercept = through === undefined ? (wy - delay * wx) / w : 0;
  let misfit = 0;
  from.forEach((y, i) => {
    misfit += weight[i]! * (y - intercept - delay * omega[i]!) ** 2;
  });
  // Neighbouring bins share noise through the window; and where the misfit exceeds what coherence explains, it is the measure.
  const scale = spectra.window.enbw * Math.max(1, misfit / Math.max(1, frequency.length - 2));
  return {
    delay,
    delaySd: Math.sqrt(scale / spread),
    intercept: wrap(intercept + middle),
    interceptSd: Math.sqrt((scale * wxx) / (w * wxx - wx * wx)),
    residual: Math.sqrt(misfit / w),
  };
}
