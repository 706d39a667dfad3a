import { expect, test } from 'vitest';
import { fixAll, quickFixes } from '../../server/src/editor/actions';
import { diagnostics, shown } from '../../server/src/editor/diagnostics';
import { analyse, analyseBoard } from '../harness/memory';
import { covered } from './at';

test('a finding becomes a diagnostic with its code, place and fixes', async () => {
  const analysis = await analyseBoard('board: x\nnets: {A: {rolle: ground}}\n');
  expect(diagnostics(analysis)).toMatchObject([
    { code: 'unknown-key', severity: 'error', unnecessary: false, data: { check: 'unknown-key', fixes: 1 } },
  ]);
  expect(covered(analysis.text, diagnostics(analysis)[0]!.span)).toBe('rolle');
});

test('related places come along, each once and never the finding itself', async () => {
  const analysis = await analyseBoard('board: x\nnets: {A: {}, A: {}}\n');
  const [found] = diagnostics(analysis);
  expect(found?.code).toBe('duplicate-name');
  expect(found?.related.map(({ place }) => covered(analysis.text, place.span))).toEqual(['A']);
  expect(found?.related[0]?.place.span).not.toEqual(found?.span);
});

test('a file that cannot be read has one diagnostic at its head', async () => {
  const analysis = await analyse({}, 'gone.board.yaml');
  expect(diagnostics(analysis)).toMatchObject([{ code: 'missing-file', span: { start: 0, end: 0 } }]);
});

test('a squiggle can be seen and stays on its line', () => {
  expect(shown({ start: 3, end: 3 }, 'abc\ndef')).toEqual({ start: 2, end: 3 });
  expect(shown({ start: 1, end: 1 }, 'abc')).toEqual({ start: 1, end: 2 });
  expect(shown({ start: 1, end: 6 }, 'abc\ndef')).toEqual({ start: 1, end: 3 });
  expect(shown({ start: 0, end: 0 }, '')).toEqual({ start: 0, end: 0 });
  expect(shown({ start: 50, end: 60 }, 'abc')).toEqual({ start: 2, end: 3 });
});

test('the fixes at a place are those of the findings there', async () => {
  const analysis = await analyseBoard('board: x\nnets: {A: {rolle: ground}, B: {chanel: left}}\n');
  const at = analysis.text.indexOf('rolle') + 2;
  const found = quickFixes(analysis, { start: at, end: at });
  expect(found.map((action) => action.edits.map((edit) => edit.text))).toEqual([['role']]);
  expect(quickFixes(analysis, { start: 0, end: 0 })).toEqual([]);
  expect(quickFixes(analysis, { start: 0, end: analysis.text.length })).toHaveLength(2);
});

test('all safe fixes at once mend the file, and a second time there is nothing left', async () => {
  const text = 'board: x: y\ncomplaint: a: b\n';
  const analysis = await analyseBoard(text);
  const all = fixAll(analysis)!;
  expect(all.safe).toBe(true);
  let mended = text;
  for (const edit of [...all.edits].sort((a, b) => b.span.start - a.span.start))
    mended = mended.slice(0, edit.span.start) + edit.text + mended.slice(edit.span.end);
  expect(mended).toBe('board: "x: y"\ncomplaint: "a: b"\n');
  const again = await analyseBoard(mended);
  expect(again.findings).toEqual([]);
  expect(fixAll(again)).toBeUndefined();
});
