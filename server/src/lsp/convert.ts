import {
  type Diagnostic,
  DiagnosticSeverity,
  DiagnosticTag,
  type Location,
  type Range,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Diagnostic as Shown } from '../editor/diagnostics';
import type { Edit, Severity } from '../text/finding';
import type { Lines } from '../text/lines';
import type { Span } from '../text/span';

/** The edge: offsets become lines and characters, findings become diagnostics. */

const severities: Record<Severity, DiagnosticSeverity> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  info: DiagnosticSeverity.Information,
  hint: DiagnosticSeverity.Hint,
};

/** Lines of the files that findings and answers lead to. */
export type LinesOf = (uri: string) => Promise<Lines>;

/** A stretch as the protocol has it. */
export const toRange = (lines: Lines, span: Span): Range => lines.range(span);

/** A stretch of any file in reach. */
export async function toLocation(linesOf: LinesOf, file: string, span: Span): Promise<Location> {
  return { uri: file, range: toRange(await linesOf(file), span) };
}

/** A finding as the protocol has it, its related places looked up. */
export async function toDiagnostic(shown: Shown, lines: Lines, linesOf: LinesOf): Promise<Diagnostic> {
  const related = await Promise.all(
    shown.related.map(async ({ place, message }) => ({
      location: await toLocation(linesOf, place.file, place.span),
      message,
    })),
  );
  return {
    range: toRange(lines, shown.span),
    severity: severities[shown.severity],
    code: shown.code,
    source: 'buzzout',
    message: shown.message,
    data: shown.data,
    ...(shown.unnecessary && { tags: [DiagnosticTag.Unnecessary] }),
    ...(related.length > 0 && { relatedInformation: related }),
  };
}

/** Edits of one or more files as the protocol has them; a file to be made comes first. */
export async function toWorkspaceEdit(
  edits: readonly Edit[],
  linesOf: LinesOf,
  create?: { readonly uri: string; readonly text: string },
): Promise<WorkspaceEdit> {
  const changes: Record<string, TextEdit[]> = {};
  for (const edit of edits) {
    const range = toRange(await linesOf(edit.file), edit.span);
    const list = changes[edit.file] ?? [];
    list.push({ range, newText: edit.text });
    changes[edit.file] = list;
  }
  if (!create) return { changes };
  const start = { line: 0, character: 0 };
  const documents = { ...changes, [create.uri]: [{ range: { start, end: start }, newText: create.text }] };
  return {
    documentChanges: [
      { kind: 'create', uri: create.uri, options: { ignoreIfExists: false } },
      ...Object.entries(documents).map(([uri, list]) => ({ textDocument: { uri, version: null }, edits: list })),
    ],
  };
}
