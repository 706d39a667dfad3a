import { againstGround } from '../../board/against-ground';
import type { Copper, CopperNode, Join, PinOnNode } from '../../board/copper';
import { isCurrent } from '../../board/currency';
import { across, elementsAt } from '../../board/elements';
import type { Part } from '../../board/part';
import { isGround, pinText, roleOf } from '../../board/roles';
import type { Span } from '../../text/span';
import type { Snapshot } from '../check';

/** What is known of a node's DC, in V: read, or by a nominal. */
export interface Sighting {
  readonly min: number;
  readonly max: number;
  /** Fit to stand before the volts: "net VDD is". */
  readonly says: string;
  readonly span: Span;
  readonly point: string;
  readonly evidence: string;
  /** Where on the node it arrives: the point itself, or the near end of a part that passes it on. */
  readonly near: string;
  /** The joins on the way to it beyond that. */
  readonly joins: readonly Join[];
}

type Source = Omit<Sighting, 'near' | 'joins'>;

/** V of a USB power contact: 5 V nominal (USB 2.0). */
const usbVolts = 5;

/** What is known of a node's DC: readings first, and only without any the nominals on it, then those a part passes on to it. */
export function sightings({ board }: Snapshot, node: CopperNode): Sighting[] {
  const copper = board.at();
  const here = (sources: readonly Source[]) =>
    sources.map((source): Sighting => ({ ...source, near: source.point, joins: [] }));
  const read = board.readings.flatMap((reading): Source[] => {
    const read = reading.kind === 'dc' ? againstGround(reading, copper) : undefined;
    if (!read || !Number.isFinite(read.value)) return [];
    const { point, value: volts } = read;
    if (copper.node(point.ref.name) !== node || !isCurrent(board, reading.points, reading.state)) return [];
    const says = `${point.text} reads`;
    return [{ min: volts, max: volts, says, span: reading.span, point: point.ref.name, evidence: reading.label }];
  });
  if (read.length > 0) return here(read);
  // Volts that are still being typed may say otherwise.
  if (node.nets.some((net) => net.voltsBroken)) return [];
  const nominal = nominals(copper, node);
  return nominal.length > 0 ? here(nominal) : passedOn(copper, node);
}

/** What nets, else cells, outputs and power contacts, say of the node they lie on. */
function nominals(copper: Copper, node: CopperNode): Source[] {
  const stated = node.nets.flatMap((net): Source[] => {
    if (net.volts === undefined) return [];
    const { min, max } = net.volts;
    const name = `net ${net.name}`;
    return [{ min, max, says: `${name} is`, span: net.voltsSpan ?? net.keySpan, point: net.name, evidence: name }];
  });
  return stated.length > 0 ? stated : node.pins.flatMap((pin) => ofPin(copper, node, pin) ?? []);
}

function ofPin(copper: Copper, node: CopperNode, pin: PinOnNode): Source | undefined {
  const { part } = pin;
  const minus = copper.nodeOf(part, '2');
  if (!part.fitted) return undefined;
  const source = (volts: number, name: string): Source => ({
    min: volts,
    max: volts,
    says: `${name} is`,
    span: part.declared?.span ?? { start: 0, end: 0 },
    point: pin.name,
    evidence: name,
  });
  // A cell whose minus is ground puts its nominal on the node.
  if (part.kind === 'cell' && pin.pin === '1' && part.value && minus && isGround(minus))
    return source(part.value.value, `cell ${part.designator}`);
  if (pin.duty === 'power' && part.style?.startsWith('usb')) return source(usbVolts, `contact ${pin.name}`);
  const volts = givenBy(pin, node);
  return volts && volts.min === volts.max ? source(volts.min, `output ${pinText(pin)}`) : undefined;
}

/** V that a pin feeds its net with, by its sheet: a supply output's own, or its regulator's. */
export function givenBy(pin: PinOnNode, node: CopperNode): { readonly min: number; readonly max: number } | undefined {
  const section = pin.part.pinout?.sections.find(({ kind, out }) => kind === 'regulator' && out.includes(pin.pin));
  if (section?.volts !== undefined) return { min: section.volts, max: section.volts };
  return roleOf(pin, node) === 'supply-out' ? pin.spec?.volts : undefined;
}

/** Parts that pass a supply on without a drop worth speaking of: a switch counts as closed. */
const passes = (part: Part): boolean =>
  ['fuse', 'ferrite', 'inductor', 'switch'].includes(part.kind ?? '') ||
  (part.kind === 'resistor' && part.value?.value === 0);

/** The nearest nominals that parts without a drop pass on to a node. */
function passedOn(copper: Copper, start: CopperNode): Sighting[] {
  const seen = new Set([start]);
  const queue: { node: CopperNode; parts: string[]; near?: string; at?: string; joins: Join[] }[] = [
    { node: start, parts: [], joins: [] },
  ];
  for (let one = queue.shift(); one; one = queue.shift()) {
    const { node, parts, near, at, joins } = one;
    const found = near === undefined ? [] : nominals(copper, node);
    if (near !== undefined && found.length > 0)
      return found.map((source) => ({
        ...source,
        says: `${source.says.slice(0, -' is'.length)}, which reaches it through ${parts.join(', ')}, is`,
        near,
        joins: [...joins, ...(copper.proof(at!, source.point)?.joins ?? [])],
      }));
    for (const element of elementsAt(copper, node)) {
      const { to, pins } = across(element, node);
      if (!passes(element.part) || seen.has(to) || isGround(to)) continue;
      seen.add(to);
      const [from, beyond] = pins.map((pin) => element.part.point(pin));
      queue.push({
        node: to,
        parts: [element.part.designator, ...parts],
        near: near ?? from!,
        at: beyond!,
        joins: [...joins, ...(at === undefined ? [] : (copper.proof(at, from!)?.joins ?? []))],
      });
    }
  }
  return [];
}
