import type { Diagnostic } from 'vscode-languageserver';

/**
 * The few messages of our own between server and client, beside the protocol's. A server in a web worker has no disk: it asks
 * the client, whose channel to it copies plain values and byte arrays as they are. The Node server reads the disk itself.
 */

export const statFile = 'buzzout/files/stat';
export const readFile = 'buzzout/files/read';
export const findFiles = 'buzzout/files/find';

export interface StatParams {
  readonly uri: string;
}

/** `size` in bytes, `modified` in milliseconds since 1970 where the file system knows it, else 0. Null: nothing there. */
export type StatResult = { readonly kind: 'file' | 'folder'; readonly size: number; readonly modified: number } | null;

/** Web file systems know no ranges: a file comes whole, or not at all when it has more than `limit` bytes. */
export interface ReadParams {
  readonly uri: string;
  readonly limit: number;
}

export type ReadFailure = 'absent' | 'folder' | 'too-large' | 'unreadable';

export type ReadResult =
  | { readonly bytes: Uint8Array }
  | { readonly failed: ReadFailure; readonly size: number; readonly message: string };

/** Files in a folder and below whose path ends in one of the suffixes (case ignored); hidden folders are passed over. */
export interface FindParams {
  readonly folder: string;
  readonly suffixes: readonly string[];
}

/** URIs, sorted; `cut` when the tree was too large to be walked to its end. */
export interface FindResult {
  readonly uris: readonly string[];
  readonly cut: boolean;
}

/** What a new file starts with: a snippet as editors take it, its places to fill numbered from 1. */
export const newFile = 'buzzout/file/new';

export interface NewFileParams {
  readonly kind: 'board' | 'pinout';
  /** What the file is to be called, without folder and suffix. */
  readonly name: string;
}

export interface NewFileResult {
  readonly snippet: string;
}

/** Entries for recordings laid into an open board. */
export const newCaptures = 'buzzout/captures/new';

export interface NewCapturesParams {
  readonly uri: string;
  /** Relative to the board, with slashes. */
  readonly paths: readonly string[];
}

/** Text to be put in at a line and character, both from 0. */
export interface NewCapturesResult {
  readonly edits: readonly { readonly line: number; readonly character: number; readonly text: string }[];
}

/** A page about an open board, to be read beside it. */
export const page = 'buzzout/page';

export type PageKind = 'measure' | 'diagnose' | 'copper-map';

export interface PageParams {
  readonly uri: string;
  readonly kind: PageKind;
  /** What is measured: the name of a capture. */
  readonly capture?: string;
}

/** Null where the board cannot be read, or has no such capture. */
export type PageResult = { readonly markdown: string } | null;

/** The captures of an open board that name a file. */
export const captureNames = 'buzzout/captures/names';

export interface CaptureNamesParams {
  readonly uri: string;
}

export interface CaptureNamesResult {
  readonly names: readonly string[];
}

/** Every board of the workspace, sorted; and what one of them comes to, its recordings measured. */
export const listBoards = 'buzzout/boards';
export const checkBoard = 'buzzout/board/check';

export interface ListBoardsResult {
  readonly uris: readonly string[];
}

export interface CheckBoardParams {
  readonly uri: string;
}

export interface CheckBoardResult {
  /** Its findings as the protocol has them. */
  readonly diagnostics: readonly Diagnostic[];
}
