import { expect, test } from 'vitest';
import { sameThread } from '../../server/src/workspace/compute';
import { Workspace } from '../../server/src/workspace/workspace';
import { board, pinout } from '../dialect/texts';
import { bench, MemoryFiles, uriOf } from '../harness/memory';
import { sine, wavBytes } from '../harness/wav';

const task = {
  kind: 'diagnose' as const,
  uri: uriOf('a.board.yaml'),
  text: board,
  pinouts: [{ uri: uriOf('fw2210.pinout.yaml'), text: pinout }],
  captures: [],
  limits: {},
};

test('a diagnosis asks again and again whether to go on, and ends early when told', async () => {
  const compute = sameThread(new MemoryFiles());
  let asked = 0;
  const whole = await compute(task, { cancelled: () => ++asked < 0, progress: () => {} });
  expect(whole).toHaveProperty('diagnosis.causes');
  const all = asked;
  expect(all).toBeGreaterThan(20);
  asked = 0;
  const stopped = await compute(task, { cancelled: () => ++asked > 3, progress: () => {} });
  expect(stopped).toEqual({ error: 'cancelled', cancelled: true });
  expect(asked).toBeLessThan(all / 2);
});

test('whoever follows hears that it is still at work', async () => {
  let heard = 0;
  await sameThread(new MemoryFiles())(task, { cancelled: () => false, progress: () => heard++ });
  expect(heard).toBeGreaterThan(20);
});

const text = 'board: x\ncaptures:\n  a: {file: a.wav, stimulus: {tone: 1 kHz, side: both}, channels: {2: R}}\n';

/** A workspace that counts how often a recording is read to be drawn. */
async function counting() {
  const { files } = bench({ 'a.board.yaml': text, 'a.wav': wavBytes([() => 0, sine(1000, 0.5)]) });
  const compute = sameThread(files);
  const read: unknown[] = [];
  const workspace = new Workspace(files, (one, control) => {
    if (one.kind === 'trace') read.push(one.request);
    return compute(one, control);
  });
  const analysis = await workspace.settled(uriOf('a.board.yaml'));
  if (analysis.kind !== 'board') throw new Error('no board');
  const state = analysis.snapshot.captures.get('a');
  if (state?.is !== 'ready') throw new Error('not measured');
  const trace = (cancelled: () => boolean = () => false) =>
    workspace.traces.of(analysis.board, analysis.board.captures[0]!, state.figures, { cancelled, progress: () => {} });
  return { files, read, trace };
}

test('what is drawn of a capture is its own channels, a few periods long, read once for each content', async () => {
  const { files, read, trace } = await counting();
  const drawn = (await trace())!;
  expect(drawn.channels.map(({ name }) => name)).toEqual(['2']);
  // Three periods of 1 kHz at 48 kHz: 144 frames, and the one that ends them.
  expect(drawn.channels[0]!.low.length).toBeGreaterThanOrEqual(144);
  expect(drawn.channels[0]!.low.length).toBeLessThanOrEqual(146);
  expect(await trace()).toBe(drawn);
  expect(read).toHaveLength(1);
  files.set(uriOf('a.wav'), wavBytes([() => 0, sine(1000, 0.25)]));
  expect(Math.max(...(await trace())!.channels[0]!.high)).toBeCloseTo(0.25, 2);
  expect(read).toHaveLength(2);
});

test('one who calls it off does not take it from another', async () => {
  const { trace } = await counting();
  const [off, on] = await Promise.all([trace(() => true), trace()]);
  expect(off).toBeUndefined();
  expect(on).toBeDefined();
});

test('a file that has gone is not drawn', async () => {
  const { files, trace } = await counting();
  files.remove(uriOf('a.wav'));
  expect(await trace()).toBeUndefined();
});

test('a diagnosis is made once for a board as it stands, and anew when something changes', async () => {
  const { files } = bench({ 'a.board.yaml': board, 'fw2210.pinout.yaml': pinout });
  const compute = sameThread(files);
  let made = 0;
  const workspace = new Workspace(files, (one, control) => {
    if (one.kind === 'diagnose') made++;
    return compute(one, control);
  });
  const control = { cancelled: () => false, progress: () => {} };
  const ask = async () => {
    const { now } = await workspace.analyse(uriOf('a.board.yaml'));
    if (now.kind !== 'board') throw new Error('no board');
    return workspace.diagnosis(now, control);
  };
  const first = await ask();
  expect(first?.causes.length).toBeGreaterThan(0);
  expect(await ask()).toBe(first);
  expect(made).toBe(1);
  workspace.texts.set(uriOf('a.board.yaml'), board.replace('3.28 V', '3.27 V'), 2);
  expect(await ask()).not.toBe(first);
  expect(made).toBe(2);
});
