import { Uri, window, workspace } from 'vscode';

const board = 'handset-hollow.board.yaml';
/** The demo as the package carries it. Named one by one: an extension on the web cannot look into its own folders. */
const files = [
  'sheets/pwl6203.pinout.yaml',
  'sheets/pwl6203d.pinout.yaml',
  ...['both', 'left', 'right', 'unlike'].map((take) => `captures/hollow-${take}.wav`),
  board,
];

/** Copies the demo to a folder the user picks, what is there already left as it is, and opens its board. */
export async function openDemo(extension: Uri): Promise<void> {
  const picked = await window.showOpenDialog({
    title: 'A folder for the demo',
    openLabel: 'Copy the demo here',
    canSelectFolders: true,
    canSelectFiles: false,
    ...(workspace.workspaceFolders?.[0] && { defaultUri: workspace.workspaceFolders[0].uri }),
  });
  if (!picked?.[0]) return;
  const target = Uri.joinPath(picked[0], 'tidemill');
  try {
    await copy(Uri.joinPath(extension, 'samples/tidemill'), target);
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(`Buzzout: the demo could not be copied to ${target.path}. ${said}`);
    return;
  }
  await window.showTextDocument(Uri.joinPath(target, board));
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
