import { isGround, isSupply } from '../../../board/roles';
import type { Bench } from '../bench';
import { humFactor } from '../priors';
import type { Scene } from '../scene';
import type { Hypothesis } from '../types';

/** Causes that a supply's capacitor has when it no longer holds its volts up. */
const spent = new Set(['aged', 'open', 'wrong-value']);

/**
 * What is heard of the mains makes some causes likelier than they are anyway: its ripple those of a capacitor from a supply to
 * ground, its hum an open return. No figure of the network: the odds alone move.
 */
export function strengthened(all: readonly Hypothesis[], { measured }: Scene, bench: Bench): Hypothesis[] {
  const heard = new Set(measured.hum ?? []);
  if (heard.size === 0) return [...all];
  const reservoirs = reservoirsOf(bench);
  return all.map((one) => {
    const hum = heard.has('hum') && one.cause === 'return-open';
    const ripple = heard.has('ripple') && spent.has(one.cause) && one.at.length === 1 && reservoirs.has(one.at[0]!);
    return hum || ripple ? { ...one, prior: one.prior * humFactor } : one;
  });
}

/** Capacitors between a supply and a ground. */
function reservoirsOf({ copper }: Bench): ReadonlySet<string> {
  const found = [...copper.parts.values()].filter((part) => {
    if (!part.fitted || part.kind !== 'capacitor') return false;
    const [a, b] = [copper.nodeOf(part, '1'), copper.nodeOf(part, '2')];
    return a !== undefined && b !== undefined && ((isSupply(a) && isGround(b)) || (isSupply(b) && isGround(a)));
  });
  return new Set(found.map(({ designator }) => designator));
}
