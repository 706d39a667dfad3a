import { splitPoint } from '../board/designator';
import type { Capture } from '../board/measured';
import { formatQuantity } from '../quantity/format';
import { parseQuantity } from '../quantity/quantity';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { describeCapture } from './describe/capture';
import { boardCautions } from './describe/cautions';
import { describeIdentity } from './describe/identity';
import { describeCause, describeCheck, describeKey, describeWord } from './describe/key';
import { describePart, describePinout } from './describe/part';
import { pinFacts, pinTitle } from './describe/pin';
import { noTraces, type Traces } from './describe/plot';
import { describePoint, recordedAt } from './describe/point';
import { bullets, code, paragraphs, prose } from './markdown';
import { partAround, partNamed, pinOf, pinoutAround, pinoutNamed, pointOf } from './names';
import { type Target, targetAt } from './target';

/** What the editor shows beside a word. Markdown without HTML, links or images out of the board's text. */
export interface Hover {
  readonly span: Span;
  readonly markdown: string;
}

/**
 * What stands at an offset, told to whoever points at it; undefined where there is nothing to tell.
 * @param traces what is drawn of the capture that `captureAt` names for the same place
 */
export function hover(
  analysis: BoardAnalysis | PinoutAnalysis,
  offset: number,
  traces: Traces = noTraces,
): Hover | undefined {
  const target = targetAt(analysis, offset);
  const markdown = target && tell(analysis, target, traces);
  return markdown ? { span: target.span, markdown } : undefined;
}

/** The capture whose picture belongs beside what stands at an offset: itself, or one taken at the point. */
export function captureAt(analysis: BoardAnalysis, offset: number): Capture | undefined {
  const target = targetAt(analysis, offset);
  switch (target?.names) {
    case 'capture':
    case 'capture-file':
    case 'channel':
      return captureOf(analysis, target);
    case 'point':
    case 'net': {
      const point = pointOf(analysis.board, target);
      return point && recordedAt(analysis, point.ref);
    }
    default:
      return undefined;
  }
}

function captureOf({ board }: BoardAnalysis, { names, text, path }: Target): Capture | undefined {
  const name = names === 'capture' ? text : String(path[1]);
  return board.captures.find((one) => one.name === name);
}

function tell(analysis: BoardAnalysis | PinoutAnalysis, target: Target, traces: Traces): string | undefined {
  if (target.key && target.type === undefined && target.names === undefined) {
    const check = target.path.at(-2) === 'limits' ? describeCheck(target.text) : undefined;
    return check ?? paragraphs(describeKey(target.text, target.key), careAt(analysis, target));
  }
  return paragraphs(
    (target.names && named(analysis, target, traces)) ?? plain(analysis, target),
    careAt(analysis, target),
  );
}

/** At the title and at the list of cautions: all that the board calls for, the inferred ones too. */
function careAt(analysis: BoardAnalysis | PinoutAnalysis, { path }: Target): string | undefined {
  const here = path.length === 1 && (path[0] === 'board' || path[0] === 'cautions');
  return analysis.kind === 'board' && here ? boardCautions(analysis.board) : undefined;
}

function named(analysis: BoardAnalysis | PinoutAnalysis, target: Target, traces: Traces): string | undefined {
  const { names, text } = target;
  if (names === 'check') return describeCheck(text);
  if (names === 'cause') return describeCause(text);
  if (names === 'pin' || names === 'pin-name') {
    const pin = pinOf(analysis, target);
    return pin && paragraphs(pinTitle(pin.key, pin), bullets(pinFacts(pin, pinoutAround(analysis, target.path))));
  }
  if (analysis.kind === 'pinout') {
    if (names === 'pinout') return analysis.pinout && describePinout(analysis.pinout);
    return names === 'mode' ? modeText(text, analysis.pinout) : undefined;
  }
  const { board } = analysis;
  switch (names) {
    case 'point':
    case 'net': {
      const point = pointOf(board, target);
      if (point) return describePoint(analysis, point.ref, traces);
      // A pin that cannot be found, or is not typed yet: its part is known all the same.
      const part = partNamed(board, splitPoint(text)?.part ?? text);
      return part && describePart(analysis, part);
    }
    case 'part': {
      const part = partNamed(board, text);
      return part && describePart(analysis, part);
    }
    case 'pinout': {
      const pinout = pinoutNamed(board, text);
      if (!pinout) return `No pinout called ${code(text)} is in reach.`;
      const part = partAround(board, target.path);
      return paragraphs(describePinout(pinout), part && describeIdentity(analysis.snapshot, part));
    }
    case 'mode':
      return modeText(text, partAround(board, target.path)?.pinout);
    case 'state':
      return stateText(analysis, text);
    case 'capture':
    case 'capture-file':
    case 'channel': {
      const capture = captureOf(analysis, target);
      return capture && describeCapture(analysis, capture, traces);
    }
    default:
      return undefined;
  }
}

function modeText(name: string, pinout: Parameters<typeof describePinout>[0] | undefined): string | undefined {
  const mode = pinout?.modes.get(name);
  if (!pinout || !mode) return undefined;
  const lines = [...mode].map(([key, weights]) => {
    const pin = pinout.pins.get(key);
    return `${code(pin?.name ?? key)}: left × ${weights.left}, right × ${weights.right}`.replaceAll('-', '−');
  });
  return paragraphs(`**${prose(name)}** · output mode of ${prose(pinout.name)}`, bullets(lines));
}

function stateText({ board, parsed }: BoardAnalysis, name: string): string | undefined {
  const index = board.states.indexOf(name);
  if (index < 0) return undefined;
  if (index === 0) return `**${prose(name)}** · the board before any rework`;
  const rework = parsed.value.value?.reworks?.value?.[index - 1]?.value;
  return paragraphs(
    `**${prose(name)}** · rework ${index} of ${board.states.length - 1}`,
    rework?.did?.value && prose(rework.did.value),
    rework?.date?.value && prose(rework.date.value),
  );
}

/** A value that names nothing: the word's own meaning, or the quantity in full, and the key it stands at. */
function plain(analysis: BoardAnalysis | PinoutAnalysis, target: Target): string | undefined {
  const { choice, key, type, text, path } = target;
  if (choice) return describeWord(choice.name, choice.doc);
  if (analysis.kind === 'board' && path.at(-2) === 'parts') {
    const part = partNamed(analysis.board, String(path.at(-1)));
    return part && describePart(analysis, part);
  }
  if (type?.kind === 'quantity' || type?.kind === 'range') {
    const read = parseQuantity(
      text,
      type.dimensions,
      type.kind === 'quantity' && type.amplitude ? { amplitude: type.amplitude } : {},
    );
    const value =
      read.quantity &&
      formatQuantity(
        read.quantity.value,
        read.quantity.dimension === 'level' ? read.quantity.unit : read.quantity.dimension,
        6,
      );
    return paragraphs(value && `**${value}**`, key?.doc);
  }
  return key?.doc;
}
