import { spawnSync } from 'node:child_process';

/** Installs Debian packages; without the rights or the tools for it, says what to type and ends the process with status 1. */
export function aptInstall(packages: readonly string[]): void {
  const line = `apt-get install -y --no-install-recommends ${packages.join(' ')}`;
  if (spawnSync('apt-get', ['--version']).status !== 0)
    stop(`No apt-get here. Install what these Debian packages hold: ${packages.join(' ')}`);
  if (process.getuid?.() !== 0) stop(`Not root. Type: sudo ${line}`);
  console.log(line);
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const apt = (args: string[]) =>
    spawnSync('apt-get', args, { env, stdio: ['ignore', 'ignore', 'inherit'] }).status === 0;
  const install = () => apt(line.split(' ').slice(1));
  // Lists of packages may be absent or old on a bare machine: fetch them, then once more where a mirror stumbled.
  if (!(apt(['update', '-qq']) && install()) && !(apt(['update', '-qq']) && install())) stop(`Failed: ${line}`);
}

function stop(message: string): never {
  console.error(message);
  process.exit(1);
}
