import { type Disposable, type TextEditor, type Uri, window, workspace } from 'vscode';

const isBoard = ({ languageId }: { languageId: string }) => languageId === 'buzzout-board';

/** Which board the user is at, also while a page or the walkthrough stands before it. */
export class BoardInFront implements Disposable {
  private last: Uri | undefined;
  private readonly listening = window.onDidChangeActiveTextEditor((editor) => this.note(editor));

  constructor() {
    this.note(window.activeTextEditor);
  }

  dispose(): void {
    this.listening.dispose();
  }

  /** The board in front, else the last that was, else any that is seen or open; undefined where none is open. */
  uri(): Uri | undefined {
    const open = workspace.textDocuments.filter(isBoard);
    const last = open.find(({ uri }) => uri.toString() === this.last?.toString());
    const seen = window.visibleTextEditors.find(({ document }) => isBoard(document))?.document;
    return (last ?? seen ?? open[0])?.uri;
  }

  private note(editor: TextEditor | undefined): void {
    if (editor && isBoard(editor.document)) this.last = editor.document.uri;
  }
}
