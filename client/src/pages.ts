import {
  CancellationTokenSource,
  commands,
  type Disposable,
  EventEmitter,
  ProgressLocation,
  type Tab,
  type TextDocumentContentProvider,
  Uri,
  ViewColumn,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  type CaptureNamesParams,
  type CaptureNamesResult,
  captureNames,
  type PageParams,
  type PageResult,
  page,
} from '../../server/src/messages';

const pageScheme = 'buzzout-page';

const titles: Record<PageParams['kind'], string> = {
  measure: 'Measured',
  diagnose: 'Diagnosis',
  'copper-map': 'Copper map',
};

/** Pages about a board, read beside it: texts that nobody can change, rendered by the editor's own Markdown preview. */
export class Pages implements TextDocumentContentProvider, Disposable {
  private readonly changed = new EventEmitter<Uri>();
  readonly onDidChange = this.changed.event;
  /** By page, what it says. */
  private readonly texts = new Map<string, string>();
  /** By page, what is being asked for it anew. */
  private readonly asking = new Map<string, CancellationTokenSource>();
  private readonly registered = [
    workspace.registerTextDocumentContentProvider(pageScheme, this),
    workspace.onDidCloseTextDocument(({ uri }) => {
      if (uri.scheme === pageScheme) this.texts.delete(uri.toString());
    }),
  ];

  /** `front`: the board that is meant where none is named. */
  constructor(
    private readonly client: () => BaseLanguageClient | undefined,
    private readonly front: () => Uri | undefined,
  ) {}

  dispose(): void {
    for (const one of [...this.registered, this.changed, ...this.asking.values()]) one.dispose();
  }

  /** The editor asks again for a page that it has let go. */
  async provideTextDocumentContent(uri: Uri): Promise<string> {
    const known = this.texts.get(uri.toString());
    if (known !== undefined) return known;
    const params = paramsOf(uri);
    return (params && (await this.ask(params))) ?? 'This page can be asked for again from its board.';
  }

  /** Shows a page about a board; of the one in front, and of a capture the user picks, where it is not said which. */
  async show(
    kind: PageParams['kind'],
    board: string | Uri | undefined = this.front(),
    capture?: string,
  ): Promise<void> {
    const client = this.client();
    if (!client?.isRunning() || board === undefined) {
      void window.showInformationMessage('Buzzout: open a board first.');
      return;
    }
    const uri = typeof board === 'string' ? board : client.code2ProtocolConverter.asUri(board);
    const name = kind === 'measure' ? (capture ?? (await pickCapture(client, uri))) : undefined;
    if (kind === 'measure' && name === undefined) return;
    const params: PageParams = { uri, kind, ...(name !== undefined && { capture: name }) };
    const markdown = await window.withProgress(
      { location: ProgressLocation.Notification, title: `Buzzout: ${titles[kind]}`, cancellable: true },
      (_, token) => this.ask(params, token),
    );
    if (markdown !== undefined) await this.put(uriOf(params), markdown);
  }

  /** Lays a text out as a page, where another stands already or else beside. */
  private async put(uri: Uri, markdown: string): Promise<void> {
    this.texts.set(uri.toString(), markdown);
    this.changed.fire(uri);
    const how = { viewColumn: columnOfPages() ?? ViewColumn.Beside, preview: true };
    try {
      await commands.executeCommand('vscode.openWith', uri, 'vscode.markdown.preview.editor', how);
    } catch {
      // An editor without a Markdown preview shows the text itself.
      await window.showTextDocument(uri, how);
    }
  }

  /** The findings of a board were told anew: pages about it that are open are too; what was being asked for them is overtaken. */
  heard(board: Uri): void {
    const client = this.client();
    if (!client?.isRunning()) return;
    const about = client.code2ProtocolConverter.asUri(board);
    for (const { uri } of workspace.textDocuments) {
      const params = paramsOf(uri);
      if (params?.uri === about) void this.renew(uri, params);
    }
  }

  private async renew(uri: Uri, params: PageParams): Promise<void> {
    const key = uri.toString();
    this.asking.get(key)?.cancel();
    const asking = new CancellationTokenSource();
    this.asking.set(key, asking);
    const markdown = await this.ask(params, asking.token);
    asking.dispose();
    if (this.asking.get(key) !== asking) return;
    this.asking.delete(key);
    if (markdown === undefined || markdown === this.texts.get(key)) return;
    this.texts.set(key, markdown);
    this.changed.fire(uri);
  }

  /** A page as the server writes it; undefined where it was called off or there is none. */
  private async ask(params: PageParams, token = new CancellationTokenSource().token): Promise<string | undefined> {
    try {
      return (await this.client()?.sendRequest<PageResult>(page, params, token))?.markdown;
    } catch (error) {
      if (!token.isCancellationRequested)
        void window.showErrorMessage(`Buzzout: ${error instanceof Error ? error.message : String(error)}`);
      return undefined;
    }
  }
}

/** A page's name is what its tab says; what it is about stands behind it. */
function uriOf(params: PageParams): Uri {
  const file = params.uri.slice(params.uri.lastIndexOf('/') + 1);
  const about = params.capture ?? decodeURIComponent(file).replace(/\.board\.ya?ml$/i, '');
  const path = `/${titles[params.kind]} ${about.replace(/[\\/?#%]/g, '-')}.md`;
  return Uri.from({ scheme: pageScheme, path, query: JSON.stringify(params) });
}

function paramsOf({ scheme, query }: Uri): PageParams | undefined {
  if (scheme !== pageScheme || query === '') return undefined;
  return JSON.parse(query) as PageParams;
}

/** The column of a page that is open already. */
function columnOfPages(): ViewColumn | undefined {
  const isPage = ({ input }: Tab) => (input as { uri?: Uri } | undefined)?.uri?.scheme === pageScheme;
  return window.tabGroups.all.find(({ tabs }) => tabs.some(isPage))?.viewColumn;
}

async function pickCapture(client: BaseLanguageClient, uri: string): Promise<string | undefined> {
  const params: CaptureNamesParams = { uri };
  const { names } = await client.sendRequest<CaptureNamesResult>(captureNames, params);
  if (names.length > 1) return window.showQuickPick([...names], { title: 'Which recording?' });
  if (names.length === 0) void window.showInformationMessage('Buzzout: this board names no recording.');
  return names[0];
}
