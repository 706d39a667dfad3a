import type { Evidence } from '../quantity/figure';
import type { Span } from '../text/span';
import type { ContactDuty } from './connectors';
import type { Net } from './net';
import type { Part } from './part';
import type { PinSpec } from './pinout';

/** A place on the board that copper joins: a pin of a part, or a net. `name` is canonical: pins by number or contact. */
export interface PointRef {
  readonly name: string;
  /** The part's designator; undefined for a net. */
  readonly part: string | undefined;
  /** Canonical pin: the data sheet's number, a contact, a polarity; undefined for a net. */
  readonly pin: string | undefined;
}

/** A point as written in the file. */
export interface WrittenPoint {
  readonly ref: PointRef;
  readonly text: string;
  readonly span: Span;
}

/** Points that one piece of copper connects, and how that is known. */
export interface Join {
  /** A point of it could not be resolved: nothing may be concluded from what is not found on it. */
  readonly doubtful: boolean;
  readonly evidence: Extract<Evidence, 'buzzed' | 'seen' | 'assumed'>;
  readonly points: readonly WrittenPoint[];
  readonly span: Span;
  /** `as-found`, or the rework that made it. */
  readonly state: string;
}

/** How a join is named to the reader: "buzzed U1.2 J2.sleeve GND". */
export const joinText = (join: Join): string => `${join.evidence} ${join.points.map((point) => point.text).join(' ')}`;

export interface PinOnNode {
  readonly name: string;
  readonly part: Part;
  readonly pin: string;
  readonly spec: PinSpec | undefined;
  readonly duty: ContactDuty | undefined;
}

/** One piece of copper: everything that joins have put together. */
export interface CopperNode {
  readonly id: number;
  /** The net's name where it has one, else its first point: how the node is called in messages. */
  readonly name: string;
  readonly points: readonly string[];
  readonly nets: readonly Net[];
  readonly pins: readonly PinOnNode[];
  /** Everything on it is listed: the board or a net says so, or a single point was looked for and reaches nothing. */
  readonly complete: boolean;
}

const strength: Record<Join['evidence'], number> = { buzzed: 0, seen: 1, assumed: 2 };

/** A proof that two points are one: the strongest chain of joins, and the weakest evidence in it. */
export interface Proof {
  readonly joins: readonly Join[];
  readonly weakest: Evidence;
}

interface Edge {
  readonly to: string;
  readonly join: Join;
}

/** The copper of one state of the board. Immutable once built. */
export class Copper {
  readonly nodes: readonly CopperNode[];
  private readonly nodeOfPoint = new Map<string, CopperNode>();
  private readonly forest = new Map<string, Edge[]>();

  /**
   * @param joins all joins that hold in this state
   * @param apart lists of points that do not beep with one another
   * @param points every point met anywhere, joined or not
   * @param doubtfulParts parts of which some pin was named that could not be found
   */
  constructor(
    readonly state: string,
    readonly parts: ReadonlyMap<string, Part>,
    readonly joins: readonly Join[],
    readonly apart: readonly { readonly points: readonly WrittenPoint[]; readonly span: Span }[],
    points: Iterable<PointRef>,
    nets: ReadonlyMap<string, Net>,
    /** The board says that everything on it is listed. */
    readonly everythingListed: boolean,
    doubtfulParts: ReadonlySet<string>,
  ) {
    const parent = new Map<string, string>();
    const refs = new Map<string, PointRef>();
    const add = (ref: PointRef) => {
      if (refs.has(ref.name)) return;
      refs.set(ref.name, ref);
      parent.set(ref.name, ref.name);
    };
    const root = (name: string): string => {
      let at = name;
      while (parent.get(at) !== at) {
        const up = parent.get(at)!;
        parent.set(at, parent.get(up)!);
        at = parent.get(up)!;
      }
      return at;
    };
    for (const ref of points) add(ref);
    // Strongest evidence first: the forest that results joins any two points by their strongest chain (Kruskal).
    const ordered = [...joins].sort((a, b) => strength[a.evidence] - strength[b.evidence]);
    for (const join of ordered) {
      const first = join.points[0];
      if (!first) continue;
      for (const point of join.points) {
        add(point.ref);
        const a = root(first.ref.name);
        const b = root(point.ref.name);
        if (a === b) continue;
        parent.set(b, a);
        this.edge(first.ref.name, { to: point.ref.name, join });
        this.edge(point.ref.name, { to: first.ref.name, join });
      }
    }
    const doubtful = new Set(
      joins.flatMap((join) => (join.doubtful ? join.points.map((point) => point.ref.name) : [])),
    );
    const single = new Set(
      joins.filter((join) => join.points.length === 1 && !join.doubtful).map((join) => join.points[0]!.ref.name),
    );
    const groups = new Map<string, string[]>();
    for (const name of refs.keys()) {
      const key = root(name);
      const group = groups.get(key);
      if (group) group.push(name);
      else groups.set(key, [name]);
    }
    const nodes: CopperNode[] = [];
    for (const names of groups.values()) {
      const onNets: Net[] = [];
      const pins: PinOnNode[] = [];
      for (const name of names) {
        const ref = refs.get(name)!;
        const net = ref.part === undefined ? nets.get(name) : undefined;
        if (net) onNets.push(net);
        const part = ref.part === undefined ? undefined : parts.get(ref.part);
        if (part && ref.pin !== undefined)
          pins.push({ name, part, pin: ref.pin, spec: part.spec(ref.pin), duty: part.duty(ref.pin) });
      }
      const doubted =
        names.some((name) => doubtful.has(name)) || pins.some((pin) => doubtfulParts.has(pin.part.designator));
      const node: CopperNode = {
        id: nodes.length,
        name: onNets[0]?.name ?? names.find((name) => refs.get(name)!.part === undefined) ?? names[0]!,
        points: names,
        nets: onNets,
        pins,
        complete:
          !doubted &&
          (everythingListed || onNets.some((net) => net.complete) || (names.length === 1 && single.has(names[0]!))),
      };
      nodes.push(node);
      for (const name of names) this.nodeOfPoint.set(name, node);
    }
    this.nodes = nodes;
  }

  private edge(from: string, edge: Edge): void {
    const edges = this.forest.get(from);
    if (edges) edges.push(edge);
    else this.forest.set(from, [edge]);
  }

  /** The node a point (canonical name) lies on; undefined for a point nothing has mentioned. */
  node(name: string): CopperNode | undefined {
    return this.nodeOfPoint.get(name);
  }

  /** The node of a part's pin. */
  nodeOf(part: Part, pin: string): CopperNode | undefined {
    return this.nodeOfPoint.get(part.point(pin));
  }

  /** The strongest chain of joins between two points; undefined where copper does not join them. */
  proof(from: string, to: string): Proof | undefined {
    if (from === to) return { joins: [], weakest: 'measured' };
    const came = new Map<string, { from: string; join: Join }>();
    const queue = [from];
    for (let at = queue.shift(); at !== undefined && !came.has(to); at = queue.shift())
      for (const edge of this.forest.get(at) ?? [])
        if (edge.to !== from && !came.has(edge.to)) {
          came.set(edge.to, { from: at, join: edge.join });
          queue.push(edge.to);
        }
    if (!came.has(to)) return undefined;
    const joins: Join[] = [];
    for (let at = to; at !== from; at = came.get(at)!.from) {
      const join = came.get(at)!.join;
      if (joins[joins.length - 1] !== join) joins.push(join);
    }
    joins.reverse();
    let weakest: Evidence = 'buzzed';
    for (const join of joins)
      if (strength[join.evidence] > strength[weakest as Join['evidence']]) weakest = join.evidence;
    return { joins, weakest };
  }

  /** Whether the bench found no beep between two nodes: an `apart` list names a point of each. */
  foundApart(a: CopperNode, b: CopperNode): boolean {
    if (a === b) return false;
    return this.apart.some(
      (list) =>
        list.points.some((point) => this.node(point.ref.name) === a) &&
        list.points.some((point) => this.node(point.ref.name) === b),
    );
  }
}
