import type { Span } from '../text/span';
import type { BoardAnalysis, PinoutAnalysis } from './analysis';
import { partDetail } from './complete/points';

export type SymbolKind =
  | 'title'
  | 'group'
  | 'part'
  | 'net'
  | 'join'
  | 'reading'
  | 'capture'
  | 'rework'
  | 'expectation'
  | 'pin'
  | 'mode'
  | 'section';

/** One thing a file tells of, for the outline. */
export interface DocumentSymbol {
  readonly name: string;
  readonly detail: string;
  readonly kind: SymbolKind;
  /** All of it; `selection` is its name. */
  readonly span: Span;
  readonly selection: Span;
  readonly children: readonly DocumentSymbol[];
}

/** The outline of a file: its top keys in the order they stand, and what each holds. */
export function documentSymbols(analysis: BoardAnalysis | PinoutAnalysis): DocumentSymbol[] {
  const { root } = analysis.parsed.tree;
  if (root?.kind !== 'map') return [];
  return root.pairs.flatMap((pair): DocumentSymbol[] => {
    const name = pair.key.text;
    const children = analysis.kind === 'board' ? boardChildren(analysis, name) : pinoutChildren(analysis, name);
    const title = name === 'board' || name === 'pinout';
    if (!title && children.length === 0) return [];
    const text = pair.value?.kind === 'scalar' ? pair.value.text : '';
    return [
      {
        name: title && text !== '' ? text : name,
        detail: title ? name : '',
        kind: title ? 'title' : 'group',
        span: pair.span,
        selection: pair.key.span,
        children: children.filter(({ span }) => pair.span.start <= span.start && span.end <= pair.span.end),
      },
    ];
  });
}

const leaf = (kind: SymbolKind, name: string, detail: string, span: Span, selection: Span = span): DocumentSymbol => ({
  kind,
  name: name === '' ? '?' : name,
  detail,
  span,
  selection,
  children: [],
});

function boardChildren({ board, parsed, text }: BoardAnalysis, key: string): DocumentSymbol[] {
  const file = parsed.value.value;
  const line = (span: Span) => text.slice(span.start, span.end).replace(/\s+/g, ' ').slice(0, 80);
  switch (key) {
    case 'parts':
      return (file?.parts?.value ?? []).map((entry) => {
        const part = board.at().parts.get(entry.key.text);
        return leaf('part', entry.key.text, part ? partDetail(part) : '', entry.span, entry.key.span);
      });
    case 'nets':
      return (file?.nets?.value ?? []).map((entry) => {
        const net = board.nets.get(entry.key.text);
        const detail = [net?.role, net?.channel].filter((word) => word).join(', ');
        return leaf('net', entry.key.text, detail, entry.span, entry.key.span);
      });
    case 'traces':
      return (['buzzed', 'seen', 'assumed', 'apart'] as const).flatMap((evidence) =>
        (file?.traces?.value?.[evidence]?.value ?? []).map((join) =>
          leaf('join', line(join.span), evidence, join.span),
        ),
      );
    case 'readings':
      return (file?.readings?.value ?? []).map((reading) => leaf('reading', line(reading.span), '', reading.span));
    case 'captures':
      return (file?.captures?.value ?? []).map((entry) =>
        leaf('capture', entry.key.text, entry.value.value?.file?.value ?? '', entry.span, entry.key.span),
      );
    case 'reworks':
      return (file?.reworks?.value ?? []).map((rework) =>
        leaf(
          'rework',
          rework.value?.name?.value ?? '',
          rework.value?.did?.value ?? '',
          rework.span,
          rework.value?.name?.span,
        ),
      );
    case 'expect':
      return (file?.expect?.value ?? []).map((one) => leaf('expectation', line(one.span), '', one.span));
    default:
      return [];
  }
}

function pinoutChildren({ pinout, parsed }: PinoutAnalysis, key: string): DocumentSymbol[] {
  const file = parsed.value.value;
  switch (key) {
    case 'pins':
      return (file?.pins?.value ?? []).map((entry) => {
        const pin = pinout?.pins.get(entry.key.text.trim().toUpperCase());
        const name = pin?.name === undefined ? entry.key.text : `${entry.key.text} ${pin.name}`;
        return leaf('pin', name, pin?.role ?? '', entry.span, entry.key.span);
      });
    case 'modes':
      return (file?.modes?.value ?? []).map((mode) => leaf('mode', mode.key.text, '', mode.span, mode.key.span));
    case 'sections':
      return (file?.sections?.value ?? []).map((one) =>
        leaf('section', one.key.text, one.value.value?.kind?.value ?? '', one.span, one.key.span),
      );
    default:
      return [];
  }
}

/** A symbol found across files. */
export interface WorkspaceSymbol {
  readonly name: string;
  readonly kind: SymbolKind;
  /** The title of the file it stands in. */
  readonly container: string;
  readonly file: string;
  readonly span: Span;
}

/** Parts, nets, captures, pins, modes and titles of some files whose name holds the letters of the query in their order, case ignored. */
export function workspaceSymbols(
  analyses: readonly (BoardAnalysis | PinoutAnalysis)[],
  query: string,
  most = 200,
): WorkspaceSymbol[] {
  const wanted = new Set<SymbolKind>(['title', 'part', 'net', 'capture', 'rework', 'pin', 'mode']);
  const found: WorkspaceSymbol[] = [];
  for (const analysis of analyses) {
    const top = documentSymbols(analysis);
    const container = top.find((symbol) => symbol.kind === 'title')?.name ?? '';
    for (const symbol of [...top, ...top.flatMap(({ children }) => children)]) {
      if (found.length >= most) return found;
      if (wanted.has(symbol.kind) && holds(symbol.name, query))
        found.push({ name: symbol.name, kind: symbol.kind, container, file: analysis.uri, span: symbol.selection });
    }
  }
  return found;
}

function holds(name: string, query: string): boolean {
  const text = name.toLowerCase();
  let at = 0;
  for (const letter of query.toLowerCase().replace(/\s+/g, '')) {
    at = text.indexOf(letter, at) + 1;
    if (at === 0) return false;
  }
  return true;
}
