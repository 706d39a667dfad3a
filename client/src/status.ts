import {
  type Diagnostic,
  DiagnosticSeverity,
  type Disposable,
  languages,
  StatusBarAlignment,
  type TextDocument,
  ThemeColor,
  type Uri,
  window,
  workspace,
} from 'vscode';
import { type BaseLanguageClient, State } from 'vscode-languageclient';
import { languageIds } from './languages';

const words = [
  [DiagnosticSeverity.Error, 'error'],
  [DiagnosticSeverity.Warning, 'warning'],
  [DiagnosticSeverity.Information, 'info'],
  [DiagnosticSeverity.Hint, 'hint'],
] as const;

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
    item.tooltip = tooltip;
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

/** "1 error, 2 warnings"; undefined where there is nothing. */
export const countText = (findings: readonly Diagnostic[]): string | undefined =>
  findings.length === 0 ? undefined : counted(findings).join(', ');

const counted = (findings: readonly Diagnostic[]): string[] =>
  words.flatMap(([severity, word]) => {
    const number = findings.filter((one) => one.severity === severity).length;
    return number === 0 ? [] : [`${number} ${plural(word, number)}`];
  });

const plural = (word: string, number: number) => (number === 1 || word === 'info' ? word : `${word}s`);
