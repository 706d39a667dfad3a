import { expect, test } from 'vitest';
import { network } from '../../../server/src/circuit/ac';
import { near } from '../../circuit/near';
import { stages } from '../../circuit/stages';
import { outside } from '../../harness/outside';
import { spice } from './spice';

outside.suite(['ngspice'], 'op-amp stages against ngspice', () => {
  test('every stage at DC, 20 Hz, 997 Hz and 20 kHz', () => {
    const frequencies = [0, 20, 997, 20e3];
    const answers = spice(
      stages.map((stage) => stage.netlist),
      frequencies,
    );
    let compared = 0;
    for (const [k, { netlist, lowest }] of stages.entries()) {
      for (const hertz of frequencies) {
        if (hertz < (lowest ?? 0)) continue;
        // ngspice's op-amp has a gain of 1e9 where ours has no end.
        near(network(netlist).at(hertz).solve().voltage('out'), answers[k]!.get(hertz)!.get('out')!, 1e-6);
        compared++;
      }
    }
    expect(compared).toBe(stages.length * frequencies.length - 1);
  });
});
