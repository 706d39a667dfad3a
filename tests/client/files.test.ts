import { beforeEach, expect, test, vi } from 'vitest';
import { findFiles, readFile, statFile } from '../../server/src/messages';

/** A file system in memory under the editor's interface: a Map of path → bytes, or null for a folder. */
const disk = vi.hoisted(() => new Map<string, Uint8Array | null>());
const trust = vi.hoisted(() => ({ given: true }));

vi.mock('vscode', () => {
  class FileSystemError extends Error {
    constructor(readonly code: string) {
      super(code);
    }
  }
  const FileType = { File: 1, Directory: 2, SymbolicLink: 64 };
  const uri = (path: string): object => ({
    path,
    toString: () => `mem:${path}`,
    with: (change: { path: string }) => uri(change.path),
  });
  const linked = (path: string, type: number) => (path.endsWith('link') ? type | FileType.SymbolicLink : type);
  const entry = (path: string) => {
    const found = disk.get(path);
    if (found === undefined) throw new FileSystemError('FileNotFound');
    return found;
  };
  const fs = {
    stat: async ({ path }: { path: string }) => {
      const found = entry(path);
      const type = linked(path, found ? FileType.File : FileType.Directory);
      return { type, size: found?.length ?? 0, mtime: 7 };
    },
    readFile: async ({ path }: { path: string }) => entry(path),
    readDirectory: async ({ path }: { path: string }) => {
      if (path.endsWith('/locked')) throw new FileSystemError('NoPermissions');
      const inside = [...disk].filter(([name]) => name.slice(0, name.lastIndexOf('/')) === path);
      return inside.map(([name, found]) => {
        const type = found ? FileType.File : FileType.Directory;
        return [name.slice(path.length + 1), linked(name, type)];
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
    workspace: {
      fs,
      get isTrusted() {
        return trust.given;
      },
      getWorkspaceFolder: () => ({ uri: uri('/w') }),
    },
  };
});

const { serveFiles } = await import('../../client/src/files');
type Handler = (params: object) => Promise<unknown>;
const handlers = new Map<string, Handler>();
const ask = (method: string, params: object) => handlers.get(method)!(params);

beforeEach(() => {
  disk.clear();
  trust.given = true;
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

test('in a workspace that is not trusted nothing is read over a link, be it the file or a folder above it', async () => {
  const bytes = new Uint8Array(1);
  disk.set('/w', null).set('/w/link', null).set('/w/link/a.wav', bytes).set('/w/b-link', bytes).set('/w/c.wav', bytes);
  disk.set('/w/deep', null).set('/w/deep/d.wav', bytes);
  const uris = ['mem:/w/link/a.wav', 'mem:/w/b-link', 'mem:/w/c.wav', 'mem:/w/deep/d.wav'];
  const seen = () => Promise.all(uris.map(async (uri) => (await ask(statFile, { uri })) !== null));
  const read = () =>
    Promise.all(uris.map(async (uri) => 'bytes' in ((await ask(readFile, { uri, limit: 9 })) as object)));
  expect([await seen(), await read()]).toEqual([Array(4).fill(true), Array(4).fill(true)]);
  trust.given = false;
  expect([await seen(), await read()]).toEqual(Array(2).fill([false, false, true, true]));
});
