/** A complex number; a phasor keeps the unit and the RMS-or-peak sense of what it stands for. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

export const zero: Complex = { re: 0, im: 0 };
export const one: Complex = { re: 1, im: 0 };
export const real = (re: number): Complex => ({ re, im: 0 });
export const add = (a: Complex, b: Complex): Complex => ({ re: a.re + b.re, im: a.im + b.im });
export const subtract = (a: Complex, b: Complex): Complex => ({ re: a.re - b.re, im: a.im - b.im });
export const scale = (a: Complex, by: number): Complex => ({ re: a.re * by, im: a.im * by });
export const negate = (a: Complex): Complex => ({ re: -a.re, im: -a.im });
export const magnitude = (a: Complex): number => Math.hypot(a.re, a.im);
/** Degrees in (−180, 180]; 0 for zero. */
export const phase = (a: Complex): number => (Math.atan2(a.im, a.re) * 180) / Math.PI;
export const same = (a: Complex, b: Complex): boolean => a.re === b.re && a.im === b.im;

export const multiply = (a: Complex, b: Complex): Complex => ({
  re: a.re * b.re - a.im * b.im,
  im: a.re * b.im + a.im * b.re,
});

/** Smith's division: no overflow halfway. By zero it gives infinities or NaN, as division does: callers look first. */
export function divide(a: Complex, b: Complex): Complex {
  if (Math.abs(b.re) >= Math.abs(b.im)) {
    const ratio = b.im / b.re;
    const by = b.re + b.im * ratio;
    return { re: (a.re + a.im * ratio) / by, im: (a.im - a.re * ratio) / by };
  }
  const ratio = b.re / b.im;
  const by = b.re * ratio + b.im;
  return { re: (a.re * ratio + a.im) / by, im: (a.im * ratio - a.re) / by };
}

export const inverse = (a: Complex): Complex => divide(one, a);

/** Amplitude and phase in degrees, as a phasor. */
export function polar(amplitude: number, degrees: number): Complex {
  const angle = (degrees * Math.PI) / 180;
  return { re: amplitude * Math.cos(angle), im: amplitude * Math.sin(angle) };
}

/** 20·log10 of a magnitude; −∞ for zero. */
export const decibels = (ratio: Complex): number => 20 * Math.log10(magnitude(ratio));
