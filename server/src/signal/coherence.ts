import type { Spectra } from './welch';
import { overlapCorrelation } from './windows';

/**
 * Magnitude-squared coherence |<X*Y>|² / (<|X|²><|Y|²>) in every bin, 0 where a channel has no power there. With one segment it
 * is 1 whatever the channels are: judge it only against `coherenceThreshold`.
 */
export function coherence(spectra: Spectra, a: number, b: number): Float64Array {
  const { re, im } = spectra.cross(a, b);
  const x = spectra.auto[a]!;
  const y = spectra.auto[b]!;
  return re.map((real, k) => {
    const power = x[k]! * y[k]!;
    // Rounding alone can carry it past 1.
    return power > 0 ? Math.min(1, (real * real + im[k]! * im[k]!) / power) : 0;
  });
}

/**
 * The coherence that unrelated channels exceed with probability `alpha`, from K independent segments: 1 − α^(1/(K−1)).
 * Source: Priestley 1981 p. 706 (F-form); P(γ̂² > c) = (1−c)^(K−1). For overlapping segments pass the effective number.
 * With K ≤ 1 nothing is significant: 1.
 */
export function coherenceThreshold(segments: number, alpha: number): number {
  return segments > 1 ? 1 - alpha ** (1 / (segments - 1)) : 1;
}

/**
 * The same for the mean over about `bins` independent bins: under no coherence each is near exponential of mean 1/K, so their
 * mean is gamma; its quantile by Wilson & Hilferty 1931. Never above the single bin's threshold. Alpha is 0.001.
 */
export function meanCoherenceThreshold(segments: number, bins: number): number {
  if (segments <= 1) return 1;
  const z = 3.0902; // standard normal, one-sided 0.001
  const n = Math.max(1, bins);
  const quantile = (1 - 1 / (9 * n) + z / Math.sqrt(9 * n)) ** 3 / segments;
  return Math.min(quantile, coherenceThreshold(segments, 0.001));
}

/** Coherence less its bias, (1−γ²)²/K (Carter, Knapp & Nuttall 1973), not below 0. */
export function unbiasedCoherence(value: number, segments: number): number {
  return segments > 0 ? Math.max(0, value - (1 - value) ** 2 / segments) : 0;
}

/** Standard deviation in radians of the cross spectrum's phase: √((1−γ²)/(2Kγ²)) (Bendat & Piersol); infinite at γ² = 0. */
export function phaseDeviation(value: number, segments: number): number {
  return value > 0 && segments > 0 ? Math.sqrt((1 - Math.min(1, value)) / (2 * segments * value)) : Infinity;
}

/**
 * What a pure delay (s) leaves of coherence 1: |c(d)|², c the window's overlap correlation at d, for only that much of a segment
 * is common to both channels. (1 − d/T)² for a rectangular window (Seybert & Hamilton 1978).
 */
export function coherenceLeft(spectra: Spectra, delay: number): number {
  return overlapCorrelation(spectra.window, Math.round(Math.abs(delay) * spectra.rate)) ** 2;
}
