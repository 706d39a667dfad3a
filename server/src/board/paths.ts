import type { Copper, CopperNode, Join, PinOnNode } from './copper';
import { across, elementsAt } from './elements';
import type { Part } from './part';
import { isGround, isSupply, roleOf } from './roles';

/** One part a signal passes on its way. */
export interface Step {
  readonly part: Part;
  readonly pins: readonly [string, string];
  readonly to: CopperNode;
}

/** From an output pin to a place where the signal is wanted: a contact or a net of a channel. */
export interface SignalPath {
  readonly from: PinOnNode;
  readonly start: CopperNode;
  readonly steps: readonly Step[];
  readonly end: CopperNode;
  /** The contact reached; undefined where the end is a net without one. */
  readonly contact: PinOnNode | undefined;
  /** What the end carries, as contact or net says. */
  readonly carries: 'left' | 'right' | 'mono' | 'hot' | 'cold';
}

const passes = new Set(['resistor', 'capacitor', 'inductor', 'ferrite', 'fuse', 'switch', 'potentiometer']);
const wanted = new Set(['left', 'right', 'mono', 'hot', 'cold']);

/** Audio output pins of a state, with the node each lies on. */
export function outputs(copper: Copper): { readonly pin: PinOnNode; readonly node: CopperNode }[] {
  return copper.nodes.flatMap((node) =>
    node.pins.flatMap((pin) => (pin.part.fitted && roleOf(pin, node) === 'audio-out' ? [{ pin, node }] : [])),
  );
}

/** The contacts and channel nets on a node, as ends of a path. */
function ends(node: CopperNode): { contact: PinOnNode | undefined; carries: SignalPath['carries'] }[] {
  const found: { contact: PinOnNode | undefined; carries: SignalPath['carries'] }[] = [];
  for (const pin of node.pins)
    if (pin.part.fitted && pin.duty && wanted.has(pin.duty))
      found.push({ contact: pin, carries: pin.duty as SignalPath['carries'] });
  if (found.length === 0)
    for (const net of node.nets)
      if (net.role === 'audio-out' && net.channel) found.push({ contact: undefined, carries: net.channel });
  return found;
}

/**
 * The shortest ways from a pin to each end it reaches, through R, C, L, FB, F, SW, potentiometers and the op-amp and amplifier
 * sections of chips. Grounds and supplies are not walked through, nor on from a node that rests: a reference, or one that a large
 * capacitor ties to ground.
 */
export function pathsFrom(copper: Copper, from: PinOnNode, start: CopperNode): SignalPath[] {
  const found: SignalPath[] = [];
  const seen = new Map<CopperNode, readonly Step[]>([[start, []]]);
  const queue = [start];
  for (let node = queue.shift(); node; node = queue.shift()) {
    const steps = seen.get(node)!;
    for (const end of ends(node)) found.push({ from, start, steps, end: node, ...end });
    if (node !== start && isStill(copper, node)) continue;
    const visit = (to: CopperNode | undefined, part: Part, pins: readonly [string, string]) => {
      if (!to || seen.has(to) || isGround(to) || isSupply(to)) return;
      seen.set(to, [...steps, { part, pins, to }]);
      queue.push(to);
    };
    for (const element of elementsAt(copper, node)) {
      if (!element.part.kind || !passes.has(element.part.kind)) continue;
      const { to, pins } = across(element, node);
      visit(to, element.part, pins);
    }
    for (const pin of node.pins)
      for (const section of pin.part.fitted ? (pin.part.pinout?.sections ?? []) : []) {
        if (section.kind === 'regulator' || (section.plus !== pin.pin && section.minus !== pin.pin)) continue;
        for (const out of section.out) visit(copper.nodeOf(pin.part, out), pin.part, [pin.pin, out]);
      }
  }
  return found;
}

/** Farads to ground from which a node carries no signal on: beyond filters, what bypasses a mid-rail. Common practice, no source. */
const bypass = 4.7e-6;

/** Whether no signal to speak of passes a node: a reference by its net or pin, or bypassed to ground. */
const isStill = (copper: Copper, node: CopperNode): boolean =>
  node.nets.some((net) => net.role === 'reference') ||
  node.pins.some((pin) => pin.part.fitted && roleOf(pin, node) === 'reference') ||
  elementsAt(copper, node).some(
    (element) =>
      element.part.kind === 'capacitor' &&
      (element.part.value?.value ?? 0) >= bypass * 0.99 &&
      isGround(across(element, node).to),
  );

/** The joins a path runs over: what its evidence is. */
export function joinsAlong(copper: Copper, path: Pick<SignalPath, 'from' | 'steps' | 'contact' | 'end'>): Join[] {
  const joins = new Set<Join>();
  let at = path.from.name;
  for (const step of path.steps) {
    for (const join of copper.proof(at, step.part.point(step.pins[0]))?.joins ?? []) joins.add(join);
    at = step.part.point(step.pins[1]);
  }
  const end = path.contact?.name ?? path.end.nets[0]?.name;
  if (end !== undefined) for (const join of copper.proof(at, end)?.joins ?? []) joins.add(join);
  return [...joins];
}

/** A path in words: "U1.14 – C7 – R4 – J2.tip". */
export const pathText = (path: SignalPath): string =>
  [path.from.name, ...path.steps.map((step) => step.part.designator), path.contact?.name ?? path.end.name].join(' – ');

/**
 * The channel an output carries: under a stated mode what its weights say, else what the data sheet says. Undefined where it
 * carries both or nothing is said.
 */
export function channelOf(pin: PinOnNode): 'left' | 'right' | undefined {
  const mode = pin.part.modeName;
  const weights = mode === undefined ? undefined : pin.part.pinout?.modes.get(mode)?.get(pin.pin);
  if (weights) {
    if (weights.left !== 0 && weights.right === 0) return 'left';
    if (weights.right !== 0 && weights.left === 0) return 'right';
    return undefined;
  }
  const channel = pin.spec?.channel;
  return channel === 'mono' ? undefined : channel;
}

/** The other leg, where a pin is one of a bridge: by `return`, by a section with two outputs, or by a stated mode that opposes them. */
export function otherLeg(pin: PinOnNode): string | undefined {
  const pinout = pin.part.pinout;
  if (!pinout) return undefined;
  const back = pin.spec?.returnPin;
  if (back !== undefined && pinout.pins.get(back)?.role === 'audio-out' && pinout.pins.get(back)?.returnPin === pin.pin)
    return back;
  for (const section of pinout.sections)
    if (section.kind === 'amplifier' && section.out.length === 2 && section.out.includes(pin.pin))
      return section.out.find((out) => out !== pin.pin);
  const weights = pin.part.mode === undefined ? undefined : pinout.modes.get(pin.part.mode.name);
  const own = weights?.get(pin.pin);
  if (!weights || !own || (own.left === 0 && own.right === 0)) return undefined;
  for (const [key, other] of weights)
    if (key !== pin.pin && other.left === -own.left && other.right === -own.right) return key;
  return undefined;
}
