import { FileSystemError, FileType, Uri, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import {
  type FindParams,
  type FindResult,
  findFiles,
  type ReadParams,
  type ReadResult,
  readFile,
  type StatParams,
  type StatResult,
  statFile,
} from '../../server/src/messages';

/** Folders looked into before a search gives up; a bench folder has a few dozen. */
const mostFolders = 2000;

/** Answers the server's questions about files from the editor's file systems, for a server that has no disk. */
export function serveFiles(client: BaseLanguageClient): void {
  client.onRequest<StatResult, void>(statFile, ({ uri }: StatParams) => stat(Uri.parse(uri)));
  client.onRequest<ReadResult, void>(readFile, ({ uri, limit }: ReadParams) => read(Uri.parse(uri), limit));
  client.onRequest<FindResult, void>(findFiles, ({ folder, suffixes }: FindParams) =>
    find(Uri.parse(folder), suffixes),
  );
}

async function stat(uri: Uri): Promise<StatResult> {
  try {
    const { type, size, mtime } = await workspace.fs.stat(uri);
    if (!workspace.isTrusted && (await overLink(uri, type))) return null;
    return { kind: type & FileType.Directory ? 'folder' : 'file', size, modified: mtime };
  } catch {
    return null;
  }
}

/** Whether a link lies on the way from the workspace's folder: in a workspace that is not trusted it may lead anywhere. */
async function overLink(uri: Uri, type: FileType): Promise<boolean> {
  if (type & FileType.SymbolicLink) return true;
  const top = workspace.getWorkspaceFolder(uri)?.uri.path;
  const above = uri.path.slice(0, uri.path.lastIndexOf('/'));
  if (top === undefined || above.length <= top.length) return false;
  const folder = uri.with({ path: above });
  return overLink(folder, (await workspace.fs.stat(folder)).type);
}

async function read(uri: Uri, limit: number): Promise<ReadResult> {
  const known = await stat(uri);
  if (!known && !workspace.isTrusted) return { failed: 'absent', size: 0, message: `${uri.path} is not there` };
  const size = known?.size ?? 0;
  if (known?.kind === 'folder') return { failed: 'folder', size, message: `${uri.path} is a folder` };
  if (size > limit) return { failed: 'too-large', size, message: `${uri.path} has ${size} bytes` };
  try {
    return { bytes: await workspace.fs.readFile(uri) };
  } catch (error) {
    const absent = error instanceof FileSystemError && error.code === 'FileNotFound';
    return { failed: absent ? 'absent' : 'unreadable', size, message: String((error as Error)?.message ?? error) };
  }
}

/** Walks by itself: the editor's own file search finds nothing in folders that only an extension provides. */
async function find(top: Uri, suffixes: readonly string[]): Promise<FindResult> {
  const wanted = suffixes.map((suffix) => suffix.toLowerCase());
  const uris: string[] = [];
  const folders = [top];
  for (let done = 0; done < folders.length && done < mostFolders; done++) {
    const folder = folders[done]!;
    for (const [name, type] of await list(folder)) {
      const uri = Uri.joinPath(folder, name);
      if (type === FileType.Directory) {
        if (!name.startsWith('.') && name !== 'node_modules') folders.push(uri);
      } else if (wanted.some((suffix) => name.toLowerCase().endsWith(suffix))) {
        uris.push(uri.toString());
      }
    }
  }
  return { uris: uris.sort(), cut: folders.length > mostFolders };
}

async function list(folder: Uri): Promise<[string, FileType][]> {
  try {
    return await workspace.fs.readDirectory(folder);
  } catch {
    return [];
  }
}
