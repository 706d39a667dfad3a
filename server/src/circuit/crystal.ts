/**
 * Stray capacitance in F around a crystal, as its source defines it: `across` the crystal, or `perPin` from each of its
 * pins to ground. Makers disagree, so it is always said which.
 */
export type Stray = { readonly across: number } | { readonly perPin: number };

/** F across a crystal where none are stated: within the 2 to 5 pF that makers' notes call typical. */
export const defaultStray = 3e-12;

/**
 * F a crystal sees between its pins with `c1` and `c2` from them to ground: C1·C2/(C1 + C2) + stray across, or with each
 * capacitor enlarged by the stray of its pin (NXP and Atmel application notes on crystal load).
 */
export function crystalLoad(c1: number, c2: number, stray: Stray): number {
  const pin = 'perPin' in stray ? stray.perPin : 0;
  const [a, b] = [c1 + pin, c2 + pin];
  const across = 'across' in stray ? stray.across : 0;
  return (a + b === 0 ? 0 : (a * b) / (a + b)) + across;
}

/** F of each of two equal capacitors that give a crystal the load it asks for; null where the stray alone is too much. */
export function crystalCapacitors(load: number, stray: Stray): number | null {
  const each = 'across' in stray ? 2 * (load - stray.across) : 2 * load - stray.perPin;
  return each > 0 ? each : null;
}
