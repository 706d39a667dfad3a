import { type Complex, inverse, real } from './complex';
import type { Impedance, Linear } from './netlist';

/**
 * Impedance in Ω of one element at a frequency in Hz (0: DC). Null where no current flows: a capacitor at DC, an infinite
 * resistance, an element whose value is unknown.
 */
export function impedance(element: Impedance, frequency: number): Complex | null {
  const omega = 2 * Math.PI * frequency;
  switch (element.kind) {
    case 'resistor':
      return finite(element.ohms);
    case 'capacitor': {
      const susceptance = omega * (element.farads ?? 0);
      return susceptance === 0 ? null : { re: element.esr ?? 0, im: -1 / susceptance };
    }
    case 'inductor':
      // Unknown turns still are a wire at DC.
      if (element.henries === null && frequency !== 0) return null;
      return { re: element.dcr ?? 0, im: omega * (element.henries ?? 0) };
    case 'load': {
      if (element.ohms === null) return null;
      const admittance = { re: 1 / element.ohms, im: omega * (element.farads ?? 0) };
      if (element.ohms === 0) return real(0);
      return admittance.re === 0 && admittance.im === 0 ? null : inverse(admittance);
    }
  }
}

const finite = (ohms: number | null): Complex | null =>
  ohms === null || !Number.isFinite(ohms) ? null : { re: ohms, im: 0 };

/** The series impedance of any two-node element, sources and controlled voltage sources too; null: nothing flows. */
export function seriesImpedance(element: Linear, frequency: number): Complex | null {
  switch (element.kind) {
    case 'voltage':
    case 'vcvs':
      return finite(element.ohms ?? 0);
    case 'current':
    case 'vccs':
    case 'op-amp':
      return null;
    default:
      return impedance(element, frequency);
  }
}
