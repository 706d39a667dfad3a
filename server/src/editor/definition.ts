import type { Board } from '../board/board';
import { splitPoint } from '../board/designator';
import type { Pinout } from '../board/pinout';
import type { Place } from '../text/finding';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { partAround, partNamed, pinOf, pinoutAround, pinoutNamed, pointOf } from './names';
import { type Target, targetAt } from './target';

/** Where a name is given. */
export interface Definition extends Place {
  /** The name that was pointed at. */
  readonly origin: Span;
}

/**
 * Where the name at an offset is given; empty where it is given nowhere. `others` are analyses of files it may lead into, as far as they
 * are at hand: without them an output mode leads to the head of its pinout.
 */
export function definition(
  analysis: BoardAnalysis | PinoutAnalysis,
  offset: number,
  others: readonly (BoardAnalysis | PinoutAnalysis)[] = [],
): Definition[] {
  const target = targetAt(analysis, offset);
  if (!target?.names) return [];
  const place = given(analysis, target, offset, others);
  return place ? [{ ...place, origin: target.span }] : [];
}

type Others = readonly (BoardAnalysis | PinoutAnalysis)[];

function given(
  analysis: BoardAnalysis | PinoutAnalysis,
  target: Target,
  offset: number,
  others: Others,
): Place | undefined {
  const { names, text } = target;
  if (names === 'pin' || names === 'pin-name') {
    const pin = pinOf(analysis, target);
    return pin && { file: pin.file, span: pin.span };
  }
  if (names === 'mode') return modePlace(text, pinoutAround(analysis, target.path), [analysis, ...others]);
  if (analysis.kind !== 'board') return names === 'pinout' ? { file: analysis.uri, span: target.span } : undefined;
  const { board } = analysis;
  const here = (span: Span | undefined): Place | undefined => span && { file: analysis.uri, span };
  switch (names) {
    case 'point':
    case 'net':
      return pointPlace(board, analysis.uri, target, offset);
    case 'part':
      return here(partSpan(board, text));
    case 'pinout': {
      const pinout = pinoutNamed(board, text) ?? partAround(board, target.path)?.pinout;
      return pinout && { file: pinout.file, span: pinout.span };
    }
    case 'state': {
      const rework = analysis.parsed.value.value?.reworks?.value?.[board.states.indexOf(text) - 1];
      return here(rework?.value?.name?.span ?? rework?.span);
    }
    case 'capture':
      return here(board.captures.find((capture) => capture.name === text)?.keySpan);
    default:
      return undefined;
  }
}

/** The part of a point before its dot leads to the part, what follows to the pin in its pinout. */
function pointPlace(board: Board, file: string, target: Target, offset: number): Place | undefined {
  const point = pointOf(board, target);
  if (!point) {
    // A pin that cannot be found still stands on a part.
    const split = splitPoint(target.text);
    const span = split && partSpan(board, split.part);
    return span && { file, span };
  }
  const { part: designator, pin, name } = point.ref;
  if (designator === undefined) {
    const span = board.nets.get(name)?.keySpan ?? firstMention(board, name);
    return span && { file, span };
  }
  const dot = target.text.indexOf('.');
  const spec = pin === undefined ? undefined : partNamed(board, designator)?.spec(pin);
  if (spec && dot > 0 && offset > target.span.start + dot) return { file: spec.file, span: spec.span };
  const span = partSpan(board, designator);
  return span && { file, span };
}

/** A part's key; of one met only in joins, where it is met first. */
const partSpan = (board: Board, designator: string): Span | undefined =>
  partNamed(board, designator)?.declared?.keySpan ?? firstMention(board, designator, true);

function firstMention(board: Board, name: string, part = false): Span | undefined {
  for (const state of board.states)
    for (const join of board.at(state).joins)
      for (const point of join.points) if ((part ? point.ref.part : point.ref.name) === name) return point.span;
  return undefined;
}

function modePlace(name: string, pinout: Pinout | undefined, analyses: Others): Place | undefined {
  if (!pinout) return undefined;
  for (const analysis of analyses) {
    if (analysis.kind !== 'pinout' || analysis.uri !== pinout.file) continue;
    const mode = analysis.parsed.value.value?.modes?.value?.find((entry) => entry.key.text === name);
    if (mode) return { file: analysis.uri, span: mode.key.span };
  }
  return { file: pinout.file, span: pinout.span };
}
