import type { Files } from './files';
import { textLimit } from './files';

/** An open document: what is on the screen counts, not what is on the disk. */
export interface OpenText {
  readonly text: string;
  readonly version: number;
}

export type TextOutcome =
  | { readonly text: string; readonly version: number }
  | { readonly check: 'missing-file' | 'file-unreadable' | 'file-too-large'; readonly message: string };

/** Texts of boards and pinouts: from the editor where open, else from the files. */
export class Texts {
  private readonly open = new Map<string, OpenText>();
  /** What folders held when last looked into: walking them at every keystroke would be felt. */
  private readonly walked = new Map<string, Promise<readonly string[]>>();

  constructor(private readonly files: Files) {}

  set(uri: string, text: string, version: number): void {
    this.open.set(uri, { text, version });
  }

  close(uri: string): void {
    this.open.delete(uri);
  }

  get opened(): readonly string[] {
    return [...this.open.keys()];
  }

  isOpen(uri: string): boolean {
    return this.open.has(uri);
  }

  version(uri: string): number | undefined {
    return this.open.get(uri)?.version;
  }

  /** Files may have come or gone: folders are looked into anew. */
  foldersChanged(): void {
    this.walked.clear();
  }

  async exists(uri: string): Promise<boolean> {
    if (this.open.has(uri)) return true;
    // What may not be looked at may be there: reading it will say why it cannot be read.
    const kind = await this.files.stat(uri).then(
      (stat) => stat?.kind,
      () => 'file' as const,
    );
    return kind === 'file';
  }

  /** Files by suffix below a folder, and open documents there that are not saved yet. */
  async find(folder: string, suffixes: readonly string[]): Promise<readonly string[]> {
    const key = `${folder} ${suffixes.join(' ')}`;
    let walk = this.walked.get(key);
    if (!walk) {
      walk = this.files.find(folder, suffixes);
      this.walked.set(key, walk);
    }
    const found = new Set(await walk);
    for (const uri of this.open.keys())
      if (uri.startsWith(folder) && suffixes.some((suffix) => uri.toLowerCase().endsWith(suffix))) found.add(uri);
    return [...found].sort();
  }

  /** The text of a file, or in words why there is none. */
  async read(uri: string): Promise<TextOutcome> {
    const open = this.open.get(uri);
    if (open) {
      if (open.text.length > textLimit) return tooLarge(open.text.length);
      return open;
    }
    try {
      const stat = await this.files.stat(uri);
      if (!stat) return { check: 'missing-file', message: 'There is no such file.' };
      if (stat.kind === 'folder') return { check: 'file-unreadable', message: 'This is a folder, not a file.' };
      if (stat.size > textLimit) return tooLarge(stat.size);
      const bytes = await this.files.read(uri);
      if (bytes.subarray(0, 8192).includes(0))
        return { check: 'file-unreadable', message: 'This is a binary file, not text.' };
      return { text: new TextDecoder('utf-8').decode(bytes), version: 0 };
    } catch (error) {
      return { check: 'file-unreadable', message: `The file cannot be read: ${(error as Error).message}` };
    }
  }
}

const tooLarge = (size: number): TextOutcome => ({
  check: 'file-too-large',
  message: `The file has ${(size / 1048576).toFixed(1)} MB; a board or pinout may have ${textLimit >> 20} MB.`,
});
