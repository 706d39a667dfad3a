/*
 * Weighting curves as amplitude gains at one frequency in Hz, for use per bin of a spectrum: a filter designed by the bilinear
 * transform is decibels off near half the sampling rate, the analytic curve is not.
 */

// Poles of IEC 61672-1, Annex E, not rounded.
const f1 = 20.598997057618316;
const f2 = 107.65264864304629;
const f3 = 737.8622307362901;
const f4 = 12194.217147998012;

const unscaledA = (f: number) => {
  const s = f * f;
  return (f4 * f4 * s * s) / ((s + f1 * f1) * Math.sqrt((s + f2 * f2) * (s + f3 * f3)) * (s + f4 * f4));
};
const unscaledC = (f: number) => {
  const s = f * f;
  return (f4 * f4 * s) / ((s + f1 * f1) * (s + f4 * f4));
};
// ITU-R BS.468-4: the network's transfer function, numerator s, as a quotient of polynomials in f: the denominator's two parts.
const denominator468 = (f: number): [number, number] => {
  const s = f * f;
  const h1 = ((-4.737338981378384e-24 * s + 2.043828333606125e-15) * s - 1.363894795463638e-7) * s + 1;
  const h2 = ((1.306612257412824e-19 * s - 2.118150887518656e-11) * s + 5.559488023498642e-4) * f;
  return [h1, h2];
};
const unscaled468 = (f: number) => f / Math.hypot(...denominator468(f));
const unity468 = unscaled468(1000);

/** The BS.468 network's response with its phase, as a complex amplitude gain at a frequency in Hz; magnitude 1 at 1 kHz. */
export function response468(frequency: number): { readonly re: number; readonly im: number } {
  const [re, im] = denominator468(frequency);
  // jf / (re + j·im)
  const scale = frequency / ((re * re + im * im) * unity468);
  return { re: im * scale, im: re * scale };
}

const scaled = (curve: (f: number) => number, unity: number) => {
  const at = curve(unity);
  return (frequency: number) => curve(frequency) / at;
};

/** A curve by its full name; `note` is what a reading with it must say. */
export interface Weighting {
  readonly name: string;
  readonly note: string;
  /** Amplitude gain at a frequency in Hz. */
  readonly gain: (frequency: number) => number;
}

export const weightings = {
  flat: { name: 'flat', note: 'unweighted', gain: () => 1 },
  A: { name: 'A', note: 'IEC 61672-1, 0 dB at 1 kHz', gain: scaled(unscaledA, 1000) },
  C: { name: 'C', note: 'IEC 61672-1, 0 dB at 1 kHz', gain: scaled(unscaledC, 1000) },
  bs468: {
    name: 'BS.468, 1 kHz',
    note: 'curve of ITU-R BS.468-4 with 0 dB at 1 kHz; with RMS it is no BS.468 reading: that meter is quasi-peak',
    gain: scaled(unscaled468, 1000),
  },
  ccirRms: {
    name: 'CCIR-RMS, 2 kHz',
    note: 'curve of ITU-R BS.468-4 with 0 dB at 2 kHz, RMS, as AES17 has it: 5.63 dB below the 1 kHz form',
    gain: scaled(unscaled468, 2000),
  },
} as const satisfies Record<string, Weighting>;

export type WeightingName = keyof typeof weightings;
