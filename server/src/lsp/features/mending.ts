import { type CodeAction, CodeActionKind } from 'vscode-languageserver';
import { type Action, fixAll, quickFixes } from '../../editor/actions';
import { diagnostics } from '../../editor/diagnostics';
import { toRange, toWorkspaceEdit } from '../convert';
import type { Desk } from '../desk';

const kinds: Record<Action['kind'], CodeActionKind> = {
  quickfix: CodeActionKind.QuickFix,
  refactor: CodeActionKind.Refactor,
  'fix-all': CodeActionKind.SourceFixAll,
};
export const actionKinds = Object.values(kinds);

/** What mends a finding, and the safe ones all at once. */
export function registerMending(desk: Desk): void {
  desk.connection.onCodeAction(async ({ textDocument, range, context }): Promise<CodeAction[]> => {
    const analysis = await desk.analysis(textDocument.uri);
    if (!analysis) return [];
    const selection = analysis.lines.span(range);
    const all = fixAll(analysis);
    const wanted = (kind: CodeActionKind) =>
      !context.only || context.only.some((only) => kind === only || kind.startsWith(`${only}.`));
    const actions = [...quickFixes(analysis, selection), ...(all ? [all] : [])].filter((action) =>
      wanted(kinds[action.kind]),
    );
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
          edit: await toWorkspaceEdit(action.edits, desk.linesOf),
        };
      }),
    );
  });
}
