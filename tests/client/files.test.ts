import { beforeEach, expect, test, vi } from 'vitest';
import { findFiles, readFile, statFile } from '../../server/src/messages';

/** A file system in memory under the editor's interface: a Map of path → bytes, or null for a folder. */
const disk = vi.hoisted(() => new Map<string, Uint8Array | null>());

vi.mock('vscode', () => {
  class FileSystemError extends Error {
    constructor(readonly code: string) {
      super(code);
    }
  }
  const FileType = { File: 1, Directory: 2, SymbolicLink: 64 };
  const uri = (path: string) => ({ path, toString: () => `mem:${path}` });
  const entry = (path: string) => {
    const found = disk.get(path);
    if (found === undefined) throw new FileSystemError('FileNotFound');
    return found;
  };
  const fs = {
    stat: async ({ path }: { path: string }) => {
      const found = entry(path);
      return { type: found ? FileType.File : FileType.Directory, size: found?.length ?? 0, mtime: 7 };
    },
    readFile: async ({ path }: { path: string }) => entry(path),
    readDirectory: async ({ path }: { path: string }) => {
      if (path.endsWith('/locked')) throw new FileSystemError('NoPermissions');
      const inside = [...disk].filter(([name]) => name.slice(0, name.lastIndexOf('/')) === path);
      return inside.map(([name, found]) => {
        const type = found ? FileType.File : FileType.Directory;
        return [name.slice(path.length + 1), name.endsWith('/link') ? type | FileType.SymbolicLink : type];
      });
    },
  };
  return {
    FileSystemError,
    FileType,
    Uri: {
      parse: (text: string) => uri(text.replace('mem:', '')),
      joinPath: (base: { path: string }, name: string) => uri(`${base.path}/${name}`),
    },
    workspace: { fs },
  };
});

const { serveFiles } = await import('../../client/src/files');
type Handler = (params: object) => Promise<unknown>;
const handlers = new Map<string, Handler>();
const ask = (method: string, params: object) => handlers.get(method)!(params);

beforeEach(() => {
  disk.clear();
  serveFiles({ onRequest: (method: string, handler: Handler) => handlers.set(method, handler) } as never);
});

test('a file has a size and a time, a folder is one, and nothing is null', async () => {
  disk.set('/w', null).set('/w/a.wav', new Uint8Array(5));
  expect(await ask(statFile, { uri: 'mem:/w/a.wav' })).toEqual({ kind: 'file', size: 5, modified: 7 });
  expect(await ask(statFile, { uri: 'mem:/w' })).toMatchObject({ kind: 'folder' });
  expect(await ask(statFile, { uri: 'mem:/w/b.wav' })).toBeNull();
});

test('a file comes whole, or is refused with the reason', async () => {
  const bytes = new Uint8Array([1, 2, 3]);
  disk.set('/w', null).set('/w/a.wav', bytes);
  expect(await ask(readFile, { uri: 'mem:/w/a.wav', limit: 3 })).toEqual({ bytes });
  expect(await ask(readFile, { uri: 'mem:/w/a.wav', limit: 2 })).toMatchObject({ failed: 'too-large', size: 3 });
  expect(await ask(readFile, { uri: 'mem:/w', limit: 9 })).toMatchObject({ failed: 'folder' });
  expect(await ask(readFile, { uri: 'mem:/w/b.wav', limit: 9 })).toMatchObject({ failed: 'absent' });
});

test('a search walks folders, not links, hidden ones or installed packages, and sorts what it finds', async () => {
  const bytes = new Uint8Array(1);
  disk.set('/w', null).set('/w/z.pinout.yaml', bytes).set('/w/deep', null).set('/w/deep/A.PINOUT.yaml', bytes);
  disk.set('/w/.git', null).set('/w/.git/x.pinout.yaml', bytes).set('/w/node_modules', null);
  disk.set('/w/node_modules/x.pinout.yaml', bytes).set('/w/link', null).set('/w/link/x.pinout.yaml', bytes);
  disk.set('/w/locked', null).set('/w/other.yaml', bytes);
  expect(await ask(findFiles, { folder: 'mem:/w', suffixes: ['.pinout.yaml'] })).toEqual({
    uris: ['mem:/w/deep/A.PINOUT.yaml', 'mem:/w/z.pinout.yaml'],
    cut: false,
  });
});

test('a search in a tree without end stops and says so', async () => {
  disk.set('/w', null);
  for (let folder = 0; folder < 2100; folder++) disk.set(`/w/f${folder}`, null);
  expect(await ask(findFiles, { folder: 'mem:/w', suffixes: ['.wav'] })).toEqual({ uris: [], cut: true });
});
