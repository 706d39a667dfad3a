import { type CodeAction, CodeActionKind } from 'vscode-languageserver';
import { type Action, fixAll, quickFixes } from '../../editor/actions';
import { diagnostics } from '../../editor/diagnostics';
import { format } from '../../editor/format';
import { refactorings } from '../../editor/refactorings';
import { resolveUri } from '../../workspace/files';
import { toRange, toWorkspaceEdit } from '../convert';
import type { Desk } from '../desk';

const kinds: Record<Action['kind'], CodeActionKind> = {
  quickfix: CodeActionKind.QuickFix,
  move: CodeActionKind.RefactorMove,
  rewrite: CodeActionKind.RefactorRewrite,
  extract: CodeActionKind.RefactorExtract,
  'fix-all': CodeActionKind.SourceFixAll,
};
export const actionKinds = Object.values(kinds);

/** What mends a finding, the safe ones all at once, what may be written another way, and the formatter. */
export function registerMending(desk: Desk): void {
  desk.connection.onCodeAction(async ({ textDocument, range, context }): Promise<CodeAction[]> => {
    const analysis = await desk.analysis(textDocument.uri);
    if (!analysis) return [];
    const selection = analysis.lines.span(range);
    const all = fixAll(analysis);
    const wanted = (kind: CodeActionKind) =>
      !context.only || context.only.some((only) => kind === only || kind.startsWith(`${only}.`));
    const actions = [
      ...quickFixes(analysis, selection),
      ...(analysis.kind === 'failed' ? [] : refactorings(analysis, selection)),
      ...(all ? [all] : []),
    ].filter((action) => wanted(kinds[action.kind]) && (!action.create || desk.client.createsFiles));
    const shown = diagnostics(analysis);
    return Promise.all(
      actions.map(async (action): Promise<CodeAction> => {
        const own = shown.find((one) => one.code === action.finding?.check && one.message === action.finding.message);
        const at = own && toRange(analysis.lines, own.span);
        const mends = context.diagnostics.filter(
          (one) =>
            at &&
            one.code === own.code &&
            one.range.start.line === at.start.line &&
            one.range.start.character === at.start.character,
        );
        return {
          title: action.title,
          kind: kinds[action.kind],
          ...(mends.length > 0 && { diagnostics: mends }),
          ...(action.kind === 'quickfix' && action.safe && { isPreferred: true }),
          edit: await toWorkspaceEdit(
            action.edits,
            desk.linesOf,
            action.create && { uri: resolveUri(textDocument.uri, action.create.name), text: action.create.text },
          ),
        };
      }),
    );
  });

  desk.connection.onDocumentFormatting(async ({ textDocument }) => {
    const analysis = await desk.readable(textDocument.uri);
    return analysis
      ? format(analysis).map(({ span, text }) => ({ range: toRange(analysis.lines, span), newText: text }))
      : null;
  });
}
