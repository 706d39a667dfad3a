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

/** A compute whose tasks end when told to, and that says which were called off. */
function held() {
  const jobs: { text: string; cancelled: () => boolean; end: (findings: Finding[]) => void }[] = [];
  const compute = ((asked: ReasonTask, { cancelled }: { cancelled(): boolean }) =>
    new Promise((resolve) => jobs.push({ text: asked.text, cancelled, end: resolve }))) as unknown as Compute;
  return { jobs, compute };
}

test('reasoning that a change overtakes is called off, and comes too late for anything', async () => {
  const { jobs, compute } = held();
  const reasoning = new Reasoning(compute);
  const first = reasoning.later(task('board: a\n'));
  const again = reasoning.later(task('board: a\n'));
  expect(jobs).toHaveLength(1);
  const second = reasoning.later(task('board: ab\n'));
  expect(jobs.map(({ cancelled }) => cancelled())).toEqual([true, false]);
  jobs[1]!.end([finding(0, 5)]);
  expect(await second).toHaveLength(1);
  jobs[0]!.end([finding(0, 5), finding(7, 8)]);
  expect(await first).toEqual([]);
  expect(await again).toEqual([]);
  expect(reasoning.now(task('board: ab\n'))).toMatchObject({ exact: true, findings: [{ check: 'cause-likely' }] });
});

test('a board that is looked at no more is not reasoned about to the end', async () => {
  const { jobs, compute } = held();
  const reasoning = new Reasoning(compute);
  const asked = reasoning.later(task('board: a\n'));
  reasoning.forget('a');
  expect(jobs[0]!.cancelled()).toBe(true);
  jobs[0]!.end([finding(0, 5)]);
  expect(await asked).toEqual([]);
  expect(reasoning.now(task('board: a\n')).exact).toBe(false);
});

test('what the user stops keeps what was known, and is not begun again before something changes', async () => {
  const { jobs, compute } = held();
  const said: string[] = [];
  let stop = false;
  const reasoning = new Reasoning(compute, (what, work) => {
    said.push(`${work} ${what}`);
    return { cancelled: () => stop, progress: () => {}, over: () => said.push('over') };
  });
  const first = reasoning.later(task('board: a\n'));
  jobs[0]!.end([finding(0, 5)]);
  await first;
  const second = reasoning.later(task('board: a\nnets:\n'));
  stop = true;
  expect(jobs[1]!.cancelled()).toBe(true);
  jobs[1]!.end([]);
  expect(await second).toHaveLength(1);
  expect(reasoning.now(task('board: a\nnets:\n'))).toMatchObject({ exact: true });
  expect(said).toEqual(['reasoning a', 'over', 'reasoning a', 'over']);
  stop = false;
  void reasoning.later(task('board: a\nnets: {}\n'));
  expect(jobs).toHaveLength(3);
});
