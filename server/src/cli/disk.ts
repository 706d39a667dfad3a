import { mkdir, open, readdir, realpath, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { FileStat, Files } from '../workspace/files';

/** Files on the disk. Folders that cannot be read count as empty. */
export const diskFiles: Files = {
  ranges: true,
  async stat(uri): Promise<FileStat | undefined> {
    try {
      const found = await stat(fileURLToPath(uri));
      return {
        kind: found.isDirectory() ? 'folder' : 'file',
        size: found.size,
        version: `${found.mtimeMs} ${found.size}`,
      };
    } catch {
      return undefined;
    }
  },
  async find(folder, suffixes) {
    const found: string[] = [];
    const walk = async (path: string): Promise<void> => {
      const entries = await readdir(path, { withFileTypes: true }).catch(() => []);
      for (const entry of entries) {
        if (entry.isDirectory()) {
          if (!entry.name.startsWith('.') && entry.name !== 'node_modules') await walk(join(path, entry.name));
        } else if (suffixes.some((suffix) => entry.name.toLowerCase().endsWith(suffix)))
          found.push(pathToFileURL(join(path, entry.name)).href);
      }
    };
    try {
      await walk(fileURLToPath(folder));
    } catch {
      return [];
    }
    return found.sort();
  },
  async real(uri) {
    try {
      return pathToFileURL(await realpath(fileURLToPath(uri))).href;
    } catch {
      return undefined;
    }
  },
  async read(uri, from = 0, to) {
    const path = fileURLToPath(uri);
    const file = await open(path);
    try {
      const { size } = await file.stat();
      const wanted = Math.max(0, Math.min(to ?? size, size) - from);
      const bytes = new Uint8Array(wanted);
      let done = 0;
      while (done < wanted) {
        const { bytesRead } = await file.read(bytes, done, wanted - done, from + done);
        if (bytesRead === 0) break;
        done += bytesRead;
      }
      return bytes.subarray(0, done);
    } finally {
      await file.close();
    }
  },
};

/** Writes a file, and the folders above it where they are missing. */
export async function writeToDisk(uri: string, bytes: Uint8Array | string): Promise<void> {
  const path = fileURLToPath(uri);
  await mkdir(dirname(path), { recursive: true });
  await writeFile(path, bytes);
}
