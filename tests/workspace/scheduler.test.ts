import { expect, test } from 'vitest';
import type { Analysis } from '../../server/src/editor/analysis';
import { Scheduler } from '../../server/src/workspace/scheduler';
import type { Analysed } from '../../server/src/workspace/workspace';

/** A promise that is kept by hand. */
function later<T>(): { promise: Promise<T>; keep: (value: T) => void } {
  let keep: (value: T) => void = () => {};
  const promise = new Promise<T>((resolve) => {
    keep = resolve;
  });
  return { promise, keep };
}

const analysis = (text: string, settled = true) => ({ kind: 'failed', uri: 'a', text, settled }) as unknown as Analysis;
const turn = () => new Promise((resolve) => setImmediate(resolve));

function desk() {
  const told: string[] = [];
  const pauses: (() => void)[] = [];
  const asked: { promise: Promise<Analysed>; keep: (value: Analysed) => void }[] = [];
  const scheduler = new Scheduler(
    () => {
      const one = later<Analysed>();
      asked.push(one);
      return one.promise;
    },
    (found) => void told.push(found.text),
    () => new Promise<void>((resolve) => pauses.push(resolve)),
  );
  const quiet = async () => {
    for (const end of pauses.splice(0)) end();
    await turn();
  };
  return { told, asked, scheduler, quiet };
}

test('many keystrokes are one analysis', async () => {
  const { told, asked, scheduler, quiet } = desk();
  scheduler.touch('a');
  scheduler.touch('a');
  scheduler.touch('a');
  await quiet();
  expect(asked).toHaveLength(1);
  asked[0]!.keep({ now: analysis('third'), later: null });
  await turn();
  expect(told).toEqual(['third']);
});

test('a result that a newer change has overtaken is dropped, whichever finishes first', async () => {
  const { told, asked, scheduler, quiet } = desk();
  scheduler.touch('a');
  await quiet();
  scheduler.touch('a');
  await quiet();
  asked[1]!.keep({ now: analysis('new'), later: null });
  await turn();
  asked[0]!.keep({ now: analysis('old'), later: null });
  await turn();
  expect(told).toEqual(['new']);
});

test('slow work is told when it is done, and not at all once the text has moved on', async () => {
  const { told, asked, scheduler, quiet } = desk();
  const slow = later<Analysis>();
  scheduler.touch('a');
  await quiet();
  asked[0]!.keep({ now: analysis('quick', false), later: slow.promise });
  await turn();
  expect(told).toEqual(['quick']);
  slow.keep(analysis('all'));
  await turn();
  expect(told).toEqual(['quick', 'all']);

  const stale = later<Analysis>();
  scheduler.touch('a');
  await quiet();
  asked[1]!.keep({ now: analysis('quick again', false), later: stale.promise });
  await turn();
  scheduler.touch('a');
  stale.keep(analysis('too late'));
  await turn();
  expect(told).toEqual(['quick', 'all', 'quick again']);
});

test('a file that was closed is told nothing any more', async () => {
  const { told, asked, scheduler, quiet } = desk();
  scheduler.touch('a');
  await quiet();
  scheduler.drop('a');
  asked[0]!.keep({ now: analysis('gone'), later: null });
  await turn();
  expect(told).toEqual([]);
});

test('a question in a hurry shares the analysis that is under way', async () => {
  const { asked, scheduler } = desk();
  scheduler.touch('a');
  const first = scheduler.current('a');
  const second = scheduler.current('a');
  asked[0]!.keep({ now: analysis('now'), later: null });
  expect((await first).text).toBe('now');
  expect((await second).text).toBe('now');
  expect(asked).toHaveLength(1);
});

test('what recordings show is told before what is reasoned from them, and answers questions meanwhile', async () => {
  const { told, asked, scheduler, quiet } = desk();
  const soon = later<Analysis>();
  const all = later<Analysis>();
  scheduler.touch('a');
  await quiet();
  asked[0]!.keep({ now: analysis('now', false), soon: soon.promise, later: all.promise });
  await turn();
  expect(told).toEqual(['now']);
  soon.keep(analysis('measured', false));
  await turn();
  expect(told).toEqual(['now', 'measured']);
  expect((await scheduler.current('a')).text).toBe('measured');
  all.keep(analysis('reasoned'));
  await turn();
  expect(told).toEqual(['now', 'measured', 'reasoned']);
  expect((await scheduler.settled('a')).text).toBe('reasoned');
});

test('measured figures that a keystroke has overtaken are dropped, and nothing is reasoned from them', async () => {
  const { told, asked, scheduler, quiet } = desk();
  const soon = later<Analysis>();
  let reasoned = false;
  scheduler.touch('a');
  await quiet();
  asked[0]!.keep({
    now: analysis('now', false),
    soon: soon.promise,
    get later() {
      reasoned = true;
      return null;
    },
  });
  await turn();
  scheduler.touch('a');
  soon.keep(analysis('late', false));
  await turn();
  expect(told).toEqual(['now']);
  expect(reasoned).toBe(false);
});
