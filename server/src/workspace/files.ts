/** What is known of a file without reading it. */
export interface FileStat {
  readonly kind: 'file' | 'folder';
  readonly size: number;
  /** Changes when the content does: size and time of change. */
  readonly version: string;
}

/** The one way files come in. They are named by URI; whoever starts the program injects one: the disk, or on the web the client. */
export interface Files {
  /** Undefined where there is nothing. */
  stat(uri: string): Promise<FileStat | undefined>;
  /** Files in a folder and below whose names end in one of the suffixes, sorted; hidden folders and node_modules are passed over. */
  find(folder: string, suffixes: readonly string[]): Promise<readonly string[]>;
  /** Bytes from `from` to `to` (exclusive), all where they are left out. Rejects with a message fit for a user. */
  read(uri: string, from?: number, to?: number): Promise<Uint8Array>;
  /** Where a file really lies, links followed; undefined where there is nothing. Left out where there are no links. */
  real?(uri: string): Promise<string | undefined>;
  /** Whether `read` can fetch a range; where not, files come whole up to `wholeLimit`. */
  readonly ranges: boolean;
}

/** Most bytes of a board or pinout: common practice, no source. */
export const textLimit = 4 * 1024 * 1024;
/** Most bytes of a recording where it can only be read whole. */
export const wholeLimit = 256 * 1024 * 1024;

/** The URI of a path relative to a file's URI; an absolute path or a URI stands for itself. */
export function resolveUri(base: string, path: string): string {
  if (/^[a-z][a-z0-9+.-]+:\/\//i.test(path)) return path;
  const encoded = path
    .replace(/\\/g, '/')
    .split('/')
    .map((segment) => encodeURIComponent(segment))
    .join('/');
  return new URL(encoded, base).href;
}

/** The folder of a file's URI, with a slash at its end. */
export const folderOf = (uri: string): string => uri.slice(0, uri.lastIndexOf('/') + 1);

/** The last segment of a URI, decoded. */
export function nameOf(uri: string): string {
  const segment = uri.slice(uri.replace(/\/$/, '').lastIndexOf('/') + 1);
  try {
    return decodeURIComponent(segment);
  } catch {
    return segment;
  }
}

export type FileKind = 'board' | 'pinout';

/** What a file is by its name. */
export function kindOf(uri: string): FileKind | undefined {
  if (/\.board\.ya?ml$/i.test(uri)) return 'board';
  if (/\.pinout\.ya?ml$/i.test(uri)) return 'pinout';
  return undefined;
}

export const boardSuffixes = ['.board.yaml', '.board.yml'] as const;
export const pinoutSuffixes = ['.pinout.yaml', '.pinout.yml'] as const;
