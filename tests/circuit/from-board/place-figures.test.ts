import { describe, expect, it } from 'vitest';
import { partFigures } from '../../../server/src/circuit/from-board/part-figures';
import { nodeFigures, type PlaceFigure } from '../../../server/src/circuit/from-board/place-figures';
import { analyseBoard } from '../../harness/memory';
import { type Bench, benchOf } from './bench';

const texts = (lines: readonly PlaceFigure[]) => lines.map(({ text }) => text);
const ofNode = (bench: Bench, point: string) => nodeFigures(bench.copper, bench.copper.node(point)!);
const ofPart = (bench: Bench, name: string) => partFigures(bench.copper, bench.copper.parts.get(name)!);

const board = (extra = '', parts = '') => `board: Line output
parts:
  U1: {pinout: player}
  C7: 22 uF 6.3 V
  R4: 1 k
  R6: 1 k
  R10: 47 k
  FB2: {value: 600, dcr: 0.1 ohm}
  J2: {style: jack-trs, load: 10 k}
  ${parts}
nets: {GND: {role: ground}}
traces:
  buzzed:
    - U1.OUTL C7.+
    - C7.- R4.1 R10.1
    - R4.2 R6.1 J2.tip
    - R6.2 R10.2 U1.VSS GND FB2.1
    - FB2.2 J2.sleeve
    ${extra}
`;

describe('figures at a node', () => {
  it('tell loss, corner, level, impedance, return and DC at the end of a way', async () => {
    const lines = ofNode(await benchOf(board()), 'J2.tip');
    // Closed forms: 1 kΩ ∥ 10 kΩ = 909.09 Ω; 50 Ω to 47 kΩ ∥ (1000 + 909.09) Ω.
    const end = (1000 * 10000.1) / 11000.1;
    const middle = 1 / (1 / 47e3 + 1 / (1000 + end));
    const gain = (middle / (50 + middle)) * (end / (1000 + end));
    const corner = 1 / (2 * Math.PI * (50 + middle) * 22e-6);
    expect(texts(lines)).toEqual([
      `${(20 * Math.log10(gain)).toFixed(1).replace('-', '−')} dB from U1.3`,
      `corner ${corner.toFixed(1)} Hz into 10 kΩ`,
      `${(gain * 1000).toFixed(0)} mV at 0 dBFS`,
      '512 Ω source',
      'back by J2.sleeve – FB2 – U1.2',
      '0 V DC',
    ]);
    expect(lines[0]!.over).toBe('U1.3 – C7 – R4 – J2.tip');
    expect(lines[4]!.basis.map((fact) => fact.what)).toContain('FB2 100 mΩ');
  });

  it('tell the way on from an output, and its bias', async () => {
    expect(texts(ofNode(await benchOf(board()), 'U1.3'))).toEqual([
      expect.stringMatching(/^−6\.7 dB to J2\.tip$/),
      expect.stringMatching(/^corner .* Hz into 10 kΩ$/),
      '1.65 V DC',
    ]);
  });

  it('say what they need, and what floats', async () => {
    const bench = await benchOf(board().replace('  R6: 1 k\n', '').replace('  R10: 47 k\n', ''));
    expect(texts(ofNode(bench, 'J2.tip'))).toContain('needs R10, R6');
    const floating = await benchOf(`board: Float
parts: {U1: {pinout: player}, C7: 1 uF}
nets: {GND: {role: ground}, OUT: {role: audio-out, channel: left}}
traces: {buzzed: [U1.OUTL C7.1, C7.2 OUT, U1.VSS GND]}
`);
    expect(texts(ofNode(floating, 'OUT'))).toContain('C7 floats at DC');
    expect(texts(ofNode(floating, 'GND'))).toEqual([]);
  });

  it('are silent on a board that has nothing yet', async () => {
    const copper = (await analyseBoard('board: Bare\ntraces: {buzzed: [U1.1 R1.1]}\n')).board.at();
    expect(copper.nodes.flatMap((node) => nodeFigures(copper, node))).toEqual([]);
    expect([...copper.parts.values()].flatMap((part) => partFigures(copper, part))).toEqual([]);
  });
});

describe('figures of a part', () => {
  it('tell what a capacitor stands of its rating, and the way it lies on', async () => {
    expect(texts(ofPart(await benchOf(board()), 'C7'))).toEqual([
      expect.stringMatching(/^−6\.7 dB to J2\.tip$/),
      expect.stringMatching(/^corner .* Hz into 10 kΩ$/),
      '1.65 V of 6.3 V',
    ]);
  });

  it('tell what resistors burn and LEDs carry: 3 V over 1 kΩ is 3 mA and 9 mW', async () => {
    const bench = await benchOf(`board: Lamp
parts: {R3: 1 k 0.1 W, LED1: red}
nets: {GND: {role: ground}, VDD: {role: supply, volts: 5 V}}
traces: {buzzed: [VDD R3.1, R3.2 LED1.A, LED1.K GND]}
`);
    expect(texts(ofPart(bench, 'R3'))).toEqual(['9 mW of 100 mW']);
    expect(texts(ofPart(bench, 'LED1'))).toEqual(['3 mA']);
  });

  it('take the forward drop a diode states: 5 V, 3.2 V, 90 Ω are 20 mA (worked LED resistor, computed)', async () => {
    const bench = await benchOf(`board: Lamp
parts: {R3: 90, LED1: {value: 3.2 V, rating: 25 mA}}
nets: {GND: {role: ground}, VDD: {role: supply, volts: 5 V}}
traces: {buzzed: [VDD R3.1, R3.2 LED1.A, LED1.K GND]}
`);
    expect(texts(ofPart(bench, 'LED1'))).toEqual(['20 mA of 25 mA']);
    expect(ofPart(bench, 'LED1')[0]!.basis.map((fact) => fact.what)).toEqual(
      expect.arrayContaining(['LED1 3.2 V forward', 'R3 90 Ω', 'net VDD 5 V']),
    );
  });

  it('tell a crystal its load, by the makers’ formula and with the stray stated', async () => {
    const bench = await benchOf(`board: Clock
parts: {Y1: {value: 12 MHz, load: 18 pF, stray: 4.5 pF}, C1: 27 pF, C2: 27 pF}
nets: {GND: {role: ground}}
traces: {buzzed: [Y1.1 C1.1, Y1.2 C2.1, C1.2 C2.2 GND]}
`);
    // 27/2 + 4.5 = 18 pF.
    expect(texts(ofPart(bench, 'Y1'))).toEqual(['18 pF load (stray 4.5 pF), cut for 18 pF']);
  });

  it('tell what parts make together, in parallel and, on a node that is listed whole, in series', async () => {
    const bench = await benchOf(`board: Pads
complete: true
parts: {R1: 4.7 k, R2: 10 k, R3: 470, R4: 470, C1: 100 nF, C2: 100 nF}
nets: {GND: {role: ground}, A: {}, B: {}}
traces: {buzzed: [A R1.1 R2.1 C1.1, R1.2 R2.2 C1.2 C2.1 B R3.1, R3.2 R4.1, R4.2 C2.2 GND]}
`);
    expect(texts(ofPart(bench, 'R1'))).toContain('with R2 in parallel 3.2 kΩ');
    expect(texts(ofPart(bench, 'R3'))).toContain('with R4 in series 940 Ω');
    expect(texts(ofPart(bench, 'C1')).join()).not.toMatch(/in series/);
  });
});

describe('the way home', () => {
  it('goes by the branch that carries most, with its share', async () => {
    const bench = await benchOf(board('- FB2.1 R20.1\n    - FB2.2 R20.2', 'R20: 0.9 ohm'));
    // 0.1 Ω beside 0.9 Ω: nine tenths.
    expect(texts(ofNode(bench, 'J2.tip'))).toContain('back by J2.sleeve – FB2 – U1.2 (90 %)');
  });
});
