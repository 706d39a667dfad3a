import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import {
  createProtocolConnection,
  type Diagnostic,
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

interface Published {
  readonly uri: string;
  readonly version: number | undefined;
  readonly diagnostics: readonly Diagnostic[];
}

/** A client on the real server over real stdio. */
export class Client {
  readonly published: Published[] = [];
  private readonly waiters = new Set<() => void>();
  initialized: InitializeResult | undefined;

  private constructor(
    readonly connection: ProtocolConnection,
    private readonly process: ChildProcess,
  ) {
    connection.onNotification(PublishDiagnosticsNotification.type, ({ uri, version, diagnostics }) => {
      this.published.push({ uri, version, diagnostics });
      for (const wake of this.waiters) wake();
    });
    connection.onRequest(RegistrationRequest.type, () => {});
  }

  /** Starts the built server on a folder. */
  static async start(
    folder: string,
    entry: readonly string[] = [join(root, 'dist/server.cjs'), '--stdio'],
  ): Promise<Client> {
    const child = spawn(process.execPath, entry, { stdio: ['pipe', 'pipe', 'pipe'] });
    const connection = createProtocolConnection(
      new StreamMessageReader(child.stdout!),
      new StreamMessageWriter(child.stdin!),
    );
    connection.listen();
    const client = new Client(connection, child);
    const uri = pathToFileURL(folder).href;
    client.initialized = await connection.sendRequest(InitializeRequest.type, {
      processId: process.pid,
      rootUri: uri,
      workspaceFolders: [{ uri, name: 'bench' }],
      capabilities: { workspace: { didChangeWatchedFiles: { dynamicRegistration: true } } },
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
    const look = () => this.published.slice(from).find((set) => set.uri === uri && fits(set.diagnostics, set.version));
    for (;;) {
      const found = look();
      if (found) return found.diagnostics;
      await new Promise<void>((resolve, reject) => {
        const timer = setTimeout(() => {
          this.waiters.delete(wake);
          reject(new Error(`no such diagnostics came; last: ${JSON.stringify(this.published.at(-1))}`));
        }, 20_000);
        const wake = () => {
          clearTimeout(timer);
          this.waiters.delete(wake);
          resolve();
        };
        this.waiters.add(wake);
      });
    }
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
