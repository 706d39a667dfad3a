import { expect, test } from 'vitest';
import { sameThread } from '../../server/src/workspace/compute';
import { Workspace } from '../../server/src/workspace/workspace';
import { benchFolder, MemoryFiles, uriOf } from '../harness/memory';
import { sine, wavBytes } from '../harness/wav';

test('of a folder of boards and recordings, an analysis measures those of its own board alone, each once', async () => {
  const bytes = wavBytes([sine(997, 0.25)]);
  const board = (...files: string[]) =>
    `board: x\ncaptures: {${files.map((file, index) => `c${index}: {file: ${file}, channels: {1: OUT}}`).join(', ')}}\n`;
  const files = new MemoryFiles(
    Object.fromEntries(
      Object.entries({
        'healthy.board.yaml': board('healthy.wav'),
        'hollow.board.yaml': board('hollow.wav', 'hollow.wav', 'sub/again.wav'),
        'healthy.wav': bytes,
        'hollow.wav': bytes,
        'sub/again.wav': bytes,
        'unused.wav': bytes,
      }).map(([name, content]) => [uriOf(name), content]),
    ),
  );
  const measured: string[] = [];
  const here = sameThread(files);
  const workspace = new Workspace(
    files,
    (task, control) => {
      if (task.kind === 'measure') measured.push(task.uri);
      return here(task, control);
    },
    [benchFolder],
  );
  await workspace.settled(uriOf('hollow.board.yaml'));
  expect(measured).toEqual([uriOf('hollow.wav'), uriOf('sub/again.wav')]);
  await workspace.recordingsNear(uriOf('hollow.board.yaml'));
  await workspace.settled(uriOf('hollow.board.yaml'));
  expect(measured).toHaveLength(2);
});
