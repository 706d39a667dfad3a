import type { Finding } from '../../server/src/text/finding';
import { sameThread } from '../../server/src/workspace/compute';
import { Workspace } from '../../server/src/workspace/workspace';
import { bench, benchFolder, MemoryFiles, uriOf } from '../harness/memory';
import { sheets } from './sheets';

type Contents = Readonly<Record<string, string | Uint8Array>>;

/** The data sheets of the corpus as files. */
export const pinouts = Object.fromEntries(Object.entries(sheets).map(([name, text]) => [`${name}.pinout.yaml`, text]));

const says = (findings: readonly Finding[]) =>
  findings.map((finding) => `${finding.severity} ${finding.check}: ${finding.message}`);

/** Check and message of everything found on a board. */
export async function findingsOf(text: string, files: Contents = {}) {
  const { workspace } = bench({ ...pinouts, ...files, 'a.board.yaml': text });
  return says((await workspace.settled(uriOf('a.board.yaml'))).findings);
}

/** As `findingsOf`, without the checks that reason about the whole board, which cost most. */
export const plainFindingsOf = async (text: string, files: Contents = {}) =>
  says(await plainlyFound({ ...pinouts, ...files, 'a.board.yaml': text }, 'a.board.yaml'));

/** What is found on one of some files, but for what the reasoning checks would find. */
export async function plainlyFound(files: Contents, name: string): Promise<readonly Finding[]> {
  const memory = new MemoryFiles();
  for (const [file, content] of Object.entries(files)) memory.set(uriOf(file), content);
  const compute = sameThread(memory);
  const measuring: typeof compute = (task, control) =>
    task.kind === 'reason' ? Promise.resolve([] as never) : compute(task, control);
  return (await new Workspace(memory, measuring, [benchFolder]).settled(uriOf(name))).findings;
}
