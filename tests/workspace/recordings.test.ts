import { expect, test } from 'vitest';
import type { Board } from '../../server/src/board/board';
import type { RecordingFigures } from '../../server/src/signal/figures';
import type { Control } from '../../server/src/signal/source';
import type { Compute, MeasureTask } from '../../server/src/workspace/compute';
import { Recordings } from '../../server/src/workspace/recordings';
import { analyseBoard, MemoryFiles, uriOf } from '../harness/memory';

interface Asked {
  readonly task: MeasureTask;
  readonly control: Control;
  finish(): void;
  stop(): void;
}

/** Recordings whose measuring is done by hand. */
function byHand(follow?: ConstructorParameters<typeof Recordings>[2]) {
  const asked: Asked[] = [];
  const compute = ((task: MeasureTask, control: Control) =>
    new Promise((resolve) => {
      asked.push({
        task,
        control,
        finish: () => resolve({ figures: { rate: asked.length } as unknown as RecordingFigures }),
        stop: () => resolve({ error: 'cancelled', cancelled: true }),
      });
    })) as unknown as Compute;
  const files = new MemoryFiles({ [uriOf('t.wav')]: 'RIFF' });
  return { asked, files, recordings: new Recordings(files, compute, follow) };
}

const boardWith = async (level: string): Promise<Board> =>
  (
    await analyseBoard(
      `board: b\ncaptures:\n  t: {file: t.wav, stimulus: {tone: 997 Hz, side: left, level: ${level}}}\n`,
    )
  ).board;
const turn = () => new Promise((resolve) => setImmediate(resolve));

test('one content asked one way is measured once', async () => {
  const { asked, recordings } = byHand();
  const board = await boardWith('-12 dBFS');
  const first = await recordings.states(board);
  expect([first.settled, first.now.get('t')]).toEqual([false, { is: 'pending' }]);
  await recordings.states(board);
  expect(asked).toHaveLength(1);
  asked[0]!.finish();
  expect((await first.later).get('t')).toMatchObject({ is: 'ready' });
  expect((await recordings.states(board)).settled).toBe(true);
});

test('what was asked by half a word is given up, and does not stand in for what is known', async () => {
  const { asked, recordings } = byHand();
  const whole = await boardWith('-12 dBFS');
  await recordings.states(whole);
  asked[0]!.finish();
  await turn();
  await recordings.states(await boardWith('-1 dBFS'));
  expect(asked[1]!.control.cancelled()).toBe(false);
  await recordings.states(await boardWith('-18 dBFS'));
  expect(asked[1]!.control.cancelled()).toBe(true);
  expect(asked[2]!.control.cancelled()).toBe(false);
  asked[1]!.stop();
  await turn();
  const now = await recordings.states(await boardWith('-18 dBFS'));
  expect(now.now.get('t')).toMatchObject({ is: 'ready', figures: { rate: 1 } });
  // Asked for once more, it is begun anew.
  await recordings.states(await boardWith('-1 dBFS'));
  expect(asked).toHaveLength(4);
});

test('a measurement the user stops is pending and stays so until its file changes', async () => {
  let stops = false;
  const over: string[] = [];
  const { asked, files, recordings } = byHand((what) => ({
    cancelled: () => stops,
    progress: () => {},
    over: () => void over.push(what),
  }));
  const board = await boardWith('-12 dBFS');
  await recordings.states(board);
  stops = true;
  expect(asked[0]!.control.cancelled()).toBe(true);
  asked[0]!.stop();
  await turn();
  expect(over).toEqual(['t.wav']);
  const stopped = await recordings.states(board);
  expect([stopped.settled, stopped.now.get('t')]).toEqual([true, { is: 'pending', stopped: true }]);
  files.set(uriOf('t.wav'), 'RIFFRIFF');
  expect((await recordings.states(board)).settled).toBe(false);
  expect(asked).toHaveLength(2);
});

test('a measurement begun anew at the user’s word', async () => {
  const { asked, recordings } = byHand();
  const board = await boardWith('-12 dBFS');
  await recordings.states(board);
  asked[0]!.stop();
  await turn();
  recordings.forgetStopped();
  await recordings.states(board);
  expect(asked).toHaveLength(2);
});
