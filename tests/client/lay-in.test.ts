import { expect, test, vi } from 'vitest';
import type { Uri } from 'vscode';

vi.mock('vscode', () => ({}));
const { pathFrom } = await import('../../client/src/lay-in');

const uri = (path: string, scheme = 'file', authority = '') => ({ scheme, authority, path }) as Uri;

test('a recording is named from its board', () => {
  const board = uri('/bench/guide/main.board.yaml');
  expect(pathFrom(board, uri('/bench/guide/tone.wav'))).toBe('tone.wav');
  expect(pathFrom(board, uri('/bench/guide/takes/a b.CSV'))).toBe('takes/a b.CSV');
  expect(pathFrom(board, uri('/bench/shared/tone.wav'))).toBe('../shared/tone.wav');
  expect(pathFrom(board, uri('/tone.wav'))).toBe('../../tone.wav');
  expect(pathFrom(board, uri('/bench/guide-2/tone.wav'))).toBe('../guide-2/tone.wav');
});

test('what is no recording, or lies on another file system, has no path', () => {
  const board = uri('/bench/main.board.yaml');
  expect(pathFrom(board, uri('/bench/photo.jpg'))).toBeUndefined();
  expect(pathFrom(board, uri('/bench/tone.wav', 'memfs'))).toBeUndefined();
  expect(pathFrom(board, uri('/bench/tone.wav', 'file', 'server'))).toBeUndefined();
});
