import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { buzzout } from '../harness/cli';

const root = join(__dirname, '../..');

describe('diagnose', () => {
  test('the demo reads like a colleague: five lines, the cause first, cautions before what to do', async () => {
    const { status, out, err } = await buzzout(root, ['diagnose', 'samples/tidemill/handset-hollow.board.yaml']);
    expect(err).toBe('');
    expect(status).toBe(0);
    const lines = out.trimEnd().split('\n');
    expect(lines).toHaveLength(5);
    expect(lines[0]).toBe(
      'More than 99 % likely: Both channels carry the same signal in opposite phase on every stimulus: U1 drives its outputs as one differential pair (mode differential); the board is as its data sheet intends.',
    );
    expect(lines[1]).toMatch(/^It explains everything measured: capture tone-left, /);
    expect(lines[3]).toMatch(/^What to do: Lithium cell: .*take one leg only/);
    expect(lines[4]).toMatch(/^Next: /);
  });

  test('nothing measured: no claim, the odds, the cautions, and what to measure', async () => {
    const { out } = await buzzout(root, ['diagnose', 'samples/tidemill/handset-unmarked.board.yaml']);
    const lines = out.trimEnd().split('\n');
    expect(lines[0]).toMatch(/^Nothing has been measured/);
    expect(lines[1]).toMatch(/^By odds alone: as-designed \(9\d %\), supply-missing VREG/);
    expect(lines[2]).toMatch(/^With care: Lithium cell/);
    expect(lines[3]).toMatch(/^Next: measure DC at VREG/);
  });

  test('JSON: the fields of the contract', async () => {
    const { out } = await buzzout(root, ['diagnose', 'samples/faults/side-dead.board.yaml', '--json']);
    const { causes, next } = JSON.parse(out);
    for (const cause of causes) {
      expect(cause).toMatchObject({
        cause: expect.any(String),
        group: expect.any(Number),
        probability: expect.any(Number),
      });
      for (const list of [cause.at, cause.explains, cause.leaves])
        expect(list.every((one: unknown) => typeof one === 'string')).toBe(true);
      expect(cause.mode === null || typeof cause.mode === 'string').toBe(true);
    }
    expect(causes[0]).toMatchObject({ cause: 'side-dead', at: ['U1.13'], mode: null, group: 1 });
    expect(causes.map(({ cause }: { cause: string }) => cause)).toContain('as-designed');
    expect(
      causes.reduce((sum: number, { probability }: { probability: number }) => sum + probability, 0),
    ).toBeLessThanOrEqual(1 + 1e-9);
    expect(next.length).toBeGreaterThan(0);
    for (const probe of next)
      expect(probe).toMatchObject({
        probe: expect.any(String),
        stimulus: expect.any(String),
        gain: expect.any(Number),
      });
  });

  test('a healthy board: as designed leads', async () => {
    const { out } = await buzzout(root, ['diagnose', 'samples/tidemill/handset-healthy.board.yaml', '--json']);
    expect(JSON.parse(out)).toMatchObject({ anythingWrong: false, enough: false });
    expect(JSON.parse(out).causes[0].cause).toBe('as-designed');
  });

  test('standard input, a file that is not there, a file that is no board', async () => {
    const piped = await buzzout(root, ['diagnose', '-'], 'board: Half typed\nparts:\n  U1:\n');
    expect(piped.status).toBe(0);
    expect(piped.out).toMatch(/nothing that voltages could be against/);
    expect((await buzzout(root, ['diagnose', 'nowhere.board.yaml'])).status).toBe(2);
    expect((await buzzout(root, ['diagnose', 'README.md'])).status).toBe(2);
    expect((await buzzout(root, ['diagnose'])).status).toBe(2);
  });
});
