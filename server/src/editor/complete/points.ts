import type { Copper, CopperNode } from '../../board/copper';
import { type Part, polarityOf } from '../../board/part';
import { pinsOfStyle } from '../../board/pinout';
import type { BoardAnalysis } from '../analysis';
import { netFacts } from '../describe/net';
import { valueText } from '../describe/part';
import { pinFacts, pinTitle } from '../describe/pin';
import { bullets, paragraphs } from '../markdown';
import { nameOfOne, partNamed, spelling } from '../names';
import type { Offer } from './item';

/** Parts with more pins than this are offered as `U1.` first: their pins would drown the rest. */
const fewPins = 3;

/**
 * Points to measure at: nets and test points lead, then pins that reach something. A probe rarely goes where nothing does.
 * Arguments as of `pointOffers`.
 */
export function probeOffers(analysis: BoardAnalysis, prefix: string, used: readonly string[]): Offer[] {
  const places = analysis.board.at().parts;
  return pointOffers(analysis, prefix, used).map((offer) => {
    const leads = offer.kind === 'net' || places.has(offer.label);
    return { ...offer, rank: leads ? 0 : offer.kind === 'part' ? 1 : (offer.rank ?? 0) < 2 ? 3 : 2 };
  });
}

/**
 * Points that may be meant by what has been typed: pins of the part named, else parts and nets; in a join, pins that reach nothing yet
 * lead. `used` are on the line already.
 */
export function pointOffers(analysis: BoardAnalysis, prefix: string, used: readonly string[]): Offer[] {
  const { board } = analysis;
  const copper = board.at();
  const dot = prefix.indexOf('.');
  const named = dot > 0 && !board.nets.has(prefix) ? partNamed(board, prefix.slice(0, dot)) : undefined;
  const taken = new Set(used.flatMap((text) => board.point(text)?.ref.name ?? []));
  if (named) return pinOffers(copper, named, taken);
  const parts = [...copper.parts.values()].filter((part) => part.fitted);
  return [
    ...parts.flatMap((part) => partPointOffers(copper, part, taken)),
    ...netOffers(analysis).filter((offer) => !taken.has(offer.label)),
  ];
}

function partPointOffers(copper: Copper, part: Part, taken: ReadonlySet<string>): Offer[] {
  const pins = part.knownPins();
  if (part.kind === 'test-point' || part.kind === 'antenna')
    return [{ label: part.designator, kind: 'pin', write: part.designator, detail: part.kind, rank: 1 }];
  if (pins.length > 0 && pins.length <= fewPins) return pinOffers(copper, part, taken);
  const { designator } = part;
  return [
    { label: `${designator}.`, kind: 'part', write: `${designator}.`, detail: partDetail(part), again: true, rank: 1 },
  ];
}

/** "chip, fw2210", "capacitor, 22 µF". */
export const partDetail = (part: Part): string =>
  [part.kind ?? 'part', valueText(part) ?? part.pinoutName?.name ?? part.style].filter((word) => word).join(', ');

/**
 * The pins of a part: by data-sheet name where it names one pin, and by number. Pins that reach nothing yet come first, and names before
 * numbers: what is typed behind the dot tells which is wanted.
 */
function pinOffers(copper: Copper, part: Part, taken: ReadonlySet<string>): Offer[] {
  const offers: Offer[] = [];
  for (const pin of pinsToOffer(copper, part)) {
    const name = part.point(pin);
    if (taken.has(name)) continue;
    const spec = part.spec(pin);
    const node = copper.nodeOf(part, pin);
    const joined = node !== undefined && node.points.length > 1;
    const role = spec?.role ?? part.duty(pin);
    const shown = polarityOf(part, pin) ?? pin;
    const facts = {
      kind: 'pin' as const,
      documentation: spec && paragraphs(pinTitle(name, spec), bullets(pinFacts(spec, part.pinout))),
    };
    const said = [role, spec?.channel, joined ? `on ${nodeText(copper, node, name)}` : undefined];
    const detail = (...first: (string | undefined)[]) =>
      [...first, ...said].filter((word) => word !== undefined && word !== '').join(' · ') || partDetail(part);
    const write = `${part.designator}.${shown}`;
    const named = spec && part.pinout && nameOfOne(part.pinout, spec);
    const rank = (joined ? 2 : 0) + (named ? 1 : 0);
    offers.push({ ...facts, label: write, write, detail: detail(spec?.name), rank });
    if (named) {
      const byName = `${part.designator}.${spec.name}`;
      offers.push({ ...facts, label: byName, write: byName, detail: detail(`pin ${pin}`), rank: joined ? 2 : 0 });
    }
  }
  return offers;
}

/**
 * The pins it is known to have, and those its package has beside them; where nothing is known of it, those met in joins and one more, two at
 * the least.
 */
function pinsToOffer(copper: Copper, part: Part): readonly string[] {
  const known = part.knownPins();
  const numbers = (count: number) => Array.from({ length: count }, (_, index) => String(index + 1));
  if (known.length > 0) return [...new Set([...known, ...numbers(part.pinout?.pinCount ?? 0)])];
  const { designator } = part;
  const met = [...new Set(copper.joins.flatMap((join) => join.points))].flatMap(({ ref }) =>
    ref.part === designator && /^\d+$/.test(ref.pin ?? '') ? [Number(ref.pin)] : [],
  );
  return numbers(pinsOfStyle(part.packageStyle) ?? Math.max(2, ...met.map((pin) => pin + 1)));
}

/** What a node is called from one of its points: its net, else another point of it. */
function nodeText(copper: Copper, node: CopperNode, from: string): string {
  const other = node.name === from ? node.points.find((point) => point !== from) : node.name;
  return spelling(copper, other ?? node.name);
}

/** Nets declared or met in joins. */
export function netOffers({ board }: BoardAnalysis): Offer[] {
  const offers: Offer[] = [...board.nets.values()].map((net) => ({
    label: net.name,
    kind: 'net',
    write: net.name,
    detail: ['net', net.role, net.channel].filter((word) => word).join(' · '),
    documentation: bullets(netFacts(net)),
    rank: 1,
  }));
  return [
    ...offers,
    ...undeclaredNets(board).map(
      (name): Offer => ({ label: name, kind: 'net', write: name, detail: 'net with no entry', rank: 1 }),
    ),
  ];
}

/** Names of nets that joins use and `nets` does not list. */
export function undeclaredNets(board: BoardAnalysis['board']): string[] {
  const copper = board.at();
  const names = copper.joins.flatMap((join) =>
    join.points
      .filter((point) => point.ref.part === undefined && !board.nets.has(point.ref.name))
      .map((point) => point.ref.name),
  );
  return [...new Set(names)];
}
