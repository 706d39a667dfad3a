import type { CopperNode, PinOnNode } from '../../board/copper';
import { groundSign, pinText, roleOf } from '../../board/roles';
import type { Check, Draft } from '../check';
import { supplyName } from '../supply/names';

/** Net roles a ground pin has no business on; a control or data line tied to it is a strap. */
const foreign = new Set(['audio-out', 'audio-in', 'clock', 'antenna', 'reference', 'data', 'mains']);

export const groundMiswired: Check = {
  name: 'ground-miswired',
  reads: 'copper',
  page: {
    meaning: 'A pin that the data sheet calls a ground sits on a supply, or on a net that is for something else.',
    causes:
      'The pins were counted from the wrong corner; the pinout is a sibling’s; a beep through a low-ohm part was taken for copper.',
    next: 'Count the pins again from pin 1, and buzz the pin to the minus of the supply.',
    source: 'Common practice, no source.',
    blind:
      'VSS, V− and VEE on a negative net are supplies. Where a ground net, cell or contact is on the node too, `supply-short` speaks instead. A control, data or test line tied to a ground pin is a strap.',
  },
  run({ board }, told) {
    const copper = board.at();
    const shorted = new Set(
      told.filter((finding) => finding.check === 'supply-short').flatMap((finding) => finding.at),
    );
    return copper.nodes.flatMap((node): Draft[] => {
      if (groundSign(node) !== 'pin' || node.points.some((point) => shorted.has(point))) return [];
      const against = opponent(node);
      if (!against) return [];
      const pins = node.pins.filter((pin) => pin.part.fitted && roleOf(pin, node) === 'ground');
      return byPart(pins).map((group) => {
        const joins = copper.proof(group[0]!.name, against.name)?.joins ?? [];
        const names = group.map(pinText).join(', ');
        return {
          span: joins[0]?.span ?? node.nets[0]?.keySpan ?? { start: 0, end: 0 },
          message: `${names} ${group.length > 1 ? 'are ground pins' : 'is a ground pin'}, but copper joins ${group.length > 1 ? 'them' : 'it'} to ${against.name}, ${against.what}.`,
          at: [...group.map((pin) => pin.name), against.name],
          joins,
        };
      });
    });
  },
};

/** What on the node speaks against its being a ground. */
function opponent(node: CopperNode): { name: string; what: string } | undefined {
  const supply = supplyName(node);
  if (supply !== undefined) return { name: supply, what: 'a supply' };
  const net = node.nets.find((candidate) => candidate.role !== undefined && foreign.has(candidate.role));
  if (net) return { name: net.name, what: `which is for ${net.role}` };
  const output = node.pins.find((pin) => pin.part.fitted && roleOf(pin, node) === 'audio-out');
  return output && { name: output.name, what: 'an output' };
}

function byPart(pins: readonly PinOnNode[]): PinOnNode[][] {
  const groups = new Map<string, PinOnNode[]>();
  for (const pin of pins) groups.set(pin.part.designator, [...(groups.get(pin.part.designator) ?? []), pin]);
  return [...groups.values()];
}
