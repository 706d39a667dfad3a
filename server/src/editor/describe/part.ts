import type { Copper } from '../../board/copper';
import type { Part } from '../../board/part';
import type { Pinout } from '../../board/pinout';
import { partFigures } from '../../circuit/from-board/part-figures';
import { formatQuantity } from '../../quantity/format';
import type { BoardAnalysis } from '../analysis';
import { bullets, code, paragraphs, prose, shorten } from '../markdown';
import { cautionsAt } from './cautions';
import { describeIdentity } from './identity';
import { figureLines, ohms } from './quantities';

/** A part: what it is, its value, its pinout, and how far its pins have been followed. */
export function describePart(analysis: BoardAnalysis, part: Part): string {
  const copper = analysis.board.at();
  const figures = part.fitted ? figureLines(partFigures(copper, part), true) : [];
  return paragraphs(
    `**${prose(part.designator)}** · ${part.kind ?? 'kind unknown'}${part.declared ? '' : ' · met only in joins'}`,
    bullets(partFacts(part)),
    cautionsAt(analysis.board, part.designator, part),
    part.pinout && !part.pinout.inline && describePinout(part.pinout),
    describeIdentity(analysis.snapshot, part),
    figures.length > 0 && `**By the network**\n\n${bullets(figures.slice(0, 8))}`,
    followed(copper, part),
  );
}

/** The value of a part as the trade writes it; undefined where it has none that can be read. */
export const valueText = (part: Part): string | undefined =>
  part.value && formatQuantity(part.value.value, part.value.dimension);

function partFacts(part: Part): string[] {
  const facts: (string | undefined)[] = [
    part.fitted ? undefined : 'not fitted: its pads are open',
    valueText(part) && `value ${valueText(part)}`,
    part.tolerance === undefined ? undefined : `tolerance ${formatQuantity(part.tolerance * 100, 'percent')}`,
    part.ratings.length > 0
      ? `rated ${part.ratings.map((rating) => formatQuantity(rating.value, rating.dimension)).join(', ')}`
      : undefined,
    part.polarised ? 'polarised: + is pin 1' : undefined,
    part.esr === undefined ? undefined : `series resistance ${ohms(part.esr)}`,
    part.dcr === undefined ? undefined : `DC resistance ${ohms(part.dcr)}`,
    part.style && `style ${code(part.style)}${part.wiring ? `, wired ${part.wiring}` : ''}`,
    part.contacts.length > 0 ? `contacts ${part.contacts.map(code).join(', ')}` : undefined,
    part.load === undefined
      ? undefined
      : `load ${formatQuantity(part.load, part.kind === 'crystal' ? 'capacitance' : 'resistance')}`,
    part.chemistry && `chemistry ${prose(part.chemistry)}`,
    part.marking && `marking ${code(part.marking)}`,
    part.mode && `mode ${code(part.mode.name)}`,
    part.candidates.length > 0 ? `may be ${part.candidates.map((one) => code(one.name)).join(', ')}` : undefined,
    part.pinoutName && !part.pinout && !part.pinoutName.short
      ? `pinout ${code(part.pinoutName.name)}, which is not in reach`
      : undefined,
    part.pinout ? undefined : part.description && part.kind !== 'connector' ? prose(part.description) : undefined,
    part.note && prose(part.note),
  ];
  return facts.filter((fact) => fact !== undefined && fact !== '') as string[];
}

/** A pinout in a line or two. */
export function describePinout(pinout: Pinout): string {
  const stated = [...pinout.pins.values()]
    .filter((pin) => pin.role === 'audio-out')
    .map((pin) => code(pin.name ?? pin.key));
  return paragraphs(
    `**${prose(pinout.name)}**${pinout.describes ? ` · ${prose(pinout.describes)}` : ''}`,
    bullets(
      [
        pinout.packageStyle && `package ${code(pinout.packageStyle)}`,
        `${pinout.pins.size}${pinout.pinCount === undefined ? '' : ` of ${pinout.pinCount}`} pins described`,
        stated.length > 0 ? `audio leaves at ${stated.join(', ')}` : undefined,
        pinout.modes.size > 0 ? `modes ${[...pinout.modes.keys()].map(code).join(', ')}` : undefined,
        pinout.markings.length > 0 ? `marked ${pinout.markings.map(code).join(', ')}` : undefined,
      ].filter((fact) => fact !== undefined && fact !== '') as string[],
    ),
  );
}

/** Which of its pins reach anything. */
export function followed(copper: Copper, part: Part): string | undefined {
  const pins = part.knownPins();
  if (pins.length === 0) return undefined;
  const open = pins.filter((pin) => {
    const node = copper.nodeOf(part, pin);
    return !node || (node.points.length < 2 && !node.complete);
  });
  if (open.length === 0) return 'Every pin has been followed.';
  const names = open.map((pin) => {
    const name = part.spec(pin)?.name;
    return name === undefined || name === pin ? code(pin) : `${code(pin)} (${prose(name)})`;
  });
  return `Not found yet: ${shorten(names, 16)}.`;
}
