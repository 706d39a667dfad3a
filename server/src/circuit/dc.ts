import type { LinearNetlist } from './assemble';
import { type Factored, factorLinear } from './factor';
import { type Diode, type Linear, type Netlist, nodesOf } from './netlist';
import type { Solution } from './solution';

/** What a diode does at rest. */
export type DiodeState = 'off' | 'forward' | 'breakdown';

/** The network at rest. */
export interface OperatingPoint {
  readonly solution: Solution;
  readonly solved: Factored;
  /** By name. */
  readonly diodes: ReadonlyMap<string, DiodeState>;
  /** False where no set of states was found that fits itself: then nothing that hangs on a diode is to be believed. */
  readonly settled: boolean;
}

/** Rounds in which every diode that is in the wrong state changes it, and rounds in all. */
const together = 20;
const rounds = 400;

/** The least Ω of a diode that conducts, the Ω of one that does not, and the Ω from every node to the reference. */
interface Stand {
  readonly on: number;
  readonly off: number;
  readonly node: number;
}

/**
 * While states are sought a closed diode leaks, an open one resists a little, and every node is lightly loaded, as by a
 * very good meter: so each diode has a voltage and a current to judge by, and one that feeds nothing but capacitors and
 * pins still holds them a drop below its supply. Far beyond what a board holds (chosen; no source).
 */
const searching: Stand = { on: 1e-3, off: 1e13, node: 1e11 };
const ideal: Stand = { on: 0, off: Number.POSITIVE_INFINITY, node: Number.POSITIVE_INFINITY };

/** V and A by which a diode may miss its condition through rounding. */
const slack = { volts: 1e-9, amps: 1e-12 };

/**
 * Solves the network at DC: capacitors open, inductors their dcr, every source at its `dc`. Diodes start off; those whose
 * voltage or current denies their state change it, all at once at first, then only the first of them, which ends for every
 * passive network (least-index pivoting, K. G. Murty, Oper. Res. 22, 1974; from memory).
 */
export function operatingPoint(netlist: Netlist): OperatingPoint {
  const diodes = netlist.elements.filter((element) => element.kind === 'diode');
  const states = new Map<string, DiodeState>(diodes.map((diode) => [diode.name, 'off']));
  let settled = diodes.length === 0;
  for (let round = 0; round < rounds && !settled; round++) {
    const solution = factorLinear(resolved(netlist, states, searching), 0).solve();
    const wrong = diodes.flatMap((diode) => {
      const next = nextState(diode, states.get(diode.name)!, solution);
      return next === null ? [] : [[diode.name, next] as const];
    });
    settled = wrong.length === 0;
    for (const [name, next] of round < together ? wrong : wrong.slice(0, 1)) states.set(name, next);
  }
  const solved = factorLinear(resolved(netlist, states, ideal), 0);
  return { solution: solved.solve(), solved, diodes: states, settled };
}

/** The state a diode should be in instead of the one it is in, or null where it fits or nothing can be said. */
function nextState(diode: Diode, state: DiodeState, solution: Solution): DiodeState | null {
  if (state === 'off') {
    const volts = solution.between(diode.a, diode.b)?.re;
    if (volts === undefined) return null;
    if (volts > diode.drop + slack.volts) return 'forward';
    return diode.breakdown !== undefined && volts < -diode.breakdown - slack.volts ? 'breakdown' : null;
  }
  const amps = solution.current(diode.name)?.re ?? 0;
  return (state === 'forward' ? amps : -amps) < -slack.amps ? 'off' : null;
}

/** The network with each diode as what its state makes of it: a source of its drop, or an open. */
export function resolved(
  netlist: Netlist,
  states: ReadonlyMap<string, DiodeState>,
  stand: Stand = ideal,
): LinearNetlist {
  const elements = netlist.elements.map((element): Linear => {
    if (element.kind !== 'diode') return element;
    const { name, a, b } = element;
    const state = states.get(name) ?? 'off';
    if (state === 'off') return { kind: 'resistor', name, a, b, ohms: stand.off };
    const dc = state === 'forward' ? element.drop : -element.breakdown!;
    return { kind: 'voltage', name, a, b, dc, ohms: Math.max(element.ohms ?? 0, stand.on) };
  });
  if (Number.isFinite(stand.node))
    for (const node of new Set(netlist.elements.flatMap(nodesOf)))
      elements.push({
        kind: 'resistor',
        name: `light load of ${node}`,
        a: node,
        b: netlist.reference,
        ohms: stand.node,
      });
  return { ...netlist, elements };
}
