import { join, relative, resolve, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { diskFiles, writeToDisk } from '../../server/src/cli/disk';
import { runCommandLine } from '../../server/src/cli/main';
import { sameThread } from '../../server/src/workspace/compute';

export interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

/** Runs one command line in this process, as if called in `folder`. */
export async function buzzout(folder: string, args: readonly string[], input: string | Uint8Array = ''): Promise<Ran> {
  let out = '';
  let err = '';
  const status = await runCommandLine(args, {
    files: diskFiles,
    compute: sameThread(diskFiles),
    folder: pathToFileURL(join(folder, sep)).href,
    version: '0.0.0',
    colour: false,
    columns: undefined,
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    standardInput: async () => (typeof input === 'string' ? new TextEncoder().encode(input) : input),
    write: writeToDisk,
    toUri: (path) => pathToFileURL(resolve(folder, path)).href,
    toPath: (uri) => relative(folder, fileURLToPath(uri)),
  });
  return { status, out, err };
}
