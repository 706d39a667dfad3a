import { FileSystemError, SnippetString, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type NewFileParams, type NewFileResult, newFile } from '../../server/src/messages';

/** Asks for a name, makes the file beside the one in front, in the first folder or where the user says, and fills it in to be gone on with. */
export async function beginFile(client: BaseLanguageClient | undefined, kind: NewFileParams['kind']): Promise<void> {
  if (!client?.isRunning()) return;
  const suffix = `.${kind}.yaml`;
  const name = await window.showInputBox({
    title: kind === 'board' ? 'Describe a new board' : 'Describe a new chip',
    prompt: `A short name: the file will be called name${suffix}`,
    ignoreFocusOut: true,
    placeHolder: kind === 'board' ? 'audio-guide' : 'as printed on the chip',
    validateInput: (typed) => (/[\\/:*?"<>|]/.test(typed) ? 'A file name has none of \\ / : * ? " < > |' : undefined),
  });
  const stem = name?.trim().replace(/(\.(board|pinout))?(\.ya?ml)?$/i, '');
  if (!stem) return;
  const { snippet } = await client.sendRequest<NewFileResult>(newFile, { kind, name: stem } satisfies NewFileParams);
  const folder = folderInFront() ?? (await pickFolder(stem + suffix));
  const document = folder
    ? await made(Uri.joinPath(folder, stem + suffix))
    : await workspace.openTextDocument({ language: `buzzout-${kind}` });
  const editor = await window.showTextDocument(document, { preview: false });
  // A file that was there already is opened as it is.
  if (document.getText() === '') await editor.insertSnippet(new SnippetString(snippet));
}

/** The folder of the file in front, else the first of the workspace; none where no folder is open. */
function folderInFront(): Uri | undefined {
  const front = window.activeTextEditor?.document.uri;
  if (front && workspace.getWorkspaceFolder(front)) return Uri.joinPath(front, '..');
  return workspace.workspaceFolders?.[0]?.uri;
}

/** A name without a folder would be lost in a file that has none yet. */
async function pickFolder(name: string): Promise<Uri | undefined> {
  const [picked] =
    (await window.showOpenDialog({
      title: `A folder for ${name}`,
      openLabel: 'Keep it here',
      canSelectFolders: true,
      canSelectFiles: false,
    })) ?? [];
  return picked;
}

async function made(uri: Uri) {
  try {
    await workspace.fs.stat(uri);
  } catch (error) {
    if (!(error instanceof FileSystemError)) throw error;
    await workspace.fs.writeFile(uri, new Uint8Array());
  }
  return workspace.openTextDocument(uri);
}
