import type { Board } from '../board/board';
import type { Copper, PinOnNode, WrittenPoint } from '../board/copper';
import { perCopper } from '../board/memo';
import { type Part, polarityOf } from '../board/part';
import { findPin, type Pinout, type PinSpec } from '../board/pinout';
import type { Path } from '../dialect/step';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import type { Target } from './target';

/** Where names lead: the lookups that hover, navigation and completion share. */

/** A part as it is in the last state that has it. */
export function partNamed(board: Board, designator: string): Part | undefined {
  for (const state of [...board.states].reverse()) {
    const part = board.at(state).parts.get(designator);
    if (part) return part;
  }
  return undefined;
}

/** The part whose entry a path leads into. */
export function partAround(board: Board, path: Path): Part | undefined {
  const at = path.lastIndexOf('parts');
  const name = at < 0 ? undefined : path[at + 1];
  return name === undefined ? undefined : partNamed(board, String(name));
}

const points = new WeakMap<Board, Map<string, WrittenPoint | undefined>>();

/** The point a text names on a board, looked up once: its span is of no use. */
export function pointNamed(board: Board, text: string): WrittenPoint | undefined {
  let known = points.get(board);
  if (!known) {
    known = new Map();
    points.set(board, known);
  }
  if (!known.has(text)) known.set(text, board.point(text));
  return known.get(text);
}

/** The point a target names; for a part with one pin, its designator. */
export const pointOf = (board: Board, target: Target): WrittenPoint | undefined =>
  target.names === 'point' || target.names === 'net' ? pointNamed(board, target.text) : undefined;

/** The pinout a target stands in: of the file, or inline in a part. */
export function pinoutAround(analysis: BoardAnalysis | PinoutAnalysis, path: Path): Pinout | undefined {
  return analysis.kind === 'pinout' ? analysis.pinout : partAround(analysis.board, path)?.pinout;
}

/** The pin a target names or declares, in the pinout it stands in. */
export function pinOf(analysis: BoardAnalysis | PinoutAnalysis, target: Target): PinSpec | undefined {
  const pinout = pinoutAround(analysis, target.path);
  if (!pinout) return undefined;
  const pins = target.path.lastIndexOf('pins');
  const key = target.declares && pins >= 0 ? target.path[pins + 1] : undefined;
  if (typeof key === 'string') return pinout.pins.get(key.toUpperCase());
  const found = findPin(pinout, target.text);
  return 'key' in found ? pinout.pins.get(found.key) : undefined;
}

/** Whether a pin may go by its name on a line of points: it names this one pin, and is one plain word. */
export function nameOfOne(pinout: Pinout, { key, name }: PinSpec): boolean {
  if (name === undefined || name === key || /[\s,[\]{}:#"']/.test(name)) return false;
  const found = findPin(pinout, name);
  return 'key' in found && found.key === key;
}

/** The pinout a name leads to. */
export const pinoutNamed = (board: Board, name: string): Pinout | undefined =>
  board.pinouts.get(name.trim().toLowerCase());

const spellings = perCopper((copper): ReadonlyMap<string, string> => {
  const map = new Map<string, string>();
  for (const join of copper.joins)
    for (const point of join.points) if (!map.has(point.ref.name)) map.set(point.ref.name, point.text);
  return map;
});

/** A point as the board's joins first spell it: `C7.+` rather than `C7.1`. */
export const spelling = (copper: Copper, name: string): string => spellings(copper).get(name) ?? name;

/** A pin as the board spells it; one the joins do not name goes by its polarity or its data-sheet name, else by its number. */
export function pinSpelling(copper: Copper, { name, part, pin, spec }: PinOnNode): string {
  const written = spellings(copper).get(name);
  if (written !== undefined) return written;
  const polarity = polarityOf(part, pin);
  if (polarity !== undefined) return `${part.designator}.${polarity}`;
  return spec && part.pinout && nameOfOne(part.pinout, spec) ? `${part.designator}.${spec.name}` : name;
}
