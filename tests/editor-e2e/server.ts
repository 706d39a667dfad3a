import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A web server of an editor, up and answering. */
export interface Server {
  readonly base: string;
  readonly log: () => string;
  readonly stop: () => Promise<void>;
}

export interface Launch {
  readonly command: string;
  readonly args: readonly string[];
  readonly port: number;
  /** What answers with success once the server is ready. */
  readonly health: string;
  readonly env?: NodeJS.ProcessEnv;
  /** Removed when the server has stopped. */
  readonly folder: string;
}

export const freshFolder = (kind: string): string => mkdtempSync(join(tmpdir(), `buzzout-${kind}-`));

export const freePort = (): Promise<number> =>
  new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(0, '127.0.0.1', () => {
      const address = probe.address();
      probe.close(() =>
        address && typeof address === 'object' ? resolve(address.port) : reject(new Error('no port')),
      );
    });
  });

/** Starts a server in a process group of its own, since it has children, and waits until it answers. */
export async function launch({ command, args, port, health, env, folder }: Launch): Promise<Server> {
  const child = spawn(command, args, { env, cwd: folder, stdio: ['ignore', 'pipe', 'pipe'], detached: true });
  let log = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (data) => (log += data));
  const stop = async () => {
    await end(child);
    rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 200 });
  };
  const base = `http://127.0.0.1:${port}`;
  for (let tries = 0; !(await answers(base + health)); tries++) {
    if (child.exitCode !== null || tries > 300) {
      await stop();
      throw new Error(`${command} did not start:\n${log}`);
    }
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
  return { base, log: () => log, stop };
}

async function answers(url: string): Promise<boolean> {
  try {
    return (await fetch(url)).ok;
  } catch {
    return false;
  }
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null || !child.pid) return;
  const gone = new Promise((resolve) => child.once('exit', resolve));
  process.kill(-child.pid, 'SIGTERM');
  await gone;
}
