import { describe, expect, it } from 'vitest';
import { buzzout } from '../harness/cli';
import { outside } from '../harness/outside';

const check = async (...args: string[]) => {
  const { status, out } = await buzzout(outside.root, ['check', '--format', 'json', ...args]);
  const { findings } = JSON.parse(out) as {
    findings: { check: string; range: { start: { line: number } }; figures: Record<string, number>; message: string }[];
  };
  return { status, findings };
};

describe('sample boards', () => {
  it('the healthy handset: nothing found, exit 0', async () => {
    const { status, out } = await buzzout(outside.root, ['check', 'samples/tidemill/handset-healthy.board.yaml']);
    expect(out).toBe('Nothing found on 1 board\n');
    expect(status).toBe(0);
  });

  it('the hollow handset: antiphase, with phase, correlation and levels, at the recording that says most', async () => {
    const { status, findings } = await check('samples/tidemill/handset-hollow.board.yaml');
    expect(status).toBe(1);
    const found = findings.filter((finding) => finding.check === 'channels-antiphase');
    expect(found).toHaveLength(1);
    expect(findings.map((finding) => finding.check).sort()).toEqual(['cause-likely', 'channels-antiphase']);
    const { figures, message } = found[0]!;
    expect(Math.abs(figures.phase!)).toBeGreaterThan(179.5);
    expect(figures.correlation).toBeLessThan(-0.999);
    // Half of each unlike programme on both: 0.8 V · 10^(−18/20) · 0.9857 / √2 = −23.1 dBV.
    expect(figures.leftLevel).toBeCloseTo(-23.1, 1);
    expect(message).toContain('one differential pair');
    expect(findings.find((finding) => finding.check === 'cause-likely')!.message).toContain('differential');
  });

  it.each([
    ['side-dead', 'channel-dead'],
    ['sides-swapped', 'channels-swapped'],
    ['summed-to-mono', 'channels-identical'],
    ['supply-low', 'supply-out-of-range'],
  ])('%s: %s, and at most its cause beside it', async (board, wanted) => {
    const { findings } = await check(`samples/faults/${board}.board.yaml`);
    expect(findings.map((finding) => finding.check).filter((name) => name !== 'cause-likely')).toEqual([wanted]);
  });

  it('the demo folder holds no error: the first command of the README ends well', async () => {
    const { status } = await buzzout(outside.root, ['check', 'samples/tidemill', '--threshold', 'error']);
    expect(status).toBe(0);
  });
});
