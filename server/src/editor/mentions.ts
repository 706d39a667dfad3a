import { splitPoint } from '../board/designator';
import { boardFile } from '../dialect/board-file';
import { type Located, type Step, wordsIn } from '../dialect/locate';
import type { Node } from '../dialect/node';
import { pinoutFile } from '../dialect/pinout-file';
import { itemOf, keyAt, mapForm, scalarForm, valueAt } from '../dialect/step';
import type { Type } from '../dialect/type';
import type { Place } from '../text/finding';
import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { partNamed, pinOf, pinoutAround, pointNamed } from './names';
import { type Target, targetOf } from './target';

type Readable = BoardAnalysis | PinoutAnalysis;

const known = new WeakMap<Readable, readonly Target[]>();

/** Everything in a file that a cursor could be on, in the order it stands there. Linear in the text; worked out once. */
export function mentions(analysis: Readable): readonly Target[] {
  const before = known.get(analysis);
  if (before) return before;
  const found: Target[] = [];
  const add = (located: Located) => {
    const target = targetOf(located, analysis);
    if (target) found.push(target);
  };
  const walk = (node: Node | null, type: Type | undefined, steps: readonly Step[]): void => {
    if (!node || node.repeat) return;
    const base = { steps, path: steps.map((step) => step.name), type, node };
    if (node.kind === 'scalar') {
      if (node.misread) return;
      const one = { text: node.text, span: node.span };
      const words = scalarForm(type)?.kind === 'words' ? wordsIn(node, analysis.text) : [one];
      for (const word of words) add({ ...base, on: 'value', word });
    } else if (node.kind === 'list') {
      node.items.forEach((item, index) => {
        const of = itemOf(type);
        if (item) walk(item, of, [...steps, { name: index, span: item.span, type: of, node: item }]);
      });
    } else
      for (const { key, value } of node.pairs) {
        const entry = keyAt(type, key.text);
        const of = valueAt(type, key.text);
        const step: Step = { name: key.text, span: key.span, type: of, node: value, ...(entry && { key: entry }) };
        const inner = [...steps, step];
        const located = { steps: inner, path: inner.map((one) => one.name), type: of, node: value, on: 'key' as const };
        const holder = type && { holder: type };
        const short = !entry && mapForm(type)?.kind === 'record';
        if (!key.misread && !key.repeat)
          for (const word of short ? wordsIn(key, analysis.text) : [undefined])
            add({ ...located, ...holder, ...(word && { word }) });
        walk(value, of, inner);
      }
  };
  walk(analysis.parsed.tree.root, analysis.kind === 'board' ? boardFile : pinoutFile, []);
  known.set(analysis, found);
  return found;
}

/** One thing that names stand for, the same wherever it is named. */
export interface Entity {
  readonly kind: 'part' | 'net' | 'pin' | 'pinout' | 'mode' | 'state' | 'capture' | 'check';
  readonly id: string;
  /** The part of the mention that names it: of `U1.14` the U1, or the 14. */
  readonly span: Span;
}

/** The things a mention names: a point names its part and its pin. */
export function entitiesOf(analysis: Readable, target: Target): Entity[] {
  const { names, text, span } = target;
  const file = analysis.uri;
  if (names === undefined) return [];
  if (names === 'check') return [{ kind: 'check', id: text, span }];
  if (names === 'pin' || names === 'pin-name') {
    const pin = pinOf(analysis, target);
    return pin ? [{ kind: 'pin', id: pinId(pin.file, pinHolder(analysis, target), pin.key), span }] : [];
  }
  if (names === 'mode') {
    const pinout = pinoutAround(analysis, target.path);
    return pinout ? [{ kind: 'mode', id: `${pinout.file} ${text}`, span }] : [];
  }
  if (names === 'pinout') {
    const named = analysis.kind === 'pinout' ? analysis.pinout : analysis.board.pinouts.get(text.toLowerCase());
    return named ? [{ kind: 'pinout', id: named.file, span }] : [];
  }
  if (analysis.kind !== 'board') return [];
  switch (names) {
    case 'part':
      return [{ kind: 'part', id: `${file} ${text}`, span }];
    case 'state':
      return analysis.board.states.includes(text) ? [{ kind: 'state', id: `${file} ${text}`, span }] : [];
    case 'capture':
      return [{ kind: 'capture', id: `${file} ${text}`, span }];
    case 'net':
    case 'point':
      return ofPoint(analysis, target);
    default:
      return [];
  }
}

function ofPoint(analysis: BoardAnalysis, { text, span }: Target): Entity[] {
  if (text === 'none') return [];
  const { board, uri } = analysis;
  const point = pointNamed(board, text);
  if (!point) {
    const split = splitPoint(text);
    const part = split && partNamed(board, split.part);
    return part ? [{ kind: 'part', id: `${uri} ${part.designator}`, span: cut(span, 0, split.part.length) }] : [];
  }
  const { part: designator, pin, name } = point.ref;
  if (designator === undefined) return [{ kind: 'net', id: `${uri} ${name}`, span }];
  const part: Entity = { kind: 'part', id: `${uri} ${designator}`, span: cut(span, 0, designator.length) };
  if (pin === undefined || text.length <= designator.length) return [part];
  const spec = partNamed(board, designator)?.spec(pin);
  const id = pinId(spec?.file ?? uri, designator, pin);
  return [
    part,
    {
      kind: 'pin',
      id: spec && spec.file !== uri ? pinId(spec.file, '', pin) : id,
      span: cut(span, designator.length + 1),
    },
  ];
}

/** Pins of a pinout file are one thing for all boards; those of a part without one belong to the part. */
const pinId = (file: string, part: string, pin: string): string => `${file} ${part}.${pin}`;

function pinHolder(analysis: Readable, { path }: Target): string {
  const at = path.lastIndexOf('parts');
  return analysis.kind === 'board' && at >= 0 ? String(path[at + 1]) : '';
}

const cut = (span: Span, from: number, to?: number): Span => ({
  start: span.start + from,
  end: to === undefined ? span.end : span.start + to,
});

/** A place where a thing is named. */
export interface Occurrence extends Place {
  readonly declares: boolean;
  readonly text: string;
  readonly target: Target;
}

/** The thing at an offset: of a point the part before the dot, the pin behind it. */
export function entityAt(analysis: Readable, target: Target, offset: number): Entity | undefined {
  const all = entitiesOf(analysis, target);
  return all.findLast(({ span }) => span.start <= offset && offset <= span.end) ?? all.at(-1);
}

/** Every place in some files that names a thing. */
export function occurrences(analyses: readonly Readable[], { kind, id }: Entity): Occurrence[] {
  return analyses.flatMap((analysis) =>
    mentions(analysis).flatMap((target) =>
      entitiesOf(analysis, target)
        .filter((entity) => entity.kind === kind && entity.id === id)
        .map(({ span }) => ({
          file: analysis.uri,
          span,
          declares: target.declares === true,
          text: analysis.text.slice(span.start, span.end),
          target,
        })),
    ),
  );
}
