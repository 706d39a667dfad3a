import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { buzzout } from '../harness/cli';

const root = join(__dirname, '../..');
const unmarked = 'samples/tidemill/handset-unmarked.board.yaml';
const numberings = ['as-marked', 'half-turn', 'quarter-turn', 'three-quarter-turn', 'mirrored'];

describe('identify', () => {
  test('the demo: copper tells the siblings apart, and names the pins it does so by', async () => {
    const { status, out, err } = await buzzout(root, ['identify', unmarked]);
    expect(err).toBe('');
    expect(status).toBe(0);
    const lines = out.trimEnd().split('\n');
    expect(lines[0]).toMatch(/^U1, \d+ pins seen:$/);
    expect(lines[1]).toMatch(/^ {2}more than 99 % pwl6203d, counted as marked\. Agree: .*9, 10.*Against: none\./);
    expect(lines.at(-1)).toMatch(/^ {2}Next: /);
  });

  test('JSON: the fields of the contract', async () => {
    const { out } = await buzzout(root, ['identify', unmarked, '--json', '--part', 'U1']);
    const { parts } = JSON.parse(out);
    expect(parts).toHaveLength(1);
    const [part] = parts;
    expect(part.part).toBe('U1');
    let sum = part.none;
    for (const candidate of part.candidates) {
      expect(numberings).toContain(candidate.numbering);
      expect(candidate.probability).toBeGreaterThan(0);
      expect(candidate.probability).toBeLessThan(1);
      sum += candidate.probability;
      const pins = [...candidate.agree, ...candidate.contradict, ...candidate.open];
      expect(new Set(pins).size, 'each pin once').toBe(pins.length);
      expect(pins.sort()).toEqual(Object.keys(candidate.map).sort());
      expect(new Set(Object.values(candidate.map)).size).toBe(20);
    }
    expect(sum).toBeLessThanOrEqual(1 + 1e-9);
    for (const next of part.next)
      expect(next).toEqual({ pin: expect.any(String), why: expect.any(String), gain: expect.any(Number) });
  });

  test('the same on every run', async () => {
    const runs = await Promise.all([1, 2].map(() => buzzout(root, ['identify', unmarked, '--json'])));
    expect(runs[0]!.out).toBe(runs[1]!.out);
  });

  test('half-typed boards, boards without chips, and bad usage', async () => {
    const piped = await buzzout(root, ['identify', '-'], 'board: Half typed\nparts:\n  U1:\n');
    expect(piped).toMatchObject({ status: 0, err: '' });
    expect(piped.out).toMatch(/^U1|^No chip/);
    const bare = await buzzout(root, ['identify', '-', '--part', 'R1'], 'board: Bare\nparts: {R1: 470}\n');
    expect(bare.status).toBe(0);
    expect((await buzzout(root, ['identify', unmarked, '--part', 'U9'])).status).toBe(2);
    expect((await buzzout(root, ['identify', 'nowhere.board.yaml'])).status).toBe(2);
    expect((await buzzout(root, ['identify', 'README.md'])).status).toBe(2);
    expect((await buzzout(root, ['identify'])).status).toBe(2);
    expect((await buzzout(root, ['identify', unmarked, '--part'])).status).toBe(2);
  });
});
