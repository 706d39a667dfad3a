import { cautions as vocabulary } from '../dialect/words';
import { againstGround } from './against-ground';
import type { Board } from './board';
import type { Copper, CopperNode } from './copper';
import { isCurrent } from './currency';
import { across, elements, elementsAt } from './elements';
import type { Part } from './part';
import { otherLeg, outputs } from './paths';
import { isGround } from './roles';

/** A caution that goes with a board: stated by the writer, or inferred, and from what. */
export interface Caution {
  readonly name: string;
  /** What it was inferred from; undefined where the writer states it. */
  readonly from: string | undefined;
  readonly text: string;
}

/** Volts DC, and RMS, from which a supply or a capacitor can hurt: IEC 61140's bounds for dry conditions (from memory). */
const hurts = 60;
const hurtsAc = 50;
/** V RMS for which parts that lie across the mains are rated, at the least: 100 V mains (from memory). */
const mainsVolts = 100;
/** Coulombs of charge from which a shock is counted as dangerous: 45 µC, IEC 61010-1's bound at a mains plug. */
const charge = 45e-6;

/** The cautions a board states, and those its parts, nets, readings and outputs call for. Each once, the stated ones first. */
export function cautionsOf(board: Board): Caution[] {
  const found = new Map<string, Caution>();
  const add = (name: string, from: string | undefined) => {
    const text = vocabulary.find((caution) => caution.name === name)?.doc;
    if (text !== undefined && !found.has(name)) found.set(name, { name, from, text });
  };
  for (const stated of board.parsed?.value?.cautions?.value ?? [])
    if (stated.value !== undefined) add(stated.value, undefined);
  const copper = board.at();
  for (const part of copper.parts.values()) {
    if (!part.fitted) continue;
    if (part.kind === 'cell' && part.chemistry?.startsWith('lithium')) add('lithium-cell', `cell ${part.designator}`);
    const rated = rating(part);
    if (part.kind === 'capacitor' && part.polarised && rated > hurts)
      add('stored-charge', `${part.designator}, rated ${rated} V`);
    const mains = onMains(copper, part);
    if (mains !== undefined) add('mains', mains);
  }
  for (const net of board.nets.values()) {
    if (net.role === 'mains') add('mains', `net ${net.name}`);
    if (net.volts && Math.max(Math.abs(net.volts.min), Math.abs(net.volts.max)) > hurts)
      add('high-voltage', `net ${net.name}`);
  }
  for (const reading of board.readings) {
    const most = reading.kind === 'dc' ? hurts : reading.kind === 'ac' ? hurtsAc : Number.POSITIVE_INFINITY;
    if (Number.isFinite(reading.value) && Math.abs(reading.value) > most) add('high-voltage', reading.label);
  }
  for (const { part, nodes } of elements(copper)) {
    if (part.kind !== 'capacitor') continue;
    const volts = Math.max(...nodes.map((node) => voltsOf(board, copper, node)));
    if (volts > hurts && (part.value?.value ?? Number.POSITIVE_INFINITY) * volts > charge)
      add('stored-charge', `${part.designator}, at ${volts} V`);
  }
  const hot = rectifierOnMains(copper);
  if (hot) add('hot-chassis', `${hot.designator}, on the mains with no transformer between`);
  for (const { pin } of outputs(copper))
    if (otherLeg(pin) !== undefined) add('loud-output', `bridge output ${pin.name}`);
  return [...found.values()];
}

const rating = (part: Part): number => part.ratings.find((one) => one.dimension === 'voltage')?.value ?? 0;

/** What shows that a part lies on the mains: its rating, its sheet, or a rectifier behind it. */
function onMains(copper: Copper, part: Part): string | undefined {
  const own = part.ratings.find((one) => one.dimension === 'voltage' && one.current === 'ac');
  if (part.kind === 'capacitor' && own && own.value >= mainsVolts) return `${part.designator}, rated ${own.value} V AC`;
  if (part.kind === 'varistor' && Math.max(rating(part), voltage(part)) >= mainsVolts)
    return `varistor ${part.designator}`;
  for (const pin of part.pinout?.pins.values() ?? []) if (pin.role === 'mains') return `pin ${part.point(pin.key)}`;
  if (part.kind !== 'transformer') return undefined;
  const behind = copper.nodes.flatMap((node) => (node.pins.some((pin) => pin.part === part) ? rectifiersAt(node) : []));
  return behind[0] && `transformer ${part.designator}, which feeds ${behind[0].designator}`;
}

const voltage = (part: Part): number => (part.value?.dimension === 'voltage' ? part.value.value : 0);

const rectifiersAt = (node: CopperNode): Part[] =>
  node.pins.flatMap(({ part, pin }) =>
    part.fitted && part.kind === 'rectifier-bridge' && pin.startsWith('ac') ? [part] : [],
  );

/** V against ground that a net or a reading says of a node; 0 where nothing does. */
function voltsOf(board: Board, copper: Copper, node: CopperNode): number {
  const stated = node.nets.flatMap((net) => (net.volts ? [net.volts.min, net.volts.max] : []));
  const read = board.readings.flatMap((reading) => {
    const seen = reading.kind === 'dc' ? againstGround(reading, copper) : undefined;
    if (!seen || !Number.isFinite(seen.value) || copper.node(seen.point.ref.name) !== node) return [];
    return isCurrent(board, reading.points, reading.state) ? [seen.value] : [];
  });
  return Math.max(0, ...[...stated, ...read].map(Math.abs));
}

/** Kinds through which the mains reaches a rectifier: what limits, filters, drops or switches it. */
const carries = new Set(['fuse', 'resistor', 'inductor', 'ferrite', 'switch', 'capacitor']);

/** A rectifier that the mains reaches with no transformer between: then the common behind it is live. */
function rectifierOnMains(copper: Copper): Part | undefined {
  const queue = copper.nodes.filter((node) => node.nets.some((net) => net.role === 'mains'));
  const seen = new Set(queue);
  for (let node = queue.shift(); node; node = queue.shift()) {
    const [rectifier] = rectifiersAt(node);
    if (rectifier) return rectifier;
    for (const element of elementsAt(copper, node)) {
      if (element.part.kind === 'diode') return element.part;
      const { to } = across(element, node);
      if (!carries.has(element.part.kind!) || seen.has(to) || isGround(to)) continue;
      seen.add(to);
      queue.push(to);
    }
  }
  return undefined;
}
