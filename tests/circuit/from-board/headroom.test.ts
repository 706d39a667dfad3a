import { describe, expect, it } from 'vitest';
import { partFigures } from '../../../server/src/circuit/from-board/part-figures';
import { nodeFigures } from '../../../server/src/circuit/from-board/place-figures';
import { benchOf, numberOf } from './bench';

const dual = {
  'dual.pinout.yaml': `pinout: dual
pins: {1: OUTA, 2: {name: INAM, role: audio-in}, 3: {name: INAP, role: audio-in}, 4: V-, 8: V+}
sections: {A: {kind: op-amp, plus: 3, minus: 2, out: 1}}
`,
};
/** A gain of 1 + R2/R1 on what the player gives, about ground; `rails` are what the nets of the op-amp say. */
const stage = (rails: string, feedback = '90 k', joins = '') => `board: Stage
parts: {U1: {pinout: player}, U3: {pinout: dual}, C1: 10 uF, R1: 10 k, R2: ${feedback}, R3: 100 k, J2: {style: rca, load: 10 k}}
nets: {GND: {role: ground}, ${rails}}
traces:
  buzzed:
    - U1.OUTL C1.1
    - C1.2 R3.1 U3.INAP
    - R3.2 R1.1 U1.VSS J2.shell GND
    - R1.2 R2.1 U3.INAM
    - R2.2 U3.OUTA J2.centre
${joins || '    - U3.V+ VP\n    - U3.V- VN\n'}`;
const ends = async (text: string) => {
  const bench = await benchOf(text, dual);
  return { bench, level: numberOf(bench.way('J2.centre').level) };
};
// 100 kΩ behind 50 Ω and 10 µF (16 Ω at 997 Hz), times 10: 9.995 V RMS, 14.135 V peak.
const gain = (10 * 100e3) / Math.hypot(100050, 1 / (2 * Math.PI * 997 * 10e-6));

describe('a stage and its supplies', () => {
  it('on ±18 V gives all of it', async () => {
    const { level } = await ends(stage('VP: {role: supply, volts: 18 V}, VN: {role: supply, volts: -18 V}'));
    expect(level).toBeCloseTo(gain, 6);
  });

  it('on ±12 V clips, from the level at which its peak meets the nearer supply', async () => {
    const { bench, level } = await ends(stage('VP: {role: supply, volts: 15 V}, VN: {role: supply, volts: -12 V}'));
    expect(level).toBe(`clips at U3.1 from ${(20 * Math.log10(12 / (Math.SQRT2 * gain))).toFixed(2)} dBFS`);
    const lines = nodeFigures(bench.copper, bench.copper.node('J2.centre')!).map(({ text }) => text);
    expect(lines).toContain('clips above −1.4 dBFS at the latest: the supply of U3.1 is −12 V to 15 V');
    expect(lines.join()).not.toMatch(/at 0 dBFS/);
  });

  it('is taken at the most that is stated of its supplies', async () => {
    const { level } = await ends(
      stage('VP: {role: supply, volts: [10 V, 15 V]}, VN: {role: supply, volts: [-15 V, -10 V]}'),
    );
    expect(level).toBeCloseTo(gain, 6);
  });

  it.each([
    ['no volts are said', 'VP: {role: supply}, VN: {role: supply, volts: -5 V}', ''],
    [
      'one supply pin is not found yet',
      'VP: {role: supply, volts: 5 V}, VN: {role: supply, volts: -5 V}',
      '    - U3.V+ VP\n',
    ],
  ])('says nothing of clipping where %s', async (_, rails, joins) => {
    const { level } = await ends(stage(rails, '90 k', joins));
    expect(level).toBeCloseTo(gain, 6);
  });

  it('on one supply, biased to ground, clips at once; no level is told', async () => {
    const { bench, level } = await ends(
      stage('VP: {role: supply, volts: 5 V}', '10 k', '    - U3.V+ VP\n    - U3.V- GND\n'),
    );
    expect(level).toMatch(/^clips at U3\.1 from -Infinity dBFS$/);
    expect(nodeFigures(bench.copper, bench.copper.node('J2.centre')!).map(({ text }) => text)).toContain(
      'clips: the supply of U3.1 is 0 V to 5 V',
    );
  });
});

describe('a stage that would rest beyond its supplies', () => {
  const board = (volts: string) => `board: Reference times ten
parts: {U3: {pinout: dual}, R1: 1 k, R2: 9 k, R5: 1 k 0.1 W}
nets: {GND: {role: ground}, VP: {role: supply, volts: ${volts}}, REF: {role: supply, volts: 2.5 V}}
traces: {buzzed: [U3.INAP REF, U3.INAM R1.1 R2.1, R2.2 U3.OUTA R5.1, R1.2 R5.2 U3.V- GND, U3.V+ VP]}
`;
  const told = async (volts: string) => {
    const { copper, volts: at } = await benchOf(board(volts), dual);
    const texts = (lines: readonly { text: string }[]) => lines.map(({ text }) => text);
    return [
      at('U3.1'),
      texts(nodeFigures(copper, copper.node('U3.1')!)),
      texts(partFigures(copper, copper.parts.get('R5')!)),
    ];
  };

  it('is told as such, and nothing behind it is', async () => {
    // 2.5 V · (1 + 9) = 25 V, which 30 V allow and 12 V do not.
    expect(await told('30 V')).toEqual([expect.closeTo(25, 6), ['25 V DC'], ['625 mW of 100 mW']]);
    expect(await told('12 V')).toEqual([undefined, ['rests at a supply: 0 V or 12 V'], []]);
  });
});
