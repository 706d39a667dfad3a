import { boardFile } from '../dialect/board-file';
import { type Located, locate } from '../dialect/locate';
import { pinoutFile } from '../dialect/pinout-file';
import { mapForm, type Path, scalarForm } from '../dialect/step';
import type { Choice, Key, Names, Type } from '../dialect/type';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';

/** What the thing under the cursor is, for every feature that starts from one place. */
export interface Target {
  /** The key, word or value; quotes left out. */
  readonly span: Span;
  readonly text: string;
  readonly path: Path;
  /** What a name leads to. */
  readonly names?: Names;
  /** It is the place where the name is given. */
  readonly declares?: true;
  /** A key of the table. */
  readonly key?: Key;
  /** A word of a closed list. */
  readonly choice?: Choice;
  /** The value, and its key in the table where one is near. */
  readonly type?: Type;
}

/** The target at an offset; undefined on blanks, comments and what cannot be read. */
export function targetAt(analysis: BoardAnalysis | PinoutAnalysis, offset: number): Target | undefined {
  const root = analysis.kind === 'board' ? boardFile : pinoutFile;
  return targetOf(locate(root, analysis.parsed.tree.root, analysis.text, offset), analysis);
}

/** The target that a place in the tree is. */
export function targetOf(found: Located, analysis: BoardAnalysis | PinoutAnalysis): Target | undefined {
  if (found.on === 'key') return onKey(found, analysis);
  if (found.on === 'value') return onValue(found, analysis);
  return undefined;
}

function onKey(found: Located, analysis: BoardAnalysis | PinoutAnalysis): Target | undefined {
  const { path } = found;
  const step = found.steps.at(-1)!;
  const holder = mapForm(found.holder);
  const span = unquoted(step.span, analysis.text);
  const text = String(step.name);
  if (step.key) return { span, text, path, key: step.key };
  if (holder?.kind === 'record')
    return holder.otherNames && found.word
      ? { span: found.word.span, text: found.word.text, path, names: holder.otherNames }
      : undefined;
  if (holder?.kind !== 'entries') return undefined;
  const choice = holder.keyChoices?.find((candidate) => candidate.name === text);
  const named = keyName(path, holder.keyNames);
  return {
    span,
    text,
    path,
    ...(choice && { choice }),
    ...(named && { names: named }),
    ...(named && named !== 'check' && named !== 'channel' && named !== 'pin-name' && { declares: true as const }),
  };
}

/** What a key the writer chose names. Pins and modes have free keys: where they stand says what they are. */
function keyName(path: Path, names: string): Names | undefined {
  if (names !== 'free') return names as Names;
  const above = path.at(-2);
  if (above === 'pins') return 'pin';
  return above === 'modes' ? 'mode' : undefined;
}

function onValue(found: Located, analysis: BoardAnalysis | PinoutAnalysis): Target | undefined {
  const { path, word } = found;
  if (!word) return undefined;
  const type = scalarForm(found.type);
  const key = found.steps.findLast((step) => step.key)?.key;
  const span = type?.kind === 'words' ? word.span : unquoted(word.span, analysis.text);
  const base = { span, text: word.text.trim(), path, ...(key && { key }), ...(type && { type }) };
  const declared = declaredHere(path, analysis);
  if (declared) return { ...base, names: declared, declares: true };
  switch (type?.kind) {
    case 'words':
      return { ...base, names: type.names };
    case 'text':
      if (type.names) return { ...base, names: type.names };
      return namesPinout(path, word.span, analysis) ? { ...base, names: 'pinout' } : base;
    case 'choice': {
      const choice = type.choices.find((candidate) => candidate.name === word.text);
      const names = path.at(-1) === 'check' ? ('check' as const) : undefined;
      return { ...base, ...(choice && { choice }), ...(names && { names }) };
    }
    default:
      return type ? base : undefined;
  }
}

/** Names given as values rather than keys: a rework, a pinout, a pin. */
function declaredHere(path: Path, analysis: BoardAnalysis | PinoutAnalysis): Names | undefined {
  if (analysis.kind === 'board') {
    if (path.length === 3 && path[0] === 'reworks' && path[2] === 'name') return 'state';
    const pins = path.lastIndexOf('pins');
    if (path[pins - 2] !== 'parts') return undefined;
    return isPinName(path.slice(pins)) || path.length === pins + 1 ? 'pin-name' : undefined;
  }
  if (path.length === 1 && path[0] === 'pinout') return 'pinout';
  return path[0] === 'pins' && isPinName(path) ? 'pin-name' : undefined;
}

/** `pins: {3: NAME}` or `pins: {3: {name: NAME}}`, or a name in a list of them. */
const isPinName = (path: Path): boolean =>
  path.length === 2 || path[2] === 'alternates' || (path.length === 3 && path[2] === 'name');

/** A chip's short form is its pinout. */
function namesPinout(path: Path, span: Span, analysis: BoardAnalysis | PinoutAnalysis): boolean {
  if (analysis.kind !== 'board' || path.at(-2) !== 'parts') return false;
  const part = analysis.board.at().parts.get(String(path.at(-1)));
  return part?.pinoutName?.span.start === span.start && part.pinoutName.short;
}

/** A span without the quotes at its ends. */
function unquoted(span: Span, text: string): Span {
  const mark = text[span.start];
  const quoted = (mark === '"' || mark === "'") && span.end - span.start > 1 && text[span.end - 1] === mark;
  return quoted ? { start: span.start + 1, end: span.end - 1 } : span;
}
