import { commands, type ExtensionContext, Selection, type TextEditor, Uri, window, workspace } from 'vscode';

const board = 'handset-hollow.board.yaml';
/** The demo as the package carries it. Named one by one: an extension on the web cannot look into its own folders. */
const files = [
  'sheets/pwl6203.pinout.yaml',
  'sheets/pwl6203d.pinout.yaml',
  ...['both', 'left', 'right', 'unlike'].map((take) => `captures/hollow-${take}.wav`),
  board,
];
/** The output whose signal is followed. */
const output = 'U1.AOUTL';
/** Where it is kept which board to show once its folder is open. */
const awaited = 'demo-to-show';

type Context = Pick<ExtensionContext, 'extensionUri' | 'globalState'>;

/** Copies the demo to a folder the user picks, what is there already left as it is, and opens its board; undefined where that came to nothing. */
export async function openDemo(context: Context): Promise<TextEditor | undefined> {
  const picked = await window.showOpenDialog({
    title: 'A folder for the demo',
    openLabel: 'Copy the demo here',
    canSelectFolders: true,
    canSelectFiles: false,
    ...(workspace.workspaceFolders?.[0] && { defaultUri: workspace.workspaceFolders[0].uri }),
  });
  if (!picked?.[0]) return undefined;
  const target = Uri.joinPath(picked[0], 'tidemill');
  try {
    await copy(Uri.joinPath(context.extensionUri, 'samples/tidemill'), target);
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(`Buzzout: the demo could not be copied to ${target.path}. ${said}`);
    return undefined;
  }
  const editor = await window.showTextDocument(Uri.joinPath(target, board), { preview: false });
  if (!workspace.getWorkspaceFolder(target)) void offerFolder(target, context);
  return editor;
}

/** Shows in the view of calls where a signal of the demo goes, the demo opened before where it is not. */
export async function followSignal(context: Context): Promise<void> {
  const open = workspace.textDocuments.find(({ uri }) => uri.path.endsWith(`/${board}`));
  const editor = open ? await window.showTextDocument(open, { preview: false }) : await openDemo(context);
  if (!editor) return;
  const start = editor.document.getText().indexOf(output);
  if (start < 0) {
    void window.showInformationMessage(`Buzzout: this copy of the demo has no ${output} any more.`);
    return;
  }
  const at = editor.document.positionAt(start + output.length);
  editor.selection = new Selection(at, at);
  editor.revealRange(editor.selection);
  // The direction first: the view keeps it, and may have been left the other way round.
  await commands.executeCommand('references-view.showOutgoingCalls');
  await commands.executeCommand('references-view.showCallHierarchy');
  await commands.executeCommand('setContext', 'buzzout.signalFollowed', true);
}

/** Shows the board of the demo whose folder the user has just opened. */
export async function showAwaited({ globalState }: Context): Promise<void> {
  const said = globalState.get<string>(awaited);
  const uri = said === undefined ? undefined : Uri.parse(said);
  if (!uri || !workspace.getWorkspaceFolder(uri)) return;
  await globalState.update(awaited, undefined);
  await window.showTextDocument(uri, { preview: false });
}

/** The Explorer shows folders that are open: offers to open that of the demo, beside one that is open already. */
async function offerFolder(target: Uri, { globalState }: Context): Promise<void> {
  const yes = 'Open its folder';
  const said = `Buzzout: the demo is in ${target.fsPath}, which the Explorer does not show.`;
  if ((await window.showInformationMessage(said, yes, 'Not now')) !== yes) return;
  await globalState.update(awaited, Uri.joinPath(target, board).toString());
  await commands.executeCommand('vscode.openFolder', target, {
    forceNewWindow: workspace.workspaceFolders !== undefined,
  });
}

/** File by file; what is there already is left as it is. */
async function copy(source: Uri, target: Uri): Promise<void> {
  for (const file of files) {
    const to = Uri.joinPath(target, file);
    const there = await workspace.fs.stat(to).then(
      () => true,
      () => false,
    );
    if (!there) await workspace.fs.writeFile(to, await workspace.fs.readFile(Uri.joinPath(source, file)));
  }
}
