import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { partFigures } from '../../../server/src/circuit/from-board/part-figures';
import { nodeFigures, type PlaceFigure } from '../../../server/src/circuit/from-board/place-figures';
import { measuredBoards } from '../../corpus/measured-boards';
import { moreSheets } from '../../corpus/more-sheets';
import { sheets } from '../../corpus/sheets';
import { analyseBoard } from '../../harness/memory';
import { outside } from '../../harness/outside';

// What hover tells on the samples and the corpus, worked out again by hand: nothing here calls the solver for a number.

const sampleFile = (name: string) => readFileSync(join(outside.root, 'samples/tidemill', name), 'utf8');
const pinouts = {
  'pwl6203.pinout.yaml': sampleFile('sheets/pwl6203.pinout.yaml'),
  ...Object.fromEntries(
    Object.entries({ ...sheets, ...moreSheets }).map(([name, text]) => [`${name}.pinout.yaml`, text]),
  ),
};

/** Lines of one kind at a point or a part of a board. */
async function toldOn(text: string) {
  const copper = (await analyseBoard(text, pinouts)).board.at();
  const texts = (lines: readonly PlaceFigure[], kind: PlaceFigure['kind']) =>
    lines.filter((line) => line.kind === kind).map((line) => line.text);
  return {
    copper,
    at: (point: string, kind: PlaceFigure['kind']) => texts(nodeFigures(copper, copper.node(point)!), kind),
    of: (part: string, kind: PlaceFigure['kind']) => texts(partFigures(copper, copper.parts.get(part)!), kind),
  };
}

const parallel = (...ohms: number[]) => 1 / ohms.reduce((sum, one) => sum + 1 / one, 0);
/** Three digits, as hover writes them. */
const three = (value: number) => Number(value.toPrecision(3));
const twoDigits = (value: number) => String(Number(value.toPrecision(2))).replace('-', '−');
const omega = 2 * Math.PI * 997;

describe('the healthy handset of the demo, by hand', () => {
  const sample = toldOn(sampleFile('handset-healthy.board.yaml'));
  // 20 Ω in the chip, 22 µF, 100 Ω; then 47 kΩ beside the 10 kΩ of what is plugged in.
  const end = parallel(47e3, 10e3);
  const reactance = 1 / (omega * 22e-6);
  const gain = end / Math.hypot(120 + end, reactance);

  it('1: what the divider costs at the jack', async () => {
    expect((await sample).at('OUT_L', 'loss')).toEqual([`${twoDigits(20 * Math.log10(gain))} dB from U1.15`]);
  });
  it('2: the corner, 22 µF with all resistance in the loop', async () => {
    const corner = 1 / (2 * Math.PI * 22e-6 * (120 + end));
    expect((await sample).at('OUT_R', 'corner')).toEqual([`corner ${twoDigits(corner)} Hz into 10 kΩ`]);
  });
  it('3: the level of a full-scale tone', async () => {
    expect((await sample).at('OUT_L', 'level')).toEqual([`${three(0.8 * gain * 1000)} mV at 0 dBFS`]);
  });
  it('4: the source impedance, 47 kΩ beside 120 Ω and 22 µF', async () => {
    // |z| of 47 kΩ ∥ (120 − j7.26) Ω.
    const z = (47e3 * Math.hypot(120, reactance)) / Math.hypot(47120, reactance);
    expect((await sample).at('OUT_R', 'impedance')).toEqual([`${three(z)} Ω source`]);
  });
  it('5, 6: DC before and behind the coupling capacitor, and what it stands', async () => {
    const { at, of } = await sample;
    expect(at('U1.15', 'dc')).toEqual(['1.65 V DC']);
    expect(at('OUT_L', 'dc')).toEqual(['0 V DC']);
    expect(of('C9', 'stress')).toEqual(['1.65 V of 6.3 V']);
  });
  it('7: the crystal, 15 pF and 15 pF and 3 pF of stray', async () => {
    expect((await sample).of('Y1', 'load')).toEqual([`${(15 * 15) / 30 + 3} pF load (stray 3 pF), cut for 10 pF`]);
  });
  it('8: what the reservoir stands of its rating, the cell’s nominal', async () => {
    expect((await sample).of('C1', 'stress')).toEqual(['3.7 V of 10 V']);
  });
  it('9: what 100 Ω burns at full scale, below a microwatt and so not told', async () => {
    const amps = 0.8 / Math.hypot(120 + end, reactance);
    expect(amps ** 2 * 100).toBeLessThan(1e-6);
    expect((await sample).of('R3', 'power')).toEqual([]);
  });
  it('10: what 47 kΩ burns at full scale', async () => {
    const watts = (0.8 * gain) ** 2 / 47e3;
    expect((await sample).of('R5', 'power')).toEqual([`${three(watts * 1e6)} µW at 0 dBFS on both sides`]);
  });
  it('11: the way home', async () => {
    expect((await sample).at('OUT_L', 'return')).toEqual(['back by J1.sleeve – U1.14']);
  });
});

describe('boards of the corpus, by hand', () => {
  const on = (name: string) => toldOn(measuredBoards[name]!.text);

  it('12, 13: headphones behind half an ohm, and the same with a driven common', async () => {
    const own = await on('headphones about ground, return by a thin strap');
    // Against the sleeve, over the sleeve's own 10 mΩ.
    expect(own.at('J1.tip', 'level')).toEqual([`${three(((1 * 32) / 32.51) * 1000)} mV at 0 dBFS`]);
    expect((await on('headphones with a driven common')).at('J1.ring', 'level')).toEqual([
      `${three(((0.5 * 32) / 32.5) * 1000)} mV at 0 dBFS`,
    ]);
  });

  it('14: an inverting stage, −R2/(R1 + Rs), and 100 Ω into 10 kΩ', async () => {
    const { at } = await on('inverting buffers on both sides');
    const stage = 20e3 / Math.hypot(10020, 1 / (omega * 22e-6));
    expect(at('OUT_L', 'level')).toEqual([`${three(0.8 * stage * (10e3 / 10100))} V at 0 dBFS`]);
  });

  it('15, 16: its source impedance is the 100 Ω alone, and it rests at ground', async () => {
    const { at } = await on('inverting buffers on both sides');
    expect(at('OUT_R', 'impedance')).toEqual(['100 Ω source']);
    expect(at('OUT_R', 'dc')).toEqual(['0 V DC']);
  });

  it('17: the corner of that stage, 22 µF with 10 kΩ and 20 Ω', async () => {
    const corner = 1 / (2 * Math.PI * 22e-6 * 10020);
    expect((await on('inverting buffers on both sides')).at('OUT_L', 'corner')).toEqual([
      `corner ${twoDigits(corner)} Hz into 10 kΩ`,
    ]);
  });

  it('18, 19: the mid-rail of 5 V, and what lies across the capacitors beside it', async () => {
    const { at, of } = await on('gain stage on one supply, from a cell by a boost converter');
    expect(at('VMID', 'dc')).toEqual(['2.5 V DC']);
    // 2.5 V on its plus, 1.65 V on the chip's side.
    expect(of('C2', 'stress')).toEqual(['850 mV of 6.3 V']);
    expect(of('C6', 'stress')).toEqual(['2.5 V of 10 V']);
  });

  it('20: a mid-rail divider burns 2.5 V · 0.25 mA a resistor', async () => {
    const { of } = await on('gain stage on one supply, from a cell by a boost converter');
    expect(of('R11', 'power')[0]).toBe(`${(2.5 ** 2 / 10e3) * 1e6} µW`);
  });

  it('21: a leg of a balanced driver into half of 10 kΩ: the load lies between the legs', async () => {
    const { at } = await on('balanced outputs, the hot contacts');
    // 2 V at both legs, opposed: 4 V between them, of which 10 kΩ take theirs beside 2 · 50 Ω.
    expect(at('J1.2', 'level')).toEqual([`${three(4 * (10e3 / 10100))} V at 0 dBFS`]);
  });

  it('22: the shared return of headphones, turned over: −Rg/(RL + Rs + Rg)', async () => {
    const text = measuredBoards['headphones about ground, return by a thin strap']!.text;
    const { findings } = await analyseBoard(`${text}limits: {return-shared: -80 dB}\n`, pinouts);
    const crosstalk = 20 * Math.log10(0.01 / (32 + 0.5 + 0.01));
    expect(findings.map((finding) => [finding.check, finding.figures])).toEqual([
      ['return-shared', { crosstalk: expect.closeTo(crosstalk, 6), sign: 'inverted' }],
    ]);
    expect(findings[0]!.message).toContain(`${crosstalk.toFixed(1).replace('-', '−')} dB of itself, turned over`);
  });

  it('23: a lamp of a stated drop, its current and what its resistor burns', async () => {
    const { of } = await toldOn(`board: Lamp
parts: {R9: {value: 470, rating: 0.1 W}, LED1: 1.9 V 20 mA}
nets: {GND: {role: ground}, V33: {role: supply, volts: 3.3 V}}
traces: {buzzed: [V33 R9.1, R9.2 LED1.A, LED1.K GND]}
`);
    const amps = (3.3 - 1.9) / 470;
    expect(of('LED1', 'current')).toEqual([`${three(amps * 1e3)} mA of 20 mA`]);
    expect(of('R9', 'power')).toEqual([`${three(amps ** 2 * 470 * 1e3)} mW of 100 mW`]);
  });
});
