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
  const source = Uri.joinPath(extension, 'samples/tidemill');
  for (const file of files) {
    const copy = Uri.joinPath(target, file);
    const there = await workspace.fs.stat(copy).then(
      () => true,
      () => false,
    );
    if (!there) await workspace.fs.writeFile(copy, await workspace.fs.readFile(Uri.joinPath(source, file)));
  }
  await window.showTextDocument(Uri.joinPath(target, board));
}
