import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import {
  type ClientCapabilities,
  ConfigurationRequest,
  createProtocolConnection,
  type Diagnostic,
  DiagnosticRefreshRequest,
  DidChangeTextDocumentNotification,
  DidCloseTextDocumentNotification,
  DidOpenTextDocumentNotification,
  ExitNotification,
  InitializedNotification,
  InitializeRequest,
  type InitializeResult,
  type ProtocolConnection,
  PublishDiagnosticsNotification,
  RegistrationRequest,
  ShutdownRequest,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver-protocol/node';

const root = join(__dirname, '../..');
/** Milliseconds of silence after which what a test waits for is not coming: far beyond what a busy machine takes. */
const patience = 120_000;

interface Published {
  readonly uri: string;
  readonly version: number | undefined;
  readonly diagnostics: readonly Diagnostic[];
}

/** What a client can do and how it is set up, where a test wants more than the least. */
export interface Setup {
  readonly entry?: readonly string[];
  readonly capabilities?: ClientCapabilities;
  readonly options?: object;
  /** What it answers when asked for the settings of ours; it is not asked where there are none. */
  readonly settings?: object;
  /** Folders beside the first. */
  readonly more?: readonly string[];
}

/** A client on the real server over real stdio. */
export class Client {
  readonly published: Published[] = [];
  private readonly waiters = new Set<() => void>();
  initialized: InitializeResult | undefined;
  /** How often the server has asked to be asked for findings again. */
  refreshes = 0;
  /** What the server has asked to be told of. */
  readonly registered: string[] = [];

  private constructor(
    readonly connection: ProtocolConnection,
    private readonly process: ChildProcess,
    readonly settings: object | undefined,
  ) {
    connection.onNotification(PublishDiagnosticsNotification.type, ({ uri, version, diagnostics }) => {
      this.published.push({ uri, version, diagnostics });
      this.heard();
    });
    connection.onRequest(RegistrationRequest.type, ({ registrations }) => {
      this.registered.push(...registrations.map(({ method }) => method));
    });
    connection.onRequest(ConfigurationRequest.type, ({ items }) => items.map(() => this.settings));
    connection.onRequest(DiagnosticRefreshRequest.type, () => {
      this.refreshes++;
      this.heard();
    });
  }

  /** Starts the built server on a folder. */
  static async start(
    folder: string,
    { entry = [join(root, 'dist/server.cjs'), '--stdio'], capabilities = {}, options, settings, more = [] }: Setup = {},
  ): Promise<Client> {
    const child = spawn(process.execPath, entry, { stdio: ['pipe', 'pipe', 'pipe'] });
    const connection = createProtocolConnection(
      new StreamMessageReader(child.stdout!),
      new StreamMessageWriter(child.stdin!),
    );
    connection.listen();
    const client = new Client(connection, child, settings);
    const folders = [folder, ...more].map((path) => ({ uri: pathToFileURL(path).href, name: 'bench' }));
    client.initialized = await connection.sendRequest(InitializeRequest.type, {
      processId: process.pid,
      rootUri: folders[0]!.uri,
      workspaceFolders: folders,
      ...(options && { initializationOptions: options }),
      capabilities: {
        ...capabilities,
        workspace: {
          didChangeWatchedFiles: { dynamicRegistration: true },
          ...(settings && { configuration: true }),
          ...capabilities.workspace,
        },
      },
    });
    await connection.sendNotification(InitializedNotification.type, {});
    return client;
  }

  open(uri: string, text: string, languageId = 'buzzout-board'): Promise<void> {
    return this.connection.sendNotification(DidOpenTextDocumentNotification.type, {
      textDocument: { uri, languageId, version: 1, text },
    });
  }

  change(uri: string, version: number, text: string): Promise<void> {
    return this.connection.sendNotification(DidChangeTextDocumentNotification.type, {
      textDocument: { uri, version },
      contentChanges: [{ text }],
    });
  }

  close(uri: string): Promise<void> {
    return this.connection.sendNotification(DidCloseTextDocumentNotification.type, { textDocument: { uri } });
  }

  /** The first published set of a file that `fits`, among those to come and those already here. */
  async diagnostics(
    uri: string,
    fits: (diagnostics: readonly Diagnostic[], version: number | undefined) => boolean,
    from = 0,
  ): Promise<readonly Diagnostic[]> {
    return this.until(
      () =>
        this.published.slice(from).find((set) => set.uri === uri && fits(set.diagnostics, set.version))?.diagnostics,
      'such diagnostics',
    );
  }

  /** What `look` gives, as soon as it gives something: it looks again whenever the server has spoken. */
  async until<T>(look: () => T | undefined | false, what: string): Promise<T> {
    for (;;) {
      const found = look();
      if (found) return found;
      await new Promise<void>((resolve, reject) => {
        const timer = setTimeout(() => {
          this.waiters.delete(wake);
          reject(new Error(`no ${what} came; last published: ${JSON.stringify(this.published.at(-1))}`));
        }, patience);
        const wake = () => {
          clearTimeout(timer);
          this.waiters.delete(wake);
          resolve();
        };
        this.waiters.add(wake);
      });
    }
  }

  /** To be called by whoever hears something that `until` may be waiting for. */
  heard(): void {
    for (const wake of this.waiters) wake();
  }

  async stop(): Promise<void> {
    await this.connection.sendRequest(ShutdownRequest.type);
    await this.connection.sendNotification(ExitNotification.type);
    await new Promise<void>((resolve) => {
      if (this.process.exitCode !== null) resolve();
      else this.process.once('exit', () => resolve());
    });
    this.connection.dispose();
  }
}
