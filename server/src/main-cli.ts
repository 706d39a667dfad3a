import { join, relative, resolve, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { version } from '../../package.json';
import { diskFiles, writeToDisk } from './cli/disk';
import { runCommandLine } from './cli/main';
import type { Surroundings } from './cli/verb';
import { sameThread } from './workspace/compute';

async function standardInput(): Promise<Uint8Array> {
  const chunks: Buffer[] = [];
  for await (const chunk of process.stdin) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}

const here = process.cwd();
const around: Surroundings = {
  files: diskFiles,
  compute: sameThread(diskFiles),
  folder: pathToFileURL(`${here}${sep}`).href,
  version,
  colour: process.stdout.isTTY === true && !process.env.NO_COLOR,
  columns: process.stdout.isTTY ? process.stdout.columns : undefined,
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
  standardInput,
  write: writeToDisk,
  toUri: (path) => pathToFileURL(resolve(here, path)).href,
  toPath: (uri) => {
    const path = fileURLToPath(uri);
    const short = relative(here, path);
    return short === '' || short.startsWith('..') ? path : short;
  },
};

const args = process.argv.slice(2);
if (args[0] === 'server') {
  // The server is a bundle of its own, so that the command line stays quick to start.
  process.argv = [process.argv[0]!, process.argv[1]!, ...args.slice(1)];
  require(join(__dirname, 'server.cjs'));
} else {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    // A reader that went away (head, less) is no fault.
    if (error.code === 'EPIPE') process.exit(0);
    throw error;
  });
  runCommandLine(args, around).then(
    (status) => {
      process.exitCode = status;
    },
    (error: unknown) => {
      process.stderr.write(`buzzout: a fault of its own: ${error instanceof Error ? error.stack : String(error)}\n`);
      process.exitCode = 2;
    },
  );
}
