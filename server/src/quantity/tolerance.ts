/** How far a part may be off: `tolerance` as a fraction either way, `asymmetric` as fractions [below, above] where they differ. */
export interface Tolerance {
  readonly tolerance?: number;
  readonly asymmetric?: readonly [number, number];
}

/** IEC 60062 letters for symmetric tolerances, as fractions. */
const symmetric: Readonly<Record<string, number>> = {
  A: 0.0005,
  B: 0.001,
  C: 0.0025,
  D: 0.005,
  F: 0.01,
  G: 0.02,
  H: 0.03,
  J: 0.05,
  K: 0.1,
  M: 0.2,
  N: 0.3,
};

/** IEC 60062 letters for capacitors that may be off by more one way than the other. */
const oneSided: Readonly<Record<string, readonly [number, number]>> = {
  Q: [-0.1, 0.3],
  S: [-0.2, 0.5],
  T: [-0.1, 0.5],
  Z: [-0.2, 0.8],
};

/** IEC 60062 letters below 10 pF, in farads. */
const absolute: Readonly<Record<string, number>> = { B: 0.1e-12, C: 0.25e-12, D: 0.5e-12, F: 1e-12, G: 2e-12 };

/** The tolerance a letter stands for on a resistor or inductor; null where it is none. */
export const toleranceLetter = (letter: string): Tolerance | null =>
  Object.hasOwn(symmetric, letter) ? { tolerance: symmetric[letter]! } : null;

/** The tolerance a letter stands for on a capacitor of so many farads: below 10 pF some letters are picofarads, not per cent. */
export function capacitorLetter(letter: string, farads: number): Tolerance | null {
  if (Object.hasOwn(oneSided, letter)) return { asymmetric: oneSided[letter]! };
  if (farads > 0 && farads < 9.999e-12 && Object.hasOwn(absolute, letter))
    return { tolerance: absolute[letter]! / farads };
  return toleranceLetter(letter);
}
