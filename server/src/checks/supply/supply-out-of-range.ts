import type { CopperNode, PinOnNode } from '../../board/copper';
import { pinText, roleOf } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';
import { sightings } from './sightings';

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
      'A pin without a range is not judged, nor is one whose range is a nominal alone. A net’s whole stated range must lie inside the pin’s. Without a reading or `volts` on the net, a cell, a regulator’s output or a USB contact counts, also through fuses, ferrites, coils, closed switches and 0 Ω; what drops in diodes and resistors is not judged. A reading counts while no later rework changed its node.',
  },
  run(snapshot) {
    const copper = snapshot.board.at();
    const volts = (value: number) => formatQuantity(value, 'V');
    return copper.nodes.flatMap((node): Draft[] => {
      const ranged = groups(node);
      if (ranged.length === 0) return [];
      // One node, one cause: the first sighting that is outside any pin's range, with all pins it is outside of.
      for (const seen of sightings(snapshot, node)) {
        const against = ranged.filter(({ min, max }) => seen.min < min - 1e-9 || seen.max > max + 1e-9);
        const [first] = against;
        if (!first) continue;
        const range = seen.min === seen.max ? volts(seen.min) : `${volts(seen.min)} to ${volts(seen.max)}`;
        const pins = against.flatMap((group) => group.pins);
        const sheets = against.filter((group) => group.pins[0]!.spec!.file !== snapshot.board.file);
        return [
          {
            span: seen.span,
            message: `${against
              .map(
                (group) => `${group.pins.map(pinText).join(', ')} may have ${volts(group.min)} to ${volts(group.max)}`,
              )
              .join(', ')}, but ${seen.says} ${range}.`,
            at: [...pins.map((pin) => pin.name), seen.point],
            evidence: [seen.evidence],
            figures: { min: seen.min, max: seen.max, allowedMin: first.min, allowedMax: first.max },
            joins: [...pins.flatMap((pin) => copper.proof(seen.near, pin.name)?.joins ?? []), ...seen.joins],
            related: sheets.map((group) => ({
              file: group.pins[0]!.spec!.file,
              span: group.pins[0]!.spec!.span,
              message: 'its range on the data sheet',
            })),
          },
        ];
      }
      return [];
    });
  },
};

interface Ranged {
  readonly min: number;
  readonly max: number;
  readonly pins: PinOnNode[];
}

/** Supply pins with a range, those of one part with the same range together. */
function groups(node: CopperNode): Ranged[] {
  const found = new Map<string, Ranged>();
  for (const pin of node.pins) {
    const volts = pin.spec?.volts;
    if (!pin.part.fitted || roleOf(pin, node) !== 'supply' || !volts?.ends) continue;
    const key = `${pin.part.designator} ${volts.min} ${volts.max}`;
    const group = found.get(key);
    if (group) group.pins.push(pin);
    else found.set(key, { min: volts.min, max: volts.max, pins: [pin] });
  }
  return [...found.values()];
}
