import type { Background } from './background';
import { wrongOf } from './likelihood';
import { copperKinds, type PinSeen } from './seen';
import { beside } from './weights';

/**
 * How much better a chip that nobody has offered explains what is seen than pins that know nothing of each other would: the logarithm
 * of a likelihood ratio, 0 without a pair. Pairs do not overlap.
 */
export function pairs(seen: readonly PinSeen[], background: Background): number {
  const numbered = seen.filter((one) => one.copper && beside[one.copper.kind] !== undefined && /^\d+$/.test(one.pin));
  numbered.sort((a, b) => Number(a.pin) - Number(b.pin));
  let sum = 0;
  for (let at = 1; at < numbered.length; at++) {
    const [one, other] = [numbered[at - 1]!, numbered[at]!];
    const { kind } = other.copper!;
    if (one.copper!.kind !== kind || Number(other.pin) !== Number(one.pin) + 1) continue;
    const any = background.copper[copperKinds.indexOf(kind)]!;
    const share = beside[kind]!;
    const wrong = Math.max(wrongOf(one.copper!), wrongOf(other.copper!));
    sum += Math.log((1 - wrong) * ((share + (1 - share) * any) / any) + wrong);
    at++;
  }
  return sum;
}
