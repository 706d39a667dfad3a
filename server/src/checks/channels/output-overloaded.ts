import { otherLeg, outputs, pathsFrom } from '../../board/paths';
import { pinText } from '../../board/roles';
import { network } from '../../circuit/ac';
import { magnitude } from '../../circuit/complex';
import { type BoardNetwork, boardNetwork } from '../../circuit/from-board/build';
import { groundOf } from '../../circuit/from-board/chips';
import { toneHertz } from '../../circuit/from-board/figures';
import { basisOf, type Read, restsOnElements } from '../../circuit/from-board/rests-on';
import { needs } from '../../circuit/needs';
import { impedanceBetween } from '../../circuit/transfer';
import { formatQuantity } from '../../quantity/format';
import type { Check, Draft } from '../check';

/** How far below its stated least a load may be before it counts: the tolerance of parts. Common practice, no source. */
const slack = 0.95;

export const outputOverloaded: Check = {
  name: 'output-overloaded',
  reads: 'network',
  page: {
    meaning:
      'An output drives less resistance than its data sheet allows: level drops, distortion rises, the part runs hot.',
    causes: 'Headphones on a line output; a divider of too low values; a mono sum made by joining two outputs.',
    next: 'Measure the level with and without what is plugged in.',
    source:
      '`min-load` of the pin, from the data sheet; up to 5 % less is taken for the tolerance of parts (common practice, no source).',
    blind:
      'Needs `min-load`, and the values of all that hangs on the pin. Judged at 997 Hz, an output against its ground, the legs of a bridge against one another.',
  },
  run({ board }, told) {
    const copper = board.at();
    const net = boardNetwork(copper);
    if (!net) return [];
    const judged = new Set<string>();
    // Sides that are one by a fault load each other: that is told already.
    const crossed = told.filter((finding) => finding.check === 'channel-crossed').flatMap((finding) => finding.at);
    const drafts = outputs(copper).flatMap(({ pin, node }): Draft[] => {
      const least = pin.spec?.minLoad;
      if (least === undefined || judged.has(pin.name)) return [];
      const leg = otherLeg(pin);
      const other = leg === undefined ? undefined : copper.nodeOf(pin.part, leg);
      const ground = groundOf(copper, pin.part, net.reference);
      const legPoint = leg === undefined ? undefined : pin.part.point(leg);
      const [against, point] = other && legPoint ? [other.name, legPoint] : [ground.node, ground.point];
      if (legPoint !== undefined) judged.add(legPoint);
      const drivers = [pin.name, ...(legPoint === undefined ? [] : [legPoint])].flatMap((name) => driversOf(net, name));
      if (node.name === against || drivers.length === 0) return [];
      const reached = [node, ...pathsFrom(copper, pin, node).map((path) => path.end)];
      if (reached.some((end) => end.points.some((name) => crossed.includes(name)))) return [];
      const load: Read = (solved) => {
        const seen = impedanceBetween(solved, node.name, against, drivers);
        return seen && magnitude(seen);
      };
      if (needs(net.netlist, (netlist) => load(network(netlist).at(toneHertz))).length > 0) return [];
      const solved = net.network.at(toneHertz);
      const ohms = load(solved);
      if (typeof ohms !== 'number' || ohms >= least * slack) return [];
      const parts = restsOnElements(solved, load).filter((name) => !drivers.includes(name));
      return [
        {
          span: pin.part.declared?.keySpan ?? { start: 0, end: 0 },
          message: `${pinText(pin)} drives ${formatQuantity(ohms, 'Ω')} at 997 Hz; its data sheet wants ${formatQuantity(least, 'Ω')} or more.`,
          at: legPoint === undefined ? [pin.name] : [pin.name, legPoint],
          evidence: parts,
          figures: { load: ohms, least },
          basis: basisOf(net, parts, [pin.name, point]),
        },
      ];
    });
    return onePerPart(drafts);
  },
};

/** Both outputs of a part into one plug are one finding: the drafts of a part stand at one place. */
function onePerPart(drafts: readonly Draft[]): Draft[] {
  const merged = new Map<number, Draft>();
  for (const draft of drafts) {
    const before = merged.get(draft.span.start);
    merged.set(
      draft.span.start,
      before
        ? {
            ...before,
            message: `${before.message} ${draft.message}`,
            at: [...before.at!, ...draft.at!],
            evidence: [...before.evidence!, ...draft.evidence!],
            basis: [...before.basis!, ...draft.basis!],
          }
        : draft,
    );
  }
  return [...merged.values()];
}

/** What drives a pin in the network: its own source, or the section whose output it is. */
const driversOf = (net: BoardNetwork, pin: string): string[] =>
  net.netlist.elements.flatMap(({ name, kind }) =>
    (kind === 'voltage' || kind === 'vcvs' || kind === 'op-amp') && net.points.get(name)?.includes(pin) ? [name] : [],
  );
