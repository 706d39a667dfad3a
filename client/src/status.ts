import {
  DiagnosticSeverity,
  type Disposable,
  languages,
  StatusBarAlignment,
  type StatusBarItem,
  ThemeColor,
  window,
} from 'vscode';
import { type BaseLanguageClient, State } from 'vscode-languageclient';
import { languageIds } from './languages';

const words = [
  [DiagnosticSeverity.Error, 'error'],
  [DiagnosticSeverity.Warning, 'warning'],
  [DiagnosticSeverity.Information, 'info'],
  [DiagnosticSeverity.Hint, 'hint'],
] as const;

/** One glance at the board in front: how many findings of which severity, or that the server is not there. */
export function showStatus(client: BaseLanguageClient): Disposable[] {
  const item = window.createStatusBarItem('buzzout.summary', StatusBarAlignment.Right, 90);
  item.name = 'Buzzout';
  const update = () => fill(item, client);
  update();
  return [
    item,
    window.onDidChangeActiveTextEditor(update),
    languages.onDidChangeDiagnostics(update),
    client.onDidChangeState(update),
  ];
}

function fill(item: StatusBarItem, client: BaseLanguageClient): void {
  const document = window.activeTextEditor?.document;
  if (!document || !languageIds.includes(document.languageId)) {
    item.hide();
    return;
  }
  const stopped = client.state === State.Stopped;
  const summary = client.state === State.Running ? summarise(languages.getDiagnostics(document.uri)) : undefined;
  item.text = summary?.text ?? (stopped ? '$(debug-disconnect) Buzzout stopped' : '$(sync~spin) Buzzout starts');
  item.tooltip = summary?.tooltip ?? (stopped ? 'Start the language server again' : undefined);
  item.command = stopped ? 'buzzout.restartServer' : 'workbench.actions.view.problems';
  item.backgroundColor = summary?.worst ? new ThemeColor(`statusBarItem.${summary.worst}Background`) : undefined;
  item.show();
}

interface Summary {
  readonly text: string;
  readonly tooltip: string;
  readonly worst?: 'error' | 'warning';
}

function summarise(
  diagnostics: readonly { readonly severity: DiagnosticSeverity; readonly source?: string }[],
): Summary {
  const ours = diagnostics.filter(({ source }) => source === 'buzzout');
  const counts = words
    .map(([severity, word]) => [word, ours.filter((one) => one.severity === severity).length] as const)
    .filter(([, count]) => count > 0);
  if (counts.length === 0)
    return { text: '$(circuit-board) nothing found', tooltip: 'Buzzout: nothing found on this board' };
  const parts = counts.map(([word, count]) => `${count} ${plural(word, count)}`);
  const worst = counts[0]![0];
  return {
    text: `$(circuit-board) ${parts.slice(0, 2).join(', ')}`,
    tooltip: `Buzzout: ${parts.join(', ')}`,
    worst: worst === 'error' || worst === 'warning' ? worst : undefined,
  };
}

const plural = (word: string, count: number) => (count === 1 || word === 'info' ? word : `${word}s`);
