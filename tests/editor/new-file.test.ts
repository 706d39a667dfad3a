import { expect, test } from 'vitest';
import { newFile } from '../../server/src/editor/snippets';
import { analyseBoard, analysePinout } from '../harness/memory';

/** The text once every place is left as it was proposed. */
const filled = (snippet: string) => snippet.replace(/\$\{\d:((?:\\.|[^}])*)\}|\$\d/g, (_, text) => text ?? '');

test('a new pinout, left as proposed, is a pinout with nothing against it', async () => {
  const text = filled(newFile('pinout', 'xq7'));
  const { pinout, findings } = await analysePinout(text);
  expect(pinout?.name).toBe('xq7');
  expect(findings.map((finding) => finding.message)).toEqual([]);
});

test('a new board, left as proposed, is a board with nothing against it', async () => {
  const { board, findings } = await analyseBoard(filled(newFile('board', 'audio-guide')));
  expect(board.title?.text ?? board.title).toContain('audio-guide');
  expect(findings.map((finding) => finding.message)).toEqual([]);
});

test('a name with signs of the snippet language stands as it is', () => {
  expect(newFile('board', 'a}b$1')).toMatch(/^board: \$\{1:a\\}b\\\$1\}$/m);
});
