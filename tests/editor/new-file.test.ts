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

test('a new board lacks nothing but the pinout of its chip', async () => {
  const text = filled(newFile('board', 'audio-guide'));
  const { board, findings } = await analyseBoard(text, {
    'chip.pinout.yaml': 'pinout: chip\npins: {1: VDD, 2: GND, 3: OUTL}\n',
  });
  expect(board.title?.text ?? board.title).toContain('audio-guide');
  expect(findings.filter((finding) => finding.severity === 'error').map((finding) => finding.message)).toEqual([]);
});

test('a name with signs of the snippet language stands as it is', () => {
  expect(newFile('board', 'a}b$1')).toMatch(/^board: \$\{1:a\\}b\\\$1\}$/m);
});
