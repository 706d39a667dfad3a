import type { Analysis, BoardAnalysis, PinoutAnalysis } from '../../server/src/editor/analysis';
import { sameThread } from '../../server/src/workspace/compute';
import type { FileStat, Files } from '../../server/src/workspace/files';
import { Workspace } from '../../server/src/workspace/workspace';

/** Folder in which `bench` puts files that are named by no URI. */
export const benchFolder = 'file:///bench/';

/** Files that live in memory: URI → text or bytes. */
export class MemoryFiles implements Files {
  readonly ranges = true;
  private readonly contents = new Map<string, Uint8Array>();
  private readonly versions = new Map<string, number>();

  constructor(files: Readonly<Record<string, string | Uint8Array>> = {}) {
    for (const [uri, content] of Object.entries(files)) this.set(uri, content);
  }

  set(uri: string, content: string | Uint8Array): void {
    this.contents.set(uri, typeof content === 'string' ? new TextEncoder().encode(content) : content);
    this.versions.set(uri, (this.versions.get(uri) ?? 0) + 1);
  }

  remove(uri: string): void {
    this.contents.delete(uri);
  }

  async stat(uri: string): Promise<FileStat | undefined> {
    const content = this.contents.get(uri);
    if (content) return { kind: 'file', size: content.length, version: String(this.versions.get(uri)) };
    const inside = [...this.contents.keys()].some((other) => other.startsWith(uri.endsWith('/') ? uri : `${uri}/`));
    return inside ? { kind: 'folder', size: 0, version: '' } : undefined;
  }

  async find(folder: string, suffixes: readonly string[]): Promise<readonly string[]> {
    return [...this.contents.keys()]
      .filter((uri) => uri.startsWith(folder) && suffixes.some((suffix) => uri.toLowerCase().endsWith(suffix)))
      .sort();
  }

  async read(uri: string, from = 0, to?: number): Promise<Uint8Array> {
    const content = this.contents.get(uri);
    if (!content) throw new Error('there is no such file');
    return content.subarray(from, to);
  }
}

/** A workspace of files in memory; names without a scheme lie in the bench folder. */
export function bench(files: Readonly<Record<string, string | Uint8Array>>): {
  readonly workspace: Workspace;
  readonly files: MemoryFiles;
} {
  const memory = new MemoryFiles();
  for (const [name, content] of Object.entries(files)) memory.set(uriOf(name), content);
  return { workspace: new Workspace(memory, sameThread(memory), [benchFolder]), files: memory };
}

export const uriOf = (name: string): string => (name.includes('://') ? name : benchFolder + name);

/** The settled analysis of one of some texts. */
export const analyse = (files: Readonly<Record<string, string | Uint8Array>>, name: string): Promise<Analysis> =>
  bench(files).workspace.settled(uriOf(name));

export async function analyseBoard(
  text: string,
  others: Readonly<Record<string, string | Uint8Array>> = {},
): Promise<BoardAnalysis> {
  const found = await analyse({ ...others, 'a.board.yaml': text }, 'a.board.yaml');
  if (found.kind !== 'board') throw new Error(`not a board: ${found.findings[0]?.message}`);
  return found;
}

export async function analysePinout(text: string): Promise<PinoutAnalysis> {
  const found = await analyse({ 'a.pinout.yaml': text }, 'a.pinout.yaml');
  if (found.kind !== 'pinout') throw new Error(`not a pinout: ${found.findings[0]?.message}`);
  return found;
}
