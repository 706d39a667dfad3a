import { DocumentHighlightKind, ErrorCodes, type Location, ResponseError, SymbolKind } from 'vscode-languageserver';
import { definition } from '../../editor/definition';
import { highlights, references } from '../../editor/references';
import { prepareRename, rename } from '../../editor/rename';
import { type DocumentSymbol, documentSymbols, type SymbolKind as Kind, workspaceSymbols } from '../../editor/symbols';
import type { Lines } from '../../text/lines';
import { toLocation, toRange, toWorkspaceEdit } from '../convert';
import type { Desk } from '../desk';

const kinds: Record<Kind, SymbolKind> = {
  title: SymbolKind.Module,
  group: SymbolKind.Namespace,
  part: SymbolKind.Class,
  net: SymbolKind.Variable,
  join: SymbolKind.Array,
  reading: SymbolKind.Number,
  capture: SymbolKind.File,
  rework: SymbolKind.Event,
  expectation: SymbolKind.Boolean,
  pin: SymbolKind.Field,
  mode: SymbolKind.EnumMember,
  section: SymbolKind.Function,
};

/** Going from a name to what it names, finding where it stands, and giving it another. */
export function registerMoving(desk: Desk): void {
  const { connection, linesOf } = desk;

  connection.onDefinition(async (params) => {
    const at = await desk.asked(params);
    if (!at) return null;
    return Promise.all(
      definition(at.analysis, at.offset, await desk.everything()).map((place) =>
        toLocation(linesOf, place.file, place.span),
      ),
    );
  });

  connection.onReferences(async (params): Promise<Location[] | null> => {
    const at = await desk.asked(params);
    if (!at) return null;
    const found = references(at.analysis, at.offset, await desk.everything(), params.context.includeDeclaration);
    return Promise.all(found.map((place) => toLocation(linesOf, place.file, place.span)));
  });

  connection.onDocumentHighlight(async (params) => {
    const at = await desk.asked(params);
    return at
      ? highlights(at.analysis, at.offset).map((found) => ({
          range: toRange(at.analysis.lines, found.span),
          kind: found.kind === 'write' ? DocumentHighlightKind.Write : DocumentHighlightKind.Read,
        }))
      : null;
  });

  connection.onPrepareRename(async (params) => {
    const at = await desk.asked(params);
    if (!at) return null;
    const start = prepareRename(at.analysis, at.offset);
    if ('problem' in start) throw new ResponseError(ErrorCodes.InvalidRequest, start.problem);
    return { range: toRange(at.analysis.lines, start.span), placeholder: start.name };
  });

  connection.onRenameRequest(async (params) => {
    const at = await desk.asked(params);
    if (!at) return null;
    const outcome = rename(at.analysis, at.offset, params.newName, await desk.everything());
    if ('problem' in outcome) throw new ResponseError(ErrorCodes.InvalidRequest, outcome.problem);
    return toWorkspaceEdit(outcome.edits, linesOf);
  });

  connection.onDocumentSymbol(async ({ textDocument }) => {
    const analysis = await desk.readable(textDocument.uri);
    return analysis ? documentSymbols(analysis).map((symbol) => nested(symbol, analysis.lines)) : null;
  });

  connection.onWorkspaceSymbol(async ({ query }) => {
    const found = workspaceSymbols(await desk.everything(), query);
    return Promise.all(
      found.map(async (symbol) => ({
        name: symbol.name,
        kind: kinds[symbol.kind],
        containerName: symbol.container,
        location: await toLocation(linesOf, symbol.file, symbol.span),
      })),
    );
  });
}

interface Nested {
  name: string;
  detail: string;
  kind: SymbolKind;
  range: ReturnType<typeof toRange>;
  selectionRange: ReturnType<typeof toRange>;
  children: Nested[];
}

const nested = (symbol: DocumentSymbol, lines: Lines): Nested => ({
  name: symbol.name === '' ? '?' : symbol.name,
  detail: symbol.detail,
  kind: kinds[symbol.kind],
  range: toRange(lines, symbol.span),
  selectionRange: toRange(lines, symbol.selection),
  children: symbol.children.map((child) => nested(child, lines)),
});
