import type { Copper, CopperNode, Join } from '../../board/copper';
import { across, type Element, elementsAt } from '../../board/elements';
import { isStrap } from '../../board/grounds';
import { perCopper } from '../../board/memo';
import type { Part } from '../../board/part';
import type { Evidence } from '../../quantity/figure';
import { type End, endOf, without } from './end-of-copper';
import type { CopperKind, CopperSeen } from './seen';

/** A part passed on the way, with the pins it was entered and left by. */
interface Step {
  readonly part: Part;
  readonly pins: readonly [string, string];
  readonly to: CopperNode;
}

/** A supply comes out of a diode's cathode. */
const feeds =
  (start: CopperNode) =>
  (element: Element): boolean =>
    isStrap(element.part) || (element.part.kind === 'diode' && element.nodes[0] !== start && element.pins[1] === 'K');

const passes = new Set(['resistor', 'capacitor', 'inductor', 'ferrite', 'fuse', 'switch', 'potentiometer']);
/** Parts of two terminals that may hang on any line. */
const hangsOn = new Set([...passes, 'test-point', 'diode', 'zener', 'tvs', 'varistor']);
/** Most parts passed on the way to what a pin is for: common practice, no source. */
const mostSteps = 6;
/** Up to here a capacitor to ground is a crystal's load: common practice, no source. */
const loadCapacitance = 50e-12;
const rank: Readonly<Record<Evidence, number>> = { measured: 0, buzzed: 1, seen: 2, stated: 3, assumed: 4 };

/** Points that some join names. */
const joined = perCopper(
  (copper): ReadonlySet<string> => new Set(copper.joins.flatMap((join) => join.points.map((point) => point.ref.name))),
);

/**
 * Where copper leads from a pin: the piece of copper it is on, else what is reached through straps, else through the parts a signal
 * passes, nearest first. Undefined where copper says nothing of the pin. What the part's own pins are said to be is left out.
 */
export function follow(copper: Copper, part: Part, pin: string): CopperSeen | undefined {
  const name = part.point(pin);
  const start = copper.node(name);
  if (!start || !joined(copper).has(name)) return undefined;
  const tell = (kind: CopperKind, end: Pick<End, 'to' | 'side'> | undefined, steps: readonly Step[]): CopperSeen => {
    const joins = joinsOn(copper, name, steps, end?.to);
    return {
      kind,
      evidence: joins.reduce<Evidence>(
        (worst, join) => (rank[join.evidence] > rank[worst] ? join.evidence : worst),
        'buzzed',
      ),
      joins,
      through: steps.map((step) => step.part.designator),
      ...(end && { to: end.to }),
      ...(end?.side && { side: end.side }),
    };
  };
  // What rests on there being nothing else on the pin's copper is no more than a beginning until all of it is listed.
  const soFar = (seen: CopperSeen): CopperSeen => (start.complete ? seen : { ...seen, unfinished: true });
  const own = endOf(start, part);
  if (own && own.kind !== 'line') return tell(own.kind, own, []);
  // An antenna's matching has coils to ground: they are no straps.
  const radio = search(copper, part, start, ({ part: { kind } }) => kind === 'inductor' || kind === 'capacitor', [
    'antenna',
  ]);
  if (radio) return tell('antenna', radio.end, radio.steps);
  const strapped =
    search(copper, part, start, (element) => isStrap(element.part), ['ground', 'supply']) ??
    search(copper, part, start, feeds(start), ['supply']);
  if (strapped) return tell(strapped.end.kind, strapped.end, strapped.steps);
  const reached = search(copper, part, start, (element) => passes.has(element.part.kind ?? ''), signalEnds);
  if (reached) {
    const kind = passed(reached.end.kind, reached.steps);
    // A signal comes through its capacitor; a resistor may as well lead away from a supply or a ground without a name yet.
    const signal = reached.steps.some((step) => step.part.kind === 'capacitor');
    if (kind) return (signal ? (seen: CopperSeen) => seen : soFar)(tell(kind, reached.end, reached.steps));
  }
  const shunts = shuntsOf(copper, part, start);
  if (own) return soFar(tell('line', own, []));
  if (shunts) return soFar(tell(shunts.kind, shunts, shunts.steps));
  if (reached) return soFar(tell('line', reached.end, reached.steps));
  const bare = without(start, part);
  const alone = bare.pins.every((other) => other.part.kind === 'test-point');
  if (alone) {
    // Two pins of the part joined to each other alone say nothing of what they are.
    const single = start.pins.every((other) => other.part !== part || other.pin === pin);
    return single && start.complete ? tell('nothing', undefined, []) : undefined;
  }
  const chip = bare.pins.find((other) => !hangsOn.has(other.part.kind ?? ''));
  return soFar(tell(chip ? 'line' : 'unsettled', { to: (chip ?? bare.pins[0]!).name }, []));
}

const signalEnds: readonly CopperKind[] = [
  'audio-straight',
  'audio-in',
  'clock',
  'antenna',
  'data',
  'led',
  'common',
  'line',
];

/** The nearest node, through the parts allowed, that is one of the kinds wanted. Grounds and supplies are not walked through. */
function search(
  copper: Copper,
  part: Part,
  start: CopperNode,
  through: (element: Element) => boolean,
  wanted: readonly CopperKind[],
): { end: End; steps: readonly Step[] } | undefined {
  const seen = new Set([start]);
  let front: { node: CopperNode; steps: readonly Step[] }[] = [{ node: start, steps: [] }];
  let fallback: { end: End; steps: readonly Step[] } | undefined;
  for (let depth = 0; depth < mostSteps && front.length > 0; depth++) {
    const next: typeof front = [];
    for (const { node, steps } of front)
      for (const element of elementsAt(copper, node)) {
        if (!through(element)) continue;
        const { to, pins } = across(element, node);
        if (seen.has(to)) continue;
        seen.add(to);
        const path = [...steps, { part: element.part, pins, to }];
        const end = endOf(to, part);
        if (end && wanted.includes(end.kind)) {
          if (end.kind !== 'line') return { end, steps: path };
          fallback ??= { end, steps: path };
        } else if (end?.kind !== 'ground' && end?.kind !== 'supply') next.push({ node: to, steps: path });
      }
    front = next;
  }
  return fallback;
}

/** What passing parts makes of an end: audio through a capacitor or resistors; a crystal, a bus, a lamp only through resistors. */
function passed(kind: CopperKind, steps: readonly Step[]): CopperKind | undefined {
  const kinds = new Set(steps.map((step) => step.part.kind));
  if (kind === 'audio-straight')
    return kinds.has('capacitor')
      ? 'audio-coupled'
      : kinds.has('resistor') || kinds.has('potentiometer')
        ? 'audio-divided'
        : kind;
  if (kind === 'audio-in' || kind === 'antenna') return kind;
  if (kinds.has('capacitor')) return undefined;
  return kind;
}

/** Parts from the node to grounds and supplies, where there is nothing else on it: a decoupling or load capacitor, a pull, a button. */
function shuntsOf(copper: Copper, part: Part, node: CopperNode): (End & { steps: readonly Step[] }) | undefined {
  const elements = elementsAt(copper, node).filter((element) => element.part !== part);
  const others = without(node, part).pins.filter((pin) => pin.part.kind !== 'test-point');
  const told = new Set(elements.map((element) => element.part));
  if (elements.length === 0 || others.some((pin) => !told.has(pin.part))) return undefined;
  const steps = elements.map((element): Step & { end: End | undefined } => {
    const { to, pins } = across(element, node);
    return { part: element.part, pins, to, end: endOf(to, part) };
  });
  // A common contact that nobody has called a ground yet is one as far as its capacitors go.
  if (steps.some(({ end }) => !end || !['ground', 'supply', 'common'].includes(end.kind))) return undefined;
  const of = (kind: string) => steps.filter((step) => step.part.kind === kind);
  const [first, rest] = [of('switch')[0] ?? of('resistor')[0] ?? of('capacitor')[0], steps];
  if (!first || rest.some((step) => !['switch', 'resistor', 'capacitor'].includes(step.part.kind ?? '')))
    return undefined;
  const small = of('capacitor').every((step) => (step.part.value?.value ?? 1) <= loadCapacitance);
  const kind =
    of('switch').length > 0 ? 'control' : of('resistor').length > 0 ? 'pulled' : small ? 'clock' : 'decoupling';
  return { kind, to: first.end!.to, steps: [first] };
}

/** The joins that lead from a pin over the parts passed to a point. */
function joinsOn(copper: Copper, from: string, steps: readonly Step[], to: string | undefined): Join[] {
  const joins = new Set<Join>();
  let at = from;
  for (const step of steps) {
    for (const join of copper.proof(at, step.part.point(step.pins[0]))?.joins ?? []) joins.add(join);
    at = step.part.point(step.pins[1]);
  }
  if (to !== undefined) for (const join of copper.proof(at, to)?.joins ?? []) joins.add(join);
  if (joins.size === 0)
    for (const join of copper.joins) if (join.points.some((point) => point.ref.name === from)) joins.add(join);
  return [...joins];
}
