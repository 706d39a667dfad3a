import { againstGround } from '../../board/against-ground';
import type { CopperNode } from '../../board/copper';
import { otherLeg } from '../../board/paths';
import { isGround, isSupply, pinText, roleOf } from '../../board/roles';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft, Snapshot } from '../check';

/** V from which a node is biased, by its data sheet and as read. Common practice, no source. */
const biased = { stated: 0.05, read: 0.1 };

export const groundLeadHazard: Check = {
  name: 'ground-lead-hazard',
  reads: 'copper',
  page: {
    meaning:
      'The probe’s clip sits on a node that is driven or biased. All clips of a scope are one earth: through it and whatever else earths the board, that node is shorted.',
    causes: 'A bridge output or a driven sleeve taken for ground; the clip put on the handiest metal.',
    next: 'Two probes, tips on the two points and both clips on the board’s ground, and the difference of the channels; or a differential probe; or a meter on its battery. Never lift the scope’s earth. Follow local codes; leave it to a licensed person where they say so.',
    source:
      'Makers’ primers on differential and earthed measurements: all scope inputs share one earthed common. A bias above 50 mV by the data sheet, or 100 mV as read, counts: common practice, no source.',
    blind:
      'A clip on a node whose role nobody has stated is not judged. Whether the board is earthed elsewhere is not known: the finding does not wait for it.',
  },
  run(snapshot) {
    const { board } = snapshot;
    return board.captures.flatMap((capture): Draft[] => {
      if (!capture.groundLead || capture.groundLead === 'none') return [];
      const copper = board.at(capture.state);
      const point = capture.groundLead.ref.name;
      const node = copper.node(point);
      const driven = node && drivenBy(snapshot, node);
      if (!node || !driven) return [];
      return [
        {
          span: capture.groundLeadSpan ?? capture.keySpan,
          message: `The clip of ${capture.name} sits on ${capture.groundLead.text}, ${driven.what}. Through the scope’s earth this shorts it: clip to the board’s ground and take the difference of two probes instead.`,
          at: [point],
          evidence: [`capture ${capture.name}`, ...(driven.evidence ? [driven.evidence] : [])],
          joins: driven.point === undefined ? [] : (copper.proof(point, driven.point)?.joins ?? []),
        },
      ];
    });
  },
};

interface Driven {
  readonly what: string;
  readonly point?: string;
  readonly evidence?: string;
}

/** What drives or biases a node; undefined for a ground and for a node of which nothing is known. */
function drivenBy({ board }: Snapshot, node: CopperNode): Driven | undefined {
  for (const pin of node.pins) {
    if (!pin.part.fitted) continue;
    const role = roleOf(pin, node);
    if (role === 'audio-out')
      return {
        what: `${otherLeg(pin) === undefined ? 'an output' : 'a leg of a bridge'}, ${pinText(pin)}`,
        point: pin.name,
      };
    if (role === 'supply-out') return { what: `driven by ${pinText(pin)}`, point: pin.name };
    if (role === 'supply' && !isGround(node)) return { what: `a supply, ${pinText(pin)}`, point: pin.name };
    if (pin.spec?.bias !== undefined && Math.abs(pin.spec.bias) > biased.stated && role !== 'ground')
      return { what: `biased to ${formatQuantity(pin.spec.bias, 'V')} by ${pinText(pin)}`, point: pin.name };
  }
  if (isGround(node)) return undefined;
  if (isSupply(node)) return { what: 'a supply' };
  const net = node.nets.find(
    (candidate) => candidate.role === 'audio-out' || candidate.role === 'reference' || candidate.role === 'mains',
  );
  if (net) return { what: net.role === 'audio-out' ? 'an output' : `which is ${net.role}`, point: net.name };
  const held = node.nets.find((candidate) => candidate.volts && (candidate.volts.min > 0 || candidate.volts.max < 0));
  if (held) return { what: `at ${formatQuantity(held.volts!.min, 'V')} by its net`, point: held.name };
  const contact = node.pins.find(
    (pin) => pin.part.fitted && ['left', 'right', 'mono', 'hot', 'cold'].includes(pin.duty ?? ''),
  );
  if (contact) return { what: `the contact ${contact.name}, which carries audio`, point: contact.name };
  const copper = board.at();
  for (const reading of board.readings) {
    const read = reading.kind === 'dc' ? againstGround(reading, copper) : undefined;
    if (!read || !node.points.includes(read.point.ref.name) || Math.abs(read.value) <= biased.read) continue;
    return {
      what: `which reads ${formatQuantity(read.value, 'V')}`,
      point: read.point.ref.name,
      evidence: reading.label,
    };
  }
  return undefined;
}
