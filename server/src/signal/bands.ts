import { coherence, coherenceLeft, meanCoherenceThreshold, phaseDeviation } from './coherence';
import type { Spectra } from './welch';

/** How two channels stand to each other inside one band. Powers in unit², phases in radians, second against first. */
export interface BandOfPair {
  readonly from: number;
  readonly to: number;
  readonly power: readonly [number, number];
  /** Geometric mean of the share of each channel's power that lies in this band. */
  readonly share: number;
  /** Magnitude-squared, the mean over bins weighted by √(PxPy); what a steady delay takes off is put back. */
  readonly coherence: number;
  /** The coherence that unrelated channels exceed once in a thousand. */
  readonly threshold: number;
  /** How many independent bins share the band's power: about 1 for a line, many for noise. */
  readonly bins: number;
  readonly phase: number;
  readonly phaseSd: number;
  /** The band's summed cross power, after the delay asked for is taken out. */
  readonly cross: readonly [number, number];
}

/**
 * Lowest frequency judged: 20 Hz (less where the sampling is slow), for below it a recording holds drift and rumble; unless most
 * of a channel's power is there.
 */
export function lowestJudged(spectra: Spectra, a: number, b: number): number {
  const floor = 1.5 * spectra.binWidth;
  const from = Math.max(Math.min(20, spectra.rate / 50), floor);
  const mostlyBelow = [a, b].some((channel) => {
    let below = 0;
    let all = 0;
    spectra.auto[channel]!.forEach((power, k) => {
      const frequency = k * spectra.binWidth;
      if (frequency >= floor) all += power;
      if (frequency >= floor && frequency < from) below += power;
    });
    return below > all / 2;
  });
  return mostlyBelow ? floor : from;
}

/** Octaves between their base-ten edges 1000·10^(0.3(n ± ½)) Hz (IEC 61260-1), cut at `from` and at half the rate, from Hz and to Hz. */
export function octaves(from: number, rate: number): [number, number][] {
  const bands: [number, number][] = [];
  const edge = (n: number) => 1000 * 10 ** (0.3 * (n + 0.5));
  let n = Math.floor(Math.log10(from / 1000) / 0.3 + 0.5);
  for (let low = from; low < rate / 2; n++) {
    const high = Math.min(edge(n), rate / 2);
    // A sliver at the bottom joins the octave above it.
    if (high > low * 1.4 || high === rate / 2) {
      bands.push([low, high]);
      low = high;
    }
  }
  return bands;
}

/**
 * The pair's octave bands from averaged spectra. With `delay` (s, second behind first) phases and cross powers are those of the
 * channels aligned, and the coherence a delay takes off is put back.
 */
export function bandsOfPair(spectra: Spectra, a: number, b: number, delay = 0): BandOfPair[] {
  const x = spectra.auto[a]!;
  const y = spectra.auto[b]!;
  const { re, im, evenness } = spectra.cross(a, b);
  const perBin = coherence(spectra, a, b);
  const shared = coherenceLeft(spectra, delay);
  const segments = spectra.effectiveSegments * evenness;
  const gathered = octaves(lowestJudged(spectra, a, b), spectra.rate).map(([from, to]) => {
    const sum = { x: 0, y: 0, weight: 0, weightSquared: 0, coherent: 0, re: 0, im: 0 };
    const last = Math.min(x.length - 1, Math.ceil(to / spectra.binWidth) - 1);
    for (let k = Math.ceil(from / spectra.binWidth); k <= last; k++) {
      const weight = Math.sqrt(x[k]! * y[k]!);
      sum.x += x[k]!;
      sum.y += y[k]!;
      sum.weight += weight;
      sum.weightSquared += weight * weight;
      sum.coherent += weight * perBin[k]!;
      const turn = 2 * Math.PI * k * spectra.binWidth * delay;
      sum.re += re[k]! * Math.cos(turn) - im[k]! * Math.sin(turn);
      sum.im += re[k]! * Math.sin(turn) + im[k]! * Math.cos(turn);
    }
    return { from, to, sum };
  });
  const total = [0, 0] as [number, number];
  for (const { sum } of gathered) {
    total[0] += sum.x;
    total[1] += sum.y;
  }
  return gathered.map(({ from, to, sum }) => {
    const bins = sum.weightSquared > 0 ? sum.weight ** 2 / sum.weightSquared / spectra.window.enbw : 1;
    const seen = sum.weight > 0 ? Math.min(1, sum.coherent / sum.weight / shared) : 0;
    return {
      from,
      to,
      power: [sum.x * spectra.binWidth, sum.y * spectra.binWidth],
      share: total[0] > 0 && total[1] > 0 ? Math.sqrt((sum.x / total[0]) * (sum.y / total[1])) : 0,
      coherence: seen,
      threshold: meanCoherenceThreshold(segments, bins),
      bins,
      phase: Math.atan2(sum.im, sum.re),
      phaseSd: phaseDeviation(seen, segments * Math.max(1, bins)),
      cross: [sum.re * spectra.binWidth, sum.im * spectra.binWidth],
    };
  });
}
