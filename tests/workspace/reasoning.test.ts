import { expect, test } from 'vitest';
import type { Finding } from '../../server/src/text/finding';
import type { Compute, ReasonTask } from '../../server/src/workspace/compute';
import { Reasoning } from '../../server/src/workspace/reasoning';

const finding = (start: number, end: number): Finding => ({
  check: 'cause-likely',
  severity: 'info',
  place: { file: 'a', span: { start, end } },
  message: 'm',
  at: [],
  evidence: [],
  figures: {},
  related: [],
  fixes: [],
});
const task = (text: string): ReasonTask => ({
  kind: 'reason',
  uri: 'a',
  text,
  pinouts: [],
  captures: [],
  limits: {},
  told: [],
});

test('what was reasoned stands while new reasoning runs, moved along with the text', async () => {
  let asked = 0;
  const compute = (async () => {
    asked++;
    return [finding(7, 12)];
  }) as unknown as Compute;
  const reasoning = new Reasoning(compute);
  expect(reasoning.now(task('board: title\nnets:\n'))).toEqual({ findings: [], exact: false });
  await reasoning.later(task('board: title\nnets:\n'));
  expect(reasoning.now(task('board: title\nnets:\n')).exact).toBe(true);
  await reasoning.later(task('board: title\nnets:\n'));
  expect(asked).toBe(1);

  const below = reasoning.now(task('board: title\nnets: {}\n'));
  expect(below.exact).toBe(false);
  expect(below.findings[0]!.place.span).toEqual({ start: 7, end: 12 });
  const above = reasoning.now(task('# a comment\nboard: title\nnets:\n'));
  expect(above.findings[0]!.place.span).toEqual({ start: 19, end: 24 });
  const inside = reasoning.now(task('board: tiXtle\nnets:\n'));
  expect(inside.findings).toEqual([]);
});

test('reasoning that dies leaves what was known', async () => {
  let dies = false;
  const compute = (async () => {
    if (dies) throw new Error('the thread ended');
    return [finding(0, 5)];
  }) as unknown as Compute;
  const reasoning = new Reasoning(compute);
  await reasoning.later(task('board: a\n'));
  dies = true;
  expect(await reasoning.later(task('board: a\nparts:\n'))).toHaveLength(1);
});
