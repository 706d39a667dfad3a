import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { LinearNetlist } from '../../server/src/circuit/assemble';
import { factorLinear } from '../../server/src/circuit/factor';
import { randomNetwork } from '../circuit/random-network';
import { outside } from '../harness/outside';
import { deck } from '../outside/circuit/spice';

/** Milliseconds one call takes: the median of batches, after a warm-up. */
function timed(call: () => void, batch: number): number {
  for (let k = 0; k < batch; k++) call();
  const times = Array.from({ length: 9 }, () => {
    const start = performance.now();
    for (let k = 0; k < batch; k++) call();
    return (performance.now() - start) / batch;
  });
  return times.sort((a, b) => a - b)[4]!;
}

describe('a board of a hundred parts at one frequency', () => {
  const board = randomNetwork(7, { nodes: 60, more: 35, active: false }) as LinearNetlist;
  const names = board.elements.map((element) => element.name);

  test('from netlist to voltages, and one variant of it', () => {
    expect(board.elements.length).toBe(100);
    const whole = timed(() => factorLinear(board, 997).solve(), 50);
    const base = factorLinear(board, 997);
    const variants = timed(() => {
      for (const name of names) base.with([{ open: name }]).solve();
    }, 10);
    console.log(`solved in ${whole.toFixed(3)} ms; a part opened: ${(variants / names.length).toFixed(4)} ms more`);
  });

  test.skipIf(outside.missing('ngspice'))('beside one run of ngspice on the same network', () => {
    const folder = mkdtempSync(join(tmpdir(), 'spice-'));
    try {
      const file = join(folder, 'board.cir');
      writeFileSync(file, deck([board], [997]));
      const theirs = timed(() => expect(outside.run('ngspice', ['-b', file], { cwd: folder }).status).toBe(0), 1);
      const ours = timed(() => factorLinear(board, 997).solve(), 50);
      console.log(
        `ngspice ${theirs.toFixed(1)} ms, its start included; ours is ${(theirs / ours).toFixed(0)} times faster`,
      );
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});
