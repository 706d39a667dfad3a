import { spread } from './gauss';
import type { Metered } from './metered';
import { badReading, floors } from './priors';

/** How a meter's figure stands to a predicted one: a residual with its variance and what any figure is worth, or the ln of a bound. */
export type Held =
  | { readonly residual: number; readonly variance: number; readonly broad: number }
  | { readonly log: number; readonly kept: boolean };

/** Holds what a meter showed (`y`) against what it should show (`value`); both in the unit of its kind. */
export function held({ kind, value: bound, sd = 0 }: Metered, atChip: boolean, value: number, y: number): Held {
  const residual = y - value;
  switch (kind) {
    case 'above':
    case 'below': {
      const above = value > 0.9 * bound - floors.contact;
      const below = value < 1.1 * bound + floors.contact;
      return bounded(kind === 'above' ? above : below);
    }
    case 'clock': {
      const chance = y > 0.5 ? value : 1 - value;
      return { log: Math.log(Math.max(chance, badReading)), kept: chance > 0.05 };
    }
    case 'dc':
      return {
        residual,
        variance: (floors.dc * value) ** 2 + floors.dcVolts ** 2 + sd ** 2,
        broad: spread([y], Math.max(2, Math.abs(y))),
      };
    case 'diode':
      return { residual, variance: (floors.diodeShare * value) ** 2 + floors.diodeVolts ** 2, broad: spread([y], 2) };
    case 'farads':
      return { residual, variance: (atChip ? floors.faradsAtChip : floors.farads) ** 2, broad: spread([residual], 3) };
    case 'esr':
      return { residual, variance: floors.esr ** 2, broad: spread([residual], 3) };
    case 'amps': {
      const own = value < Math.log(1e-3) ? floors.ampsDead : value > Math.log(0.4) ? floors.ampsShort : floors.amps;
      return { residual, variance: own ** 2, broad: spread([residual], 4) };
    }
    case 'ohms':
      return {
        residual,
        variance: ((atChip ? floors.ohmsAtChip : floors.ohms) * value) ** 2 + floors.contact ** 2,
        broad: spread([y], Math.max(10, 2 * y)),
      };
  }
}

const bounded = (kept: boolean): Held => ({ log: kept ? 0 : Math.log(badReading), kept });
