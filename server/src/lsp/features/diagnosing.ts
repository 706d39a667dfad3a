import {
  type CancellationToken,
  DocumentDiagnosticReportKind,
  LSPErrorCodes,
  ResponseError,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import type { Analysis } from '../../editor/analysis';
import type { Delay } from '../../workspace/scheduler';
import type { ClosedFiles } from '../closed-files';
import type { Desk } from '../desk';
import type { Reports } from '../reports';

/** Milliseconds in which several changes to files become one answer about the workspace. */
const settle = 300;
/** The id under which a file is reported that has gone, or is no longer asked about. */
const gone = 'gone';

const cancelled = () => new ResponseError(LSPErrorCodes.RequestCancelled, 'overtaken');

/** Findings for clients that ask for them: of a file, and of every file of the workspace where that is wanted. */
export function registerDiagnosing(desk: Desk, reports: Reports, closed: ClosedFiles, delay: Delay): void {
  const { diagnostics } = desk.connection.languages;

  /** A file as it stands: an open one at once, its recordings perhaps pending; another one to its end. */
  const standing = async (uri: string): Promise<Analysis> => {
    const open = await desk.analysis(uri);
    if (open) return open;
    const { now, later } = await closed.analyse(uri);
    return later ?? now;
  };

  diagnostics.on(async ({ textDocument: { uri }, previousResultId }, token) => {
    if (!desk.isOurs(uri)) return { kind: DocumentDiagnosticReportKind.Full, items: [] };
    for (;;) {
      const analysis = await standing(uri);
      const { id, items } = await reports.make(analysis);
      if (token.isCancellationRequested) throw cancelled();
      // The text moved on while this was made: what stands now is what was asked for.
      if (desk.isStale(analysis)) continue;
      reports.give(uri, id);
      return id === previousResultId
        ? { kind: DocumentDiagnosticReportKind.Unchanged, resultId: id }
        : { kind: DocumentDiagnosticReportKind.Full, resultId: id, items: [...items] };
    }
  });

  const reportOf = async (
    uri: string,
    previous: string | undefined,
  ): Promise<{ readonly report: WorkspaceDocumentDiagnosticReport; readonly news: boolean }> => {
    const analysis = await standing(uri);
    const { id, items } = await reports.make(analysis);
    const version = desk.isOpen(uri) ? analysis.version : null;
    return id === previous
      ? { report: { kind: DocumentDiagnosticReportKind.Unchanged, uri, version, resultId: id }, news: false }
      : {
          report: { kind: DocumentDiagnosticReportKind.Full, uri, version, resultId: id, items: [...items] },
          news: true,
        };
  };

  diagnostics.onWorkspace(async ({ previousResultIds }, token, _progress, stream) => {
    await orCancelled(desk.configured(), token);
    if (token.isCancellationRequested) throw cancelled();
    const held = new Map(previousResultIds.map(({ uri, value }) => [uri, value]));
    for (;;) {
      const change = closed.nextChange;
      const uris = desk.workspace.settings.wholeWorkspace ? await desk.allFiles() : [];
      const items: WorkspaceDocumentDiagnosticReport[] = [];
      let news = false;
      const add = (report: WorkspaceDocumentDiagnosticReport, isNews: boolean) => {
        news ||= isNews;
        if (stream && isNews) stream.report({ items: [report] });
        else items.push(report);
      };
      for (const uri of uris) {
        const made = await reportOf(uri, held.get(uri));
        if (token.isCancellationRequested) throw cancelled();
        add(made.report, made.news);
      }
      for (const [uri, id] of held)
        if (id !== gone && !uris.includes(uri) && !desk.isOpen(uri))
          add({ kind: DocumentDiagnosticReportKind.Full, uri, version: null, resultId: gone, items: [] }, true);
      // A client that takes answers in parts is answered when there is news: it would ask again at once.
      if (news || !stream) return { items };
      await orCancelled(change, token);
      await delay(settle);
      if (token.isCancellationRequested) throw cancelled();
    }
  });
}

async function orCancelled(change: Promise<void>, token: CancellationToken): Promise<void> {
  let stop: () => void = () => {};
  const cancelled = new Promise<void>((resolve) => {
    stop = resolve;
  });
  const listening = token.onCancellationRequested(stop);
  await Promise.race([change, cancelled]);
  listening.dispose();
}
