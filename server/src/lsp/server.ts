import {
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
import { diagnostics } from '../editor/diagnostics';
import { tokenModifiers, tokenTypes } from '../editor/semantic-tokens';
import type { Compute } from '../workspace/compute';
import { type Files, folderOf, kindOf } from '../workspace/files';
import { type Delay, Scheduler } from '../workspace/scheduler';
import { readSettings } from '../workspace/settings';
import { Workspace } from '../workspace/workspace';
import { type LinesOf, toDiagnostic } from './convert';
import type { Desk, Readable } from './desk';
import { registerCompletion } from './features/completion';
import { actionKinds, registerMending } from './features/mending';
import { registerMoving } from './features/moving';
import { registerReading } from './features/reading';

/** What a server is started with: the mains inject it. */
export interface Surroundings {
  readonly files: Files;
  readonly compute: Compute;
  readonly delay: Delay;
  readonly version: string;
}

/** Files looked through for references: a bench folder has a few dozen. */
const mostFiles = 500;

const slash = (uri: string) => (uri.endsWith('/') ? uri : `${uri}/`);

/** Answers one connection until it closes. */
export function serve(connection: Connection, around: Surroundings): void {
  const documents = new TextDocuments(TextDocument);
  const workspace = new Workspace(around.files, around.compute);
  const linesOf: LinesOf = (uri) => workspace.linesOf(uri);
  let watches = false;
  let configures = false;

  const publish = async (analysis: Analysis) => {
    const own: LinesOf = async (uri) => (uri === analysis.uri ? analysis.lines : linesOf(uri));
    const told = await Promise.all(diagnostics(analysis).map((one) => toDiagnostic(one, analysis.lines, own)));
    // The text may have moved on while related places were looked up: the next round will speak.
    const open = documents.get(analysis.uri);
    if (!open || open.version !== analysis.version) return;
    await connection.sendDiagnostics({ uri: analysis.uri, version: analysis.version, diagnostics: told });
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
        referencesProvider: true,
        documentHighlightProvider: true,
        renameProvider: { prepareProvider: true },
        documentSymbolProvider: true,
        workspaceSymbolProvider: true,
        foldingRangeProvider: true,
        selectionRangeProvider: true,
        documentLinkProvider: {},
        inlayHintProvider: true,
        semanticTokensProvider: {
          legend: { tokenTypes: [...tokenTypes], tokenModifiers: [...tokenModifiers] },
          full: true,
        },
        codeActionProvider: { codeActionKinds: actionKinds },
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

  const analysis = async (uri: string) => (documents.get(uri) && kindOf(uri) ? scheduler.current(uri) : undefined);
  const readable = async (uri: string): Promise<Readable | undefined> => {
    const found = await analysis(uri);
    return found && found.kind !== 'failed' ? found : undefined;
  };
  const desk: Desk = {
    connection,
    workspace,
    linesOf,
    analysis,
    readable,
    async asked({ textDocument, position }) {
      const found = await readable(textDocument.uri);
      return found && { analysis: found, offset: found.lines.offset(position) };
    },
    async everything() {
      const uris = new Set(scheduler.open);
      const near = scheduler.open.map(folderOf);
      for (const folder of new Set([...workspace.folders, ...near]))
        for (const uri of await workspace.find(folder)) uris.add(uri);
      const found: Readable[] = [];
      for (const uri of [...uris].sort().slice(0, mostFiles)) {
        const one = scheduler.open.includes(uri) ? await scheduler.current(uri) : (await workspace.analyse(uri)).now;
        if (one.kind !== 'failed') found.push(one);
      }
      return found;
    },
  };
  registerCompletion(desk);
  registerReading(desk);
  registerMoving(desk);
  registerMending(desk);

  documents.listen(connection);
  connection.listen();
}
