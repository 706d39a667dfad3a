import type { CopperNode, Join, PinOnNode } from '../../board/copper';
import { isCurrent } from '../../board/currency';
import { pinText, roleOf } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Span } from '../../text/span';
import type { Check, Draft, Snapshot } from '../check';

export const supplyOutOfRange: Check = {
  name: 'supply-out-of-range',
  reads: 'copper',
  page: {
    meaning: 'A supply pin sees, or by the net’s nominal would see, a voltage its data sheet does not allow.',
    causes:
      'A regulator of the wrong type or without its feedback; a flat or overcharged cell; the wrong net joined; a reading with the leads or the range wrong.',
    next: 'Measure again at the pin itself, then at the regulator’s output and input.',
    source: 'The range in the pinout, from the data sheet.',
    blind:
      'A pin without a range is not judged, nor is one whose range is a nominal alone. A net’s whole stated range must lie inside the pin’s. A reading counts while no later rework changed its node.',
  },
  run(snapshot) {
    const copper = snapshot.board.at();
    return copper.nodes.flatMap((node) =>
      groups(node).flatMap((pins) => {
        const { min, max } = pins[0]!.spec!.volts!;
        const within = (low: number, high: number) => low >= min - 1e-9 && high <= max + 1e-9;
        return sightings(snapshot, node, pins[0]!).flatMap((seen): Draft[] => {
          if (within(seen.min, seen.max)) return [];
          const volts = (value: number) => formatQuantity(value, 'V');
          const range = seen.min === seen.max ? volts(seen.min) : `${volts(seen.min)} to ${volts(seen.max)}`;
          return [
            {
              span: seen.span,
              message: `${pins.map(pinText).join(', ')} may have ${volts(min)} to ${volts(max)}, but ${seen.says} ${range}.`,
              at: [...pins.map((pin) => pin.name), seen.point],
              evidence: [seen.evidence],
              figures: { min: seen.min, max: seen.max, allowedMin: min, allowedMax: max },
              joins: seen.joins,
              ...(pins[0]!.spec!.file !== snapshot.board.file && {
                related: [
                  { file: pins[0]!.spec!.file, span: pins[0]!.spec!.span, message: 'its range on the data sheet' },
                ],
              }),
            },
          ];
        });
      }),
    );
  },
};

/** Supply pins with a range, those of one part with the same range together. */
function groups(node: CopperNode): PinOnNode[][] {
  const found = new Map<string, PinOnNode[]>();
  for (const pin of node.pins) {
    if (!pin.part.fitted || roleOf(pin, node) !== 'supply' || !pin.spec?.volts?.ends) continue;
    const key = `${pin.part.designator} ${pin.spec.volts.min} ${pin.spec.volts.max}`;
    found.set(key, [...(found.get(key) ?? []), pin]);
  }
  return [...found.values()];
}

interface Sighting {
  readonly min: number;
  readonly max: number;
  readonly says: string;
  readonly span: Span;
  readonly point: string;
  readonly evidence: string;
  readonly joins: readonly Join[];
}

/** What is known of a node's DC: readings first, and only without any the nominal of its net. */
function sightings({ board }: Snapshot, node: CopperNode, pin: PinOnNode): Sighting[] {
  const copper = board.at();
  const read: Sighting[] = [];
  for (const reading of board.readings) {
    const point = reading.points[0];
    if (reading.kind !== 'dc' || reading.points.length !== 1 || !point || !Number.isFinite(reading.value)) continue;
    if (copper.node(point.ref.name) !== node || !isCurrent(board, reading.points, reading.state)) continue;
    read.push({
      min: reading.value,
      max: reading.value,
      says: `${point.text} reads`,
      span: reading.span,
      point: point.ref.name,
      evidence: reading.label,
      joins: copper.proof(point.ref.name, pin.name)?.joins ?? [],
    });
  }
  if (read.length > 0) return read;
  return node.nets.flatMap((net) =>
    net.volts === undefined
      ? []
      : [
          {
            min: net.volts.min,
            max: net.volts.max,
            says: `net ${net.name} is`,
            span: net.voltsSpan ?? net.keySpan,
            point: net.name,
            evidence: `net ${net.name}`,
            joins: copper.proof(net.name, pin.name)?.joins ?? [],
          },
        ],
  );
}
