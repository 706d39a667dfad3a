import type { Copper, CopperNode } from '../../board/copper';
import { elements } from '../../board/elements';
import type { Part } from '../../board/part';
import type { Basis } from '../../quantity/figure';
import { formatQuantity } from '../../quantity/format';
import type { Element } from '../netlist';
import { drops } from './drops';

/** An element of the network, with what its values rest on and the points that copper ties it in by. */
export interface Made {
  readonly element: Element;
  readonly basis: readonly Basis[];
  readonly points: readonly string[];
}

const stated = (part: Part, text: string): Basis => ({ what: `${part.designator} ${text}`, evidence: 'stated' });
/** A default of ours in place of what nobody has said: a figure that rests on it is so much weaker. */
const guessed = (text: string): Basis => ({ what: text, evidence: 'assumed' });

/** The two-terminal parts of a state as elements, named by their designators. Diodes to first order; a switch counts as closed. */
export function partElements(copper: Copper): Made[] {
  const made: Made[] = [];
  const seen = new Map<string, number>();
  for (const { part, pins, nodes } of elements(copper)) {
    if (nodes[0] === nodes[1]) continue;
    const count = (seen.get(part.designator) ?? 0) + 1;
    seen.set(part.designator, count);
    const name =
      part.kind === 'potentiometer'
        ? `${part.designator} ${pins[0]}–${pins[1]}`
        : count > 1
          ? `${part.designator} ${pins.join('–')}`
          : part.designator;
    const element = twoTerminal(part, name, nodes[0], nodes[1]);
    if (element) made.push({ ...element, points: pins.map((pin) => part.point(pin)) });
  }
  return [...made, ...bridgeRectifiers(copper)];
}

function twoTerminal(part: Part, name: string, from: CopperNode, to: CopperNode): Omit<Made, 'points'> | undefined {
  const ends = { name, a: from.name, b: to.name };
  const value = part.value?.value ?? null;
  const says = part.value ? [stated(part, formatQuantity(part.value.value, part.value.dimension))] : [];
  switch (part.kind) {
    case 'resistor':
      return { element: { ...ends, kind: 'resistor', ohms: value }, basis: says };
    case 'capacitor':
      return {
        element: { ...ends, kind: 'capacitor', farads: value, ...(part.esr !== undefined && { esr: part.esr }) },
        basis: says,
      };
    case 'inductor':
      return {
        element: { ...ends, kind: 'inductor', henries: value, ...(part.dcr !== undefined && { dcr: part.dcr }) },
        basis: says,
      };
    case 'ferrite':
    case 'fuse':
      // A ferrite is its DC resistance at DC and audio, never its ohms at 100 MHz; so is a fuse.
      return {
        element: { ...ends, kind: 'resistor', ohms: part.dcr ?? 0 },
        basis: part.dcr === undefined ? [] : [stated(part, formatQuantity(part.dcr, 'Ω'))],
      };
    case 'switch':
      return {
        element: { ...ends, kind: 'resistor', ohms: 0 },
        basis: [{ what: `${part.designator} taken as closed`, evidence: 'stated' }],
      };
    case 'potentiometer':
      // Where its wiper stands nobody has said.
      return { element: { ...ends, kind: 'resistor', ohms: null }, basis: [] };
    case 'loudspeaker':
      return { element: { ...ends, kind: 'load', ohms: value }, basis: says };
    case 'diode':
    case 'led':
    case 'zener':
    case 'tvs': {
      // Ends without a polarity: which way it conducts is not known.
      if (
        !part.point('A') ||
        !['A', 'K'].some((pin) => from.points.includes(part.point(pin)) || to.points.includes(part.point(pin)))
      )
        return undefined;
      // What a zener or a surge clamp states is where it holds in reverse; what a diode or LED states is its forward drop.
      const holds = part.kind === 'zener' || part.kind === 'tvs';
      const volts = part.value?.dimension === 'voltage' ? part.value.value : undefined;
      const drop = (holds ? undefined : volts) ?? drops[part.kind].usual;
      return {
        element: {
          ...ends,
          kind: 'diode',
          drop,
          ...(holds && volts !== undefined && { breakdown: volts }),
        },
        basis: [
          volts === undefined
            ? guessed(`${part.designator} taken as ${drop} V forward`)
            : stated(part, `${formatQuantity(volts, 'V')} ${holds ? 'in reverse' : 'forward'}`),
        ],
      };
    }
    default:
      // Crystals are open at audio; cells are sources; microphones and varistors draw nothing to speak of.
      return undefined;
  }
}

function bridgeRectifiers(copper: Copper): Made[] {
  return [...copper.parts.values()].flatMap((part) => {
    if (part.kind !== 'rectifier-bridge' || !part.fitted) return [];
    const node = (pin: string) => copper.nodeOf(part, pin)?.name;
    return (
      [
        ['ac1', '+'],
        ['ac2', '+'],
        ['-', 'ac1'],
        ['-', 'ac2'],
      ] as const
    ).flatMap(([a, k]): Made[] => {
      const from = node(a);
      const to = node(k);
      if (from === undefined || to === undefined || from === to) return [];
      const name = `${part.designator} ${a}–${k}`;
      return [
        {
          element: { kind: 'diode', name, a: from, b: to, drop: drops['rectifier-bridge'].usual },
          basis: [guessed(`${part.designator} taken as ${drops['rectifier-bridge'].usual} V a diode`)],
          points: [part.point(a), part.point(k)],
        },
      ];
    });
  });
}
