import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bench, uriOf } from '../harness/memory';
import { outside } from '../harness/outside';

/**
 * The main job on real input: spoken channel tests of alsa-utils, put on two channels by sox as a good board or one fault would
 * put them. Reference: how each file was made.
 */
const left = outside.voice('Front_Left');
const right = outside.voice('Front_Right');

/** Name → sox arguments that write a stereo file; `$` stands for the file. */
const recipes: Readonly<Record<string, readonly string[]>> = {
  'both-good': [left, '$', 'remix', '1', '1'],
  'both-inverted': [left, '$', 'remix', '1', '1i'],
  'both-right-muted': [left, '$', 'remix', '1', '0'],
  'both-left-muted': [left, '$', 'remix', '0', '1'],
  'left-good': [left, '$', 'remix', '1', '0'],
  'left-swapped': [left, '$', 'remix', '0', '1'],
  'left-opposed': [left, '$', 'remix', '1v0.5', '1v-0.5'],
  'left-mono': [left, '$', 'remix', '1v0.5', '1v0.5'],
  'left-nothing': [left, '$', 'remix', '0', '0'],
  'right-good': [right, '$', 'remix', '0', '1'],
  'right-swapped': [right, '$', 'remix', '1', '0'],
  'right-nothing': [right, '$', 'remix', '0', '0'],
  'unlike-good': ['-M', left, right, '$'],
  'unlike-inverted': ['-M', left, right, '$', 'remix', '1', '2i'],
  'unlike-swapped': ['-M', left, right, '$', 'remix', '2', '1'],
  'unlike-mono': ['-M', left, right, '$', 'remix', '1v0.5,2v0.5', '1v0.5,2v0.5'],
  'unlike-opposed': ['-M', left, right, '$', 'remix', '1v0.5,2v0.5', '1v-0.5,2v-0.5'],
};

outside.suite(['sox', 'alsa-voices'], 'spoken channel tests on a board', () => {
  const folder = mkdtempSync(join(tmpdir(), 'buzzout-voices-'));
  const recordings: Record<string, Uint8Array> = {};
  beforeAll(() => {
    for (const [name, recipe] of Object.entries(recipes)) {
      const path = join(folder, `${name}.wav`);
      // Repeatable and undithered: an inverted side is the exact negative.
      const done = outside.run('sox', ['-R', '-D', ...recipe.map((word) => (word === '$' ? path : word))]);
      if (done.status !== 0) throw new Error(done.stderr);
      recordings[`${name}.wav`] = readFileSync(path);
    }
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  /** What is found with these recordings on the jack; the stimulus is the first part of each name. */
  async function found(...names: string[]) {
    const captures = names.map(
      (name) => `  ${name}:
    file: ${name}.wav
    stimulus: {programme: speech, side: ${name.split('-')[0]}}
    channels: {1: J1.tip, 2: J1.ring}`,
    );
    const text = `board: Kiosk\nparts:\n  J1: {style: jack-trs}\ncaptures:\n${captures.join('\n')}\n`;
    const { workspace } = bench({ ...recordings, 'a.board.yaml': text });
    const analysis = await workspace.settled(uriOf('a.board.yaml'));
    return { checks: analysis.findings.map((finding) => finding.check), findings: analysis.findings };
  }

  it.each([
    ['all four as they should be', ['both-good', 'left-good', 'right-good', 'unlike-good'], []],
    ['one side inverted', ['both-inverted', 'left-good', 'right-good', 'unlike-good'], ['channels-antiphase']],
    ['a differential pair', ['both-inverted', 'left-opposed', 'unlike-opposed'], ['channels-antiphase']],
    ['sides exchanged', ['both-good', 'left-swapped', 'right-swapped'], ['channels-swapped']],
    ['sides exchanged, seen from one side', ['right-swapped'], ['channels-swapped']],
    ['summed to mono, two voices', ['unlike-mono'], ['channels-identical']],
    ['summed to mono, one voice on one side', ['both-good', 'left-mono'], ['channels-identical']],
    ['right muted', ['both-right-muted', 'left-good', 'right-nothing'], ['channel-dead']],
    ['left muted', ['both-left-muted', 'left-nothing', 'right-good'], ['channel-dead']],
  ])('%s', async (_, names, wanted) => {
    expect((await found(...names)).checks).toEqual(wanted);
  });

  it('names the figures of an inverted side', async () => {
    const { findings } = await found('both-inverted');
    expect(findings).toHaveLength(1);
    const { figures, at, evidence, message } = findings[0]!;
    expect(at).toEqual(['J1.tip', 'J1.ring']);
    expect(evidence).toEqual(['capture both-inverted']);
    expect(figures.correlation).toBeCloseTo(-1, 9);
    expect(figures.coherence).toBeCloseTo(1, 6);
    expect(Math.abs(figures.phase as number)).toBeCloseTo(180, 6);
    expect(figures.balance).toBeCloseTo(0, 9);
    expect(message).toContain('cannot tell a differential output from a side turned over');
  });

  it('knows the cause where one voice on both and one side alone are there', async () => {
    expect((await found('both-inverted', 'left-good')).findings[0]!.message).toContain('one of them is turned over');
    expect((await found('both-inverted', 'left-opposed')).findings[0]!.message).toContain('one differential pair');
  });

  it('one of two unlike voices inverted leaves no trace, and measuring says so', async () => {
    const { checks } = await found('unlike-inverted');
    expect(checks).toEqual([]);
    expect((await found('unlike-swapped')).checks).toEqual([]);
    const { workspace } = bench({
      ...recordings,
      'a.board.yaml':
        'board: Kiosk\nparts: {J1: {style: jack-trs}}\ncaptures: {c: {file: unlike-inverted.wav, stimulus: {programme: speech, side: unlike}, channels: {1: J1.tip, 2: J1.ring}}}\n',
    });
    const analysis = await workspace.settled(uriOf('a.board.yaml'));
    if (analysis.kind !== 'board') throw new Error('not a board');
    const state = analysis.snapshot.captures.get('c');
    if (state?.is !== 'ready') throw new Error('not measured');
    const [pair] = state.figures.pairs;
    expect(pair!.relation).toBe('unrelated');
    expect(Math.abs(pair!.correlation!)).toBeLessThan(0.1);
    expect(pair!.tells.cannot.join('; ')).toMatch(/turned over|polarity|revers/);
  });
});
