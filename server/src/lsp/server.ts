import {
  type Connection,
  DidChangeConfigurationNotification,
  DidChangeWatchedFilesNotification,
  type InitializeParams,
  type InitializeResult,
  TextDocuments,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import type { Analysis } from '../editor/analysis';
import type { Compute } from '../workspace/compute';
import { fenced } from '../workspace/fence';
import { type Files, folderOf, kindOf } from '../workspace/files';
import { type Delay, Scheduler } from '../workspace/scheduler';
import { readSettings } from '../workspace/settings';
import { Workspace } from '../workspace/workspace';
import { type Abilities, capabilities, noAbilities, readAbilities } from './capabilities';
import { ClosedFiles } from './closed-files';
import type { LinesOf } from './convert';
import type { Desk, Readable } from './desk';
import { registerBeginning } from './features/beginning';
import { registerCompletion } from './features/completion';
import { registerDiagnosing } from './features/diagnosing';
import { registerLenses } from './features/lenses';
import { registerMending } from './features/mending';
import { registerMoving } from './features/moving';
import { registerPages } from './features/pages';
import { registerReading } from './features/reading';
import { registerSignalPath } from './features/signal-path';
import { showProgress } from './progress';
import { refresher } from './refresh';
import { Reports } from './reports';
import { Typing } from './typing';

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
  let client: Abilities = noAbilities;
  const follow = showProgress(connection, around.delay, () => client.showsProgress);
  const allowed = () =>
    client.restricted ? [...workspace.folders, ...workspace.texts.opened.map(folderOf)] : undefined;
  const workspace: Workspace = new Workspace(fenced(around.files, allowed), around.compute, [], follow);
  const linesOf: LinesOf = (uri) => workspace.linesOf(uri);
  const typing: Typing = new Typing(around.delay, (uri) => scheduler.touch(uri));
  const reports = new Reports(linesOf, typing);
  const closed = new ClosedFiles(workspace);
  const refresh = refresher(connection, () => client);
  const isStale = ({ uri, version }: Analysis) => {
    const open = documents.get(uri);
    return open !== undefined && open.version !== version;
  };
  /** By file, the version spoken of last: what comes for the same one again, the client has no reason to ask for. */
  const spoken = new Map<string, number>();

  const tell = async (analysis: Analysis) => {
    const { uri, version } = analysis;
    const { id, items } = await reports.make(analysis);
    // The text may have moved on while related places were looked up: the next round will speak.
    if (!documents.get(uri) || isStale(analysis)) return;
    const again = spoken.get(uri) === version;
    spoken.set(uri, version);
    if (again) refresh.shown();
    if (!client.pulls) await connection.sendDiagnostics({ uri, version, diagnostics: [...items] });
    else if (again && reports.isNews(uri, id)) refresh.findings();
  };
  const scheduler: Scheduler = new Scheduler((uri) => workspace.analyse(uri), tell, around.delay);
  const touchAll = () => {
    workspace.texts.foldersChanged();
    closed.changed();
    for (const uri of scheduler.open) scheduler.touch(uri);
  };
  const touchOthers = (changed: string) => {
    closed.changed();
    for (const uri of scheduler.open) if (uri !== changed) scheduler.touch(uri);
  };

  connection.onInitialize((params: InitializeParams): InitializeResult => {
    workspace.folders = (params.workspaceFolders ?? []).map((folder) => slash(folder.uri));
    client = readAbilities(params.capabilities, params.initializationOptions);
    return { serverInfo: { name: 'buzzout', version: around.version }, capabilities: capabilities(client) };
  });
  /** Asks the editor for its settings; a bad one keeps the last good one, and the user is told. */
  const configure = async () => {
    if (!client.configures) return;
    const given = await connection.workspace.getConfiguration('buzzout').catch(() => undefined);
    const { settings, problems } = readSettings(given, workspace.settings);
    for (const problem of problems)
      connection.window.showWarningMessage(`Buzzout: ${problem}; the last good setting stays.`);
    workspace.settings = settings;
    touchAll();
  };

  let known: () => void = () => {};
  const configured = new Promise<void>((resolve) => {
    known = resolve;
  });
  connection.onInitialized(() => {
    void configure().finally(known);
    // A client that refuses what it said it can does without.
    if (client.configures && client.tellsSettings)
      connection.client.register(DidChangeConfigurationNotification.type, { section: 'buzzout' }).catch(() => {});
    if (client.watches)
      connection.client
        .register(DidChangeWatchedFilesNotification.type, {
          watchers: [{ globPattern: '**/*.{board,pinout}.{yaml,yml}' }, { globPattern: '**/*.{wav,WAV,csv,CSV}' }],
        })
        .catch(() => {});
    if (!client.changesFolders) return;
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
    typing.changed(document.uri, document.getText(), document.version);
    scheduler.touch(document.uri);
    // A pinout on the screen is read by every open board.
    if (kindOf(document.uri) === 'pinout') touchOthers(document.uri);
  });
  documents.onDidClose(({ document }) => {
    scheduler.drop(document.uri);
    workspace.forget(document.uri);
    reports.forget(document.uri);
    typing.forget(document.uri);
    spoken.delete(document.uri);
    closed.changed();
    if (!client.pulls) void connection.sendDiagnostics({ uri: document.uri, diagnostics: [] });
  });
  documents.onDidSave(({ document }) => {
    typing.left(document.uri);
    touchAll();
  });
  connection.onDidChangeWatchedFiles(touchAll);
  connection.onDidChangeConfiguration(configure);

  const isOpen = (uri: string) => documents.get(uri) !== undefined && kindOf(uri) !== undefined;
  const analysis = async (uri: string) => (isOpen(uri) ? scheduler.current(uri) : undefined);
  const readable = async (uri: string): Promise<Readable | undefined> => {
    const found = await analysis(uri);
    return found && found.kind !== 'failed' ? found : undefined;
  };
  const allFiles = async () => {
    const uris = new Set(scheduler.open);
    const near = scheduler.open.map(folderOf);
    for (const folder of new Set([...workspace.folders, ...near]))
      for (const uri of await workspace.find(folder)) uris.add(uri);
    return [...uris].sort().slice(0, mostFiles);
  };
  const desk: Desk = {
    configured: () => configured,
    connection,
    workspace,
    linesOf,
    get client() {
      return client;
    },
    isOurs: (uri) => kindOf(uri) !== undefined,
    isOpen,
    isStale,
    analysis,
    readable,
    async measured(uri) {
      const found = isOpen(uri) ? await scheduler.measured(uri) : undefined;
      return found && found.kind !== 'failed' ? found : undefined;
    },
    async settled(uri) {
      if (isOpen(uri)) return scheduler.settled(uri);
      const { now, later } = await closed.analyse(uri);
      return later ?? now;
    },
    async asked({ textDocument, position }) {
      const found = await readable(textDocument.uri);
      return found && { analysis: found, offset: found.lines.offset(position) };
    },
    touchAll,
    allFiles,
    async everything() {
      // Nothing says when a file changes: what was kept of those not open may be old.
      if (!client.watches) closed.changed();
      const found: Readable[] = [];
      for (const uri of await allFiles()) {
        const one = (await analysis(uri)) ?? (await closed.analyse(uri)).now;
        if (one.kind !== 'failed') found.push(one);
      }
      return found;
    },
  };
  registerBeginning(desk);
  registerCompletion(desk);
  registerDiagnosing(desk, reports, closed, around.delay);
  registerReading(desk, around.delay);
  registerMoving(desk);
  registerSignalPath(desk);
  registerLenses(desk);
  registerMending(desk);
  registerPages(desk, reports);

  documents.listen(connection);
  connection.listen();
}
