import { type CallHierarchyItem, SymbolKind } from 'vscode-languageserver';
import type { BoardAnalysis } from '../../editor/analysis';
import { backward, onward, type PathItem, type PathStep, pathItemAt } from '../../editor/signal-path';
import { toRange } from '../convert';
import type { Desk } from '../desk';

/** The way of a signal, told as calls: who feeds a place, and what it feeds. */
export function registerSignalPath({ connection, asked, readable }: Desk): void {
  const { callHierarchy } = connection.languages;

  callHierarchy.onPrepare(async (params) => {
    const at = await asked(params);
    if (at?.analysis.kind !== 'board') return null;
    const item = pathItemAt(at.analysis, at.offset);
    return item ? [toItem(at.analysis, item)] : null;
  });

  /** The steps from an item the client has kept; its point is looked up in the text as it stands now. */
  const follow = async (
    { uri, data, name }: CallHierarchyItem,
    steps: (analysis: BoardAnalysis, item: PathItem) => PathStep[],
  ) => {
    const analysis = await readable(uri);
    if (analysis?.kind !== 'board' || typeof data !== 'string') return undefined;
    const found = steps(analysis, { name, detail: '', span: { start: 0, end: 0 }, point: data });
    return found.map(({ item, spans }) => ({
      item: toItem(analysis, item),
      fromRanges: spans.map((span) => toRange(analysis.lines, span)),
    }));
  };

  callHierarchy.onIncomingCalls(
    async ({ item }) =>
      (await follow(item, backward))?.map(({ item: from, fromRanges }) => ({ from, fromRanges })) ?? null,
  );
  callHierarchy.onOutgoingCalls(
    async ({ item }) => (await follow(item, onward))?.map(({ item: to, fromRanges }) => ({ to, fromRanges })) ?? null,
  );
}

function toItem({ uri, lines }: BoardAnalysis, { name, detail, span, point }: PathItem): CallHierarchyItem {
  const range = toRange(lines, span);
  return { name, detail, kind: SymbolKind.Interface, uri, range, selectionRange: range, data: point };
}
