import {
  type Diagnostic,
  DiagnosticSeverity,
  type Location,
  type Range,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import type { Edit, Finding, Severity } from '../text/finding';
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

export const toRange = (lines: Lines, span: Span): Range => lines.range(span);

export async function toLocation(linesOf: LinesOf, file: string, span: Span): Promise<Location> {
  return { uri: file, range: toRange(await linesOf(file), span) };
}

export async function toDiagnostic(finding: Finding, linesOf: LinesOf): Promise<Diagnostic> {
  const related = await Promise.all(
    finding.related.map(async (place) => ({
      location: await toLocation(linesOf, place.place.file, place.place.span),
      message: place.message,
    })),
  );
  return {
    range: toRange(await linesOf(finding.place.file), finding.place.span),
    severity: severities[finding.severity],
    code: finding.check,
    source: 'buzzout',
    message: finding.message,
    ...(related.length > 0 && { relatedInformation: related }),
  };
}

/** Edits of one or more files as the protocol has them. */
export async function toWorkspaceEdit(edits: readonly Edit[], linesOf: LinesOf): Promise<WorkspaceEdit> {
  const changes: Record<string, TextEdit[]> = {};
  for (const edit of edits) {
    const range = toRange(await linesOf(edit.file), edit.span);
    const list = changes[edit.file] ?? [];
    list.push({ range, newText: edit.text });
    changes[edit.file] = list;
  }
  return { changes };
}
