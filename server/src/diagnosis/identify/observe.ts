import type { Board } from '../../board/board';
import type { Copper, CopperNode, WrittenPoint } from '../../board/copper';
import { isCurrent, isReadingCurrent } from '../../board/currency';
import { perCopper } from '../../board/memo';
import type { Part } from '../../board/part';
import { isGround, isSupply } from '../../board/roles';
import type { RecordingFigures } from '../../signal/figures';
import { without } from './end-of-copper';
import { follow } from './follow';
import type { CopperSeen, Known, PinSeen } from './seen';

/** Ohms up to which a meter on two points means one piece of copper, leads included: common practice, no source. */
const joinedOhms = 2;
/** Volts RMS above which sound is there, 1 mV, and the same in a recording without a scale, −60 dBFS: common practice, no source. */
const soundVolts = 1e-3;

/** Everything the board shows of a part's pins, by pin; those nobody visited have no entry. As the copper is after the last rework. */
export function observe(
  board: Board,
  part: Part,
  figures: ReadonlyMap<string, RecordingFigures> = new Map(),
): PinSeen[] {
  const copper = board.at();
  const meter = new Meter(board, copper, figures);
  const met = [...(pinsMet(copper).get(part) ?? [])].map((pin) => {
    const node = copper.nodeOf(part, pin)!;
    const seen = follow(copper, part, pin) ?? meter.joinedTo(node, part);
    // A supply may be reached through a ferrite: its voltage is read where it has its name.
    const rail = seen?.kind === 'supply' ? (seen.to !== undefined && copper.node(seen.to)) || node : undefined;
    return { pin, node, seen, rail };
  });
  const seen = met.flatMap(({ pin, node, seen, rail }): PinSeen[] => {
    const volts = rail && (meter.dc(rail)?.volts ?? meter.dc(node)?.volts ?? statedVolts(rail));
    const sharedBy = met.filter((other) => other.rail && other.rail === rail).length;
    const found: PinSeen = {
      pin,
      ...(seen && { copper: volts === undefined ? seen : { ...seen, volts, sharedBy } }),
      ...(seen ? {} : meter.apartFrom(node, part)),
      ...meter.on(node),
    };
    return Object.keys(found).length > 1 ? [found] : [];
  });
  return seen.sort((a, b) => byPin(a.pin, b.pin));
}

/** Pins in the order of the package: numbers, grid names, the pad. */
const byPin = (a: string, b: string): number => {
  const [x, y] = [Number(a), Number(b)];
  if (Number.isFinite(x) && Number.isFinite(y)) return x - y;
  if (Number.isFinite(x) !== Number.isFinite(y)) return Number.isFinite(x) ? -1 : 1;
  return a < b ? -1 : a > b ? 1 : 0;
};

/** Pins that any join, reading or list has named, by part. */
const pinsMet = perCopper((copper) => {
  const pins = new Map<Part, Set<string>>();
  for (const node of copper.nodes)
    for (const { part, pin } of node.pins) pins.set(part, (pins.get(part) ?? new Set<string>()).add(pin));
  return pins;
});

const groundsOf = perCopper((copper): ReadonlySet<CopperNode> => new Set(copper.nodes.filter(isGround)));

/** What nets and cells on a node state of its volts: the middle of a range. */
function statedVolts(node: CopperNode): number | undefined {
  for (const net of node.nets) if (net.volts) return (net.volts.min + net.volts.max) / 2;
  return node.pins.find((pin) => pin.part.kind === 'cell' && pin.part.fitted && pin.pin === '1')?.part.value?.value;
}

/** Readings and recordings that still hold, by the copper they were taken on. */
class Meter {
  private readonly grounds: ReadonlySet<CopperNode>;

  constructor(
    private readonly board: Board,
    private readonly copper: Copper,
    private readonly figures: ReadonlyMap<string, RecordingFigures>,
  ) {
    this.grounds = groundsOf(copper);
  }

  private node(point: WrittenPoint | undefined): CopperNode | undefined {
    return point && this.copper.node(point.ref.name);
  }

  /** DC of a node against ground; the last reading stands. */
  dc(node: CopperNode): (Known & { volts: number }) | undefined {
    let found: (Known & { volts: number }) | undefined;
    for (const reading of this.board.readings) {
      if (reading.kind !== 'dc' || !isReadingCurrent(this.board, reading)) continue;
      const [red, black] = [this.node(reading.points[0]), this.node(reading.points[1])];
      const known = { evidence: 'measured' as const, facts: [reading.label] };
      if (red === node && (reading.points.length === 1 || (black && this.grounds.has(black))))
        found = { ...known, volts: reading.value };
      else if (black === node && red && this.grounds.has(red)) found = { ...known, volts: -reading.value };
    }
    return found;
  }

  /** DC, a clock and sound on a node. */
  on(node: CopperNode): Pick<PinSeen, 'dc' | 'clock' | 'audio'> {
    const stated = node.nets.find((net) => net.volts && net.role === undefined);
    const dc =
      this.dc(node) ??
      (stated && { volts: statedVolts(node)!, evidence: 'stated' as const, facts: [`net ${stated.name}`] });
    const clock = this.board.readings.findLast(
      (reading) =>
        reading.kind === 'frequency' && this.node(reading.points[0]) === node && isReadingCurrent(this.board, reading),
    );
    const audio = this.sound(node);
    return {
      ...(dc && { dc }),
      ...(clock && { clock: { hertz: clock.value, evidence: 'measured' as const, facts: [clock.label] } }),
      ...(audio && { audio }),
    };
  }

  /** Whether sound was found on a node while sound was played, by a meter or a measured recording. */
  private sound(node: CopperNode): (Known & { present: boolean }) | undefined {
    const found: { present: boolean; fact: string }[] = [];
    for (const reading of this.board.readings)
      if (
        reading.kind === 'ac' &&
        reading.stimulus &&
        reading.stimulus.kind !== 'silence' &&
        this.node(reading.points[0]) === node &&
        isReadingCurrent(this.board, reading)
      )
        found.push({ present: reading.value > soundVolts, fact: reading.label });
    for (const capture of this.board.captures) {
      const measured = this.figures.get(capture.name);
      if (!measured || !capture.stimulus || capture.stimulus.kind === 'silence' || capture.stimulusBroken) continue;
      for (const channel of capture.channels) {
        if (channel.points.length !== 1 || this.node(channel.points[0]) !== node) continue;
        if (!isCurrent(this.board, channel.points, capture.state)) continue;
        const rms = measured.channels.find((one) => one.name === channel.key)?.rms;
        if (rms !== undefined) found.push({ present: rms > soundVolts, fact: `capture ${capture.name}` });
      }
    }
    if (found.length === 0) return undefined;
    // Once heard is heard: silence under another stimulus (the other side alone) says nothing against it.
    const heard = found.filter((one) => one.present);
    const facts = (heard.length > 0 ? heard : found).map((one) => one.fact);
    return { present: heard.length > 0, evidence: 'measured', facts: [...new Set(facts)] };
  }

  /** A beep or low ohms to ground or a supply stand in for copper nobody has written down. */
  joinedTo(node: CopperNode, part: Part): CopperSeen | undefined {
    for (const { other, label, joined } of this.between(node)) {
      const bare = without(other, part);
      const kind = !joined ? undefined : isGround(bare) ? 'ground' : isSupply(bare) ? 'supply' : undefined;
      if (kind) return { kind, evidence: 'measured', facts: [label], to: other.name };
    }
    return undefined;
  }

  /** No beep to ground, or to a supply: by `apart` lists and by readings. */
  apartFrom(node: CopperNode, part: Part): Pick<PinSeen, 'notGround' | 'notSupply'> {
    const apart = this.copper.nodes
      .filter((other) => this.copper.foundApart(node, other))
      .map((other) => ({ other, label: `apart ${node.name} ${other.name}` }));
    const read = this.between(node).filter(({ joined }) => !joined);
    let notGround: Known | undefined;
    let notSupply: Known | undefined;
    for (const { other, label } of [...apart, ...read]) {
      const bare = without(other, part);
      const known: Known = { evidence: 'measured', facts: [label] };
      if (isGround(bare)) notGround ??= known;
      else if (isSupply(bare)) notSupply ??= known;
    }
    return { ...(notGround && { notGround }), ...(notSupply && { notSupply }) };
  }

  /** Ohms and beeps between a node and others. */
  private between(node: CopperNode): { other: CopperNode; label: string; joined: boolean }[] {
    return this.board.readings.flatMap((reading) => {
      if ((reading.kind !== 'ohms' && reading.kind !== 'beeps') || !isReadingCurrent(this.board, reading)) return [];
      const [a, b] = [this.node(reading.points[0]), this.node(reading.points[1])];
      const other = a === node ? b : b === node ? a : undefined;
      if (!other || other === node) return [];
      const joined = reading.kind === 'beeps' ? reading.value === 1 : reading.value <= joinedOhms;
      return [{ other, label: reading.label, joined }];
    });
  }
}
