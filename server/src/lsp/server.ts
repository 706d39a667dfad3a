import {
  type CodeAction,
  CodeActionKind,
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type InitializeParams,
  type InitializeResult,
  TextDocumentSyncKind,
  TextDocuments,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { Analysis } from '../editor/analysis';
import type { Compute } from '../workspace/compute';
import { type Files, kindOf } from '../workspace/files';
import { type Delay, Scheduler } from '../workspace/scheduler';
import { readSettings } from '../workspace/settings';
import { Workspace } from '../workspace/workspace';
import { type LinesOf, toDiagnostic, toRange, toWorkspaceEdit } from './convert';
import { registerFeatures } from './features';

/** What a server is started with: the mains inject it. */
export interface Surroundings {
  readonly files: Files;
  readonly compute: Compute;
  readonly delay: Delay;
  readonly version: string;
}

/** What a feature's handler is given. */
export interface Desk {
  readonly connection: Connection;
  readonly workspace: Workspace;
  readonly linesOf: LinesOf;
  /** The analysis of a file as it stands on the screen; undefined for a file that is not ours. */
  analysis(uri: string): Promise<Analysis | undefined>;
}

const slash = (uri: string) => (uri.endsWith('/') ? uri : `${uri}/`);

/** Answers one connection until it closes. */
export function serve(connection: Connection, around: Surroundings): void {
  const documents = new TextDocuments(TextDocument);
  const workspace = new Workspace(around.files, around.compute);
  const linesOf: LinesOf = (uri) => workspace.linesOf(uri);
  let watches = false;
  let configures = false;

  const publish = async (analysis: Analysis) => {
    const diagnostics = await Promise.all(
      analysis.findings
        .filter((finding) => finding.place.file === analysis.uri)
        .map((finding) => toDiagnostic(finding, async (uri) => (uri === analysis.uri ? analysis.lines : linesOf(uri)))),
    );
    // The text may have moved on while related places were looked up: the next round will speak.
    const open = documents.get(analysis.uri);
    if (!open || open.version !== analysis.version) return;
    await connection.sendDiagnostics({ uri: analysis.uri, version: analysis.version, diagnostics });
  };
  const scheduler = new Scheduler((uri) => workspace.analyse(uri), publish, around.delay);
  const touchAll = () => {
    workspace.texts.foldersChanged();
    for (const uri of scheduler.open) scheduler.touch(uri);
  };
  const touchOthers = (changed: string) => {
    for (const uri of scheduler.open) if (uri !== changed) scheduler.touch(uri);
  };

  connection.onInitialize((params: InitializeParams): InitializeResult => {
    workspace.folders = (params.workspaceFolders ?? []).map((folder) => slash(folder.uri));
    configures = params.capabilities.workspace?.configuration === true;
    watches = params.capabilities.workspace?.didChangeWatchedFiles?.dynamicRegistration === true;
    return {
      serverInfo: { name: 'buzzout', version: around.version },
      capabilities: {
        textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
        hoverProvider: true,
        completionProvider: { triggerCharacters: ['.', ' ', ':', '[', '{', ',', '-'] },
        definitionProvider: true,
        codeActionProvider: { codeActionKinds: [CodeActionKind.QuickFix] },
        workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
      },
    };
  });
  /** Asks the editor for its settings; a bad one keeps the last good one and is told in the log. */
  const configure = async () => {
    if (!configures) return;
    const given = await connection.workspace.getConfiguration('buzzout').catch(() => undefined);
    const { settings, problems } = readSettings(given, workspace.settings);
    for (const problem of problems)
      connection.window.showWarningMessage(`Buzzout: ${problem}; the last good setting stays.`);
    workspace.settings = settings;
    touchAll();
  };

  connection.onInitialized(() => {
    void configure();
    if (configures) void connection.client.register(DidChangeConfigurationNotification.type, { section: 'buzzout' });
    if (watches)
      void connection.client.register(DidChangeWatchedFilesNotification.type, {
        watchers: [{ globPattern: '**/*.{board,pinout}.{yaml,yml}' }, { globPattern: '**/*.{wav,WAV,csv,CSV}' }],
      });
    connection.workspace.onDidChangeWorkspaceFolders((event) => {
      const gone = new Set(event.removed.map((folder) => slash(folder.uri)));
      workspace.folders = [
        ...workspace.folders.filter((folder) => !gone.has(folder)),
        ...event.added.map((folder) => slash(folder.uri)),
      ];
      touchAll();
    });
  });

  documents.onDidOpen(() => workspace.texts.foldersChanged());
  documents.onDidChangeContent(({ document }) => {
    if (!kindOf(document.uri)) return;
    workspace.texts.set(document.uri, document.getText(), document.version);
    scheduler.touch(document.uri);
    // A pinout on the screen is read by every open board.
    if (kindOf(document.uri) === 'pinout') touchOthers(document.uri);
  });
  documents.onDidClose(({ document }) => {
    scheduler.drop(document.uri);
    workspace.forget(document.uri);
    void connection.sendDiagnostics({ uri: document.uri, diagnostics: [] });
  });
  documents.onDidSave(touchAll);
  connection.onDidChangeWatchedFiles(touchAll);
  connection.onDidChangeConfiguration(configure);

  const desk: Desk = {
    connection,
    workspace,
    linesOf,
    analysis: async (uri) => (documents.get(uri) && kindOf(uri) ? scheduler.current(uri) : undefined),
  };
  registerFeatures(desk);
  connection.onCodeAction(async (params): Promise<CodeAction[]> => {
    const analysis = await desk.analysis(params.textDocument.uri);
    if (!analysis) return [];
    const wanted = analysis.lines.span(params.range);
    const actions: CodeAction[] = [];
    for (const finding of analysis.findings) {
      if (finding.place.span.start > wanted.end || finding.place.span.end < wanted.start) continue;
      const range = toRange(analysis.lines, finding.place.span);
      const diagnostics = params.context.diagnostics.filter(
        (diagnostic) => diagnostic.code === finding.check && diagnostic.range.start.line === range.start.line,
      );
      for (const fix of finding.fixes)
        actions.push({
          title: fix.title,
          kind: CodeActionKind.QuickFix,
          diagnostics,
          isPreferred: fix.safe,
          edit: await toWorkspaceEdit(fix.edits, linesOf),
        });
    }
    return actions;
  });

  documents.listen(connection);
  connection.listen();
}
