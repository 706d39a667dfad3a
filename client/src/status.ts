import {
  type Diagnostic,
  DiagnosticSeverity,
  type Disposable,
  languages,
  MarkdownString,
  StatusBarAlignment,
  type TextDocument,
  ThemeColor,
  type Uri,
  window,
  workspace,
} from 'vscode';
import { type BaseLanguageClient, State } from 'vscode-languageclient';
import { counted } from './counts';
import { languageIds } from './languages';

/** One glance at the file in front: how many findings of which severity, or that the server is not there. */
export class Status {
  private client: BaseLanguageClient | undefined;
  private readonly item = window.createStatusBarItem('buzzout.summary', StatusBarAlignment.Right, 90);
  private readonly listeners: readonly Disposable[];
  /** Files the server has spoken about: silence is no finding of "nothing". */
  private readonly told = new Set<string>();

  constructor() {
    this.item.name = 'Buzzout';
    this.listeners = [
      window.onDidChangeActiveTextEditor(() => this.update()),
      window.onDidChangeVisibleTextEditors(() => this.update()),
      languages.onDidChangeDiagnostics(() => this.update()),
      workspace.onDidCloseTextDocument(({ uri }) => this.told.delete(uri.toString())),
    ];
  }

  /** Speaks for this client from now on. */
  follow(client: BaseLanguageClient): void {
    this.client = client;
    this.told.clear();
    client.onDidChangeState(() => this.update());
    this.update();
  }

  /** The server has said what it finds in a file. */
  heard(uri: Uri): void {
    this.told.add(uri.toString());
    this.update();
  }

  dispose(): void {
    for (const one of [this.item, ...this.listeners]) one.dispose();
  }

  private update(): void {
    const document = inFront();
    if (!document) {
      this.item.hide();
      return;
    }
    const { item } = this;
    const findings = this.told.has(document.uri.toString())
      ? languages.getDiagnostics(document.uri).filter(({ source }) => source === 'buzzout')
      : undefined;
    const { text, tooltip, command, errors } = describe(this.client?.state, findings);
    item.text = text;
    item.tooltip = document.languageId === 'buzzout-board' ? withWays(tooltip) : tooltip;
    item.command = command;
    item.backgroundColor = errors ? new ThemeColor('statusBarItem.errorBackground') : undefined;
    item.show();
  }
}

/** The file of ours in front; while a page about one is, which is no text editor, the one that stands beside it. */
function inFront(): TextDocument | undefined {
  const shown = window.activeTextEditor ? [window.activeTextEditor] : window.visibleTextEditors;
  return shown.find(({ document }) => languageIds.includes(document.languageId))?.document;
}

/** What else can be asked about the board in front; `told` is ours, never text of a board. */
function withWays(told: string): MarkdownString {
  const ways = [
    ['buzzout.diagnose', 'What explains it'],
    ['buzzout.copper-map', 'Its copper'],
    ['buzzout.checkAll', 'Check every board'],
  ] as const;
  const text = new MarkdownString(`${told}\n\n${ways.map(([id, title]) => `[${title}](command:${id})`).join(' · ')}`);
  text.isTrusted = { enabledCommands: ways.map(([id]) => id) };
  return text;
}

interface Said {
  readonly text: string;
  readonly tooltip: string;
  readonly command?: string;
  readonly errors?: boolean;
}

function describe(state: State | undefined, findings: readonly Diagnostic[] | undefined): Said {
  if (state === State.Running && findings) return count(findings);
  if (state === State.Running) return { text: '$(sync~spin) Buzzout checks', tooltip: 'No answer for this file yet' };
  if (state === State.Starting) return { text: '$(sync~spin) Buzzout starts', tooltip: 'The language server starts' };
  const tooltip = 'The language server has stopped: start it again';
  return { text: '$(debug-disconnect) Buzzout stopped', tooltip, command: 'buzzout.restartServer' };
}

function count(findings: readonly Diagnostic[]): Said {
  const command = 'workbench.actions.view.problems';
  const parts = counted(findings);
  if (parts.length === 0)
    return { text: '$(circuit-board) nothing found', tooltip: 'Buzzout: nothing found in this file', command };
  return {
    text: `$(circuit-board) ${parts.slice(0, 2).join(', ')}`,
    tooltip: `Buzzout: ${parts.join(', ')}`,
    command,
    errors: findings.some(({ severity }) => severity === DiagnosticSeverity.Error),
  };
}
