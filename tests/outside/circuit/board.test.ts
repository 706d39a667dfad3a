import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { type Complex, magnitude, subtract } from '../../../server/src/circuit/complex';
import { benchOf } from '../../circuit/from-board/bench';
import { outside } from '../../harness/outside';

// A board and the same circuit written by hand for ngspice: what is held here is how a board becomes a network.
const board = `board: Headphone and line output with a ferrite in its return
parts:
  U1: {pinout: player}
  C7: {value: 220 uF, esr: 0.2 ohm}
  C8: {value: 220 uF, esr: 0.2 ohm}
  R4: 100
  R5: 100
  R6: 4.7 k
  R7: 4.7 k
  L1: {value: 10 uH, dcr: 0.3 ohm}
  C9: 1 nF
  FB2: {value: 600, dcr: 0.25 ohm}
  R20: 0
  J2: {style: jack-trs, load: 32}
  J3: {style: jack-trs, load: 10 k}
  C30: not-fitted
nets: {GND: {role: ground}, AGND: {role: ground}}
traces:
  buzzed:
    - U1.OUTL C7.+
    - U1.OUTR C8.+
    - C7.- R4.1 R6.1
    - C8.- R5.1 R7.1
    - R4.2 L1.1
    - L1.2 C9.1 J2.tip J3.tip C30.1
    - R5.2 J2.ring J3.ring
    - R6.2 R7.2 C9.2 C30.2 AGND
    - J2.sleeve J3.sleeve FB2.1
    - FB2.2 AGND R20.1
    - R20.2 GND U1.VSS
`;
const deck = (left: number, right: number, hertz: number) => `* by hand
vl outl0 0 dc 0 ac ${left}
rl outl0 outl 50
vr outr0 0 dc 0 ac ${right}
rr outr0 outr 50
c7 outl c7i 220u
resr7 c7i cl 0.2
c8 outr c8i 220u
resr8 c8i cr 0.2
r4 cl l1a 100
r5 cr ring 100
r6 cl 0 4.7k
r7 cr 0 4.7k
l1 l1a l1i 10u
rdcr l1i tip 0.3
c9 tip 0 1n
rfb sleeve 0 0.25
rj2l tip sleeve 32
rj2r ring sleeve 32
rj3l tip sleeve 10k
rj3r ring sleeve 10k
.control
set numdgt=12
ac lin 1 ${hertz} ${hertz}
print v(tip)-v(sleeve) v(ring)-v(sleeve) v(sleeve)
quit 0
.endc
.end
`;

/** What ngspice prints: three complex numbers, in the order asked for. */
function byHand(left: number, right: number, hertz: number): Complex[] {
  const folder = mkdtempSync(join(tmpdir(), 'spice-'));
  try {
    const file = join(folder, 'board.cir');
    writeFileSync(file, deck(left, right, hertz));
    const { stdout, status } = outside.run('ngspice', ['-b', file], { cwd: folder });
    if (status !== 0) throw new Error(`ngspice ended with ${status}`);
    return [...stdout.matchAll(/= (-?[\d.]+e[+-]\d+),(-?[\d.]+e[+-]\d+)/g)].map((match) => ({
      re: Number(match[1]),
      im: Number(match[2]),
    }));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

outside.suite(['ngspice'], 'a board against the same circuit written by hand, in ngspice', () => {
  it.each([
    [1, 0, 12],
    [0, 1, 997],
    [1, 1, 997],
    [1, -1, 19e3],
    [1, 0.3, 2e6],
  ])(
    'left %d, right %d at %d Hz: both contacts against the sleeve, and the sleeve itself',
    async (left, right, hertz) => {
      const { board: net } = await benchOf(board);
      const solution = net.network.at(hertz).solve({ 'U1.3': left, 'U1.4': right });
      const at = (point: string) => net.copper.node(point)!.name;
      const own = [
        solution.between(at('J2.tip'), at('J2.sleeve')),
        solution.between(at('J3.ring'), at('J3.sleeve')),
        solution.voltage(at('J2.sleeve')),
      ];
      const theirs = byHand(left, right, hertz);
      expect(theirs).toHaveLength(3);
      const scale = Math.max(...theirs.map(magnitude));
      for (const [k, volts] of theirs.entries()) expect(magnitude(subtract(own[k]!, volts)) / scale).toBeLessThan(1e-8);
    },
  );
});
