import { describe, expect, it } from 'vitest';
import { benchOf, numberOf, restsOn } from './bench';

// Expected values by closed form, written out beside each: divider, Thévenin, fc = 1/(2πRC) with all resistance in the loop.
const line = (load = '10 k', join = 'buzzed', extra = '') => `board: Line output
parts:
  U1: {pinout: player}
  C7: 10 uF
  R4: 1 k
  R6: 4.7 k
  J2: {style: jack-trs, load: ${load}}
nets: {GND: {role: ground}}
traces:
  buzzed:
    - U1.OUTL C7.1
    - C7.2 R4.1
    - R4.2 R6.1 J2.tip
    - U1.VSS GND J2.sleeve
    ${extra}
  ${join === 'buzzed' ? '' : `${join}:`}
    - R6.2 GND
`;

const parallel = (a: number, b: number) => (a * b) / (a + b);

describe('a divider with a coupling capacitor into a load', () => {
  const end = parallel(4700, 10e3);
  const reactance = 1 / (2 * Math.PI * 997 * 10e-6);
  const total = Math.hypot(50 + 1000 + end, reactance);

  it('has the loss, level, source impedance and corner of the closed forms', async () => {
    const way = (await benchOf(line())).way('J2.tip');
    expect(numberOf(way.loss)).toBeCloseTo(20 * Math.log10(end / total), 9);
    expect(numberOf(way.level)).toBeCloseTo(end / total, 9);
    // Seen from outside: 4.7 kΩ beside the chip's 50 Ω, 10 µF and 1 kΩ.
    const series = { re: 1050, im: -reactance };
    const size = (4700 * Math.hypot(series.re, series.im)) / Math.hypot(4700 + series.re, series.im);
    expect(numberOf(way.impedance)).toBeCloseTo(size, 6);
    expect(numberOf(way.corner)).toBeCloseTo(1 / (2 * Math.PI * (50 + 1000 + end) * 10e-6), 5);
  });

  it('names the shunt, its ground and the load in what they rest on', async () => {
    const way = (await benchOf(line())).way('J2.tip');
    for (const known of [way.loss, way.level, way.corner])
      expect(restsOn(known)).toEqual(
        expect.arrayContaining([
          'buzzed U1.OUTL C7.1',
          'buzzed C7.2 R4.1',
          'buzzed R4.2 R6.1 J2.tip',
          'buzzed U1.VSS GND J2.sleeve',
          'buzzed R6.2 GND',
          'R4 1 kΩ',
          'R6 4.7 kΩ',
          'load at J2 10 kΩ',
          'U1.3 50 Ω',
        ]),
      );
    expect(restsOn(way.corner)).toContain('C7 10 µF');
    expect(restsOn(way.impedance)).not.toContain('load at J2 10 kΩ');
  });

  it('marks figures as assumed by an assumed join under the shunt, and not by one that has nothing to do with them', async () => {
    const guessed = await benchOf(line('10 k', 'assumed'));
    expect(guessed.assumed(guessed.way('J2.tip').loss)).toEqual(['assumed R6.2 GND']);
    const beside = await benchOf(`${line()}  assumed:\n    - J2.tip TP1\n    - GND TP2\n    - U1.VDD C20.1\n`);
    expect(beside.assumed(beside.way('J2.tip').loss)).toEqual([]);
  });

  it('needs the value nobody has said, and tells the figures that do not hang on it', async () => {
    const bench = await benchOf(line().replace('  R6: 4.7 k\n', '').replace('C7: 10 uF', 'C7: 10 uF 6.3 V'));
    const way = bench.way('J2.tip');
    expect(numberOf(way.loss)).toBe('needs R6');
    expect(numberOf(way.corner)).toBe('needs R6');
    const without = await benchOf(line().replace('    - R6.2 GND\n', '').replace('  R6: 4.7 k\n', ''));
    // Its far end hangs in the air: R6 carries nothing, whatever it is.
    expect(numberOf(without.way('J2.tip').loss)).toBeCloseTo(20 * Math.log10(10e3 / Math.hypot(11050, reactance)), 6);
  });
});

describe('parts that are not fitted', () => {
  it('are open: the shunt is gone, a series part breaks the way', async () => {
    const shunt = await benchOf(line().replace('R6: 4.7 k', 'R6: not-fitted'));
    const reactance = 1 / (2 * Math.PI * 997 * 10e-6);
    expect(numberOf(shunt.way('J2.tip').loss)).toBeCloseTo(20 * Math.log10(10e3 / Math.hypot(11050, reactance)), 9);
    const series = await benchOf(line().replace('R4: 1 k', 'R4: ~'));
    expect(series.ends).not.toContain('J2.tip');
  });
});

describe('a four-pole jack', () => {
  const headset = (wiring: string, common: string, mic: string) => `board: Headset
parts:
  U1: {pinout: player}
  C7: 220 uF
  C8: 220 uF
  J2: {style: jack-trrs${wiring}, load: 32}
nets: {GND: {role: ground}}
traces:
  buzzed:
    - U1.OUTL C7.1
    - U1.OUTR C8.1
    - C7.2 J2.tip
    - C8.2 J2.ring1
    - U1.VSS GND J2.${common}
    - J2.${mic} R9.1
`;
  // fc over the loop: 50 Ω + 32 Ω, 220 µF.
  const corner = 1 / (2 * Math.PI * 82 * 220e-6);

  it.each([
    ['', 'ring2', 'sleeve'],
    [', wiring: mic-on-ring2', 'sleeve', 'ring2'],
  ])('is loaded from tip and ring against its common%s', async (wiring, common, mic) => {
    const bench = await benchOf(headset(wiring, common, mic));
    expect(bench.way('J2.tip').back.name).toBe('GND');
    expect(numberOf(bench.way('J2.tip').corner)).toBeCloseTo(corner, 5);
    expect(numberOf(bench.way('J2.ring1').corner)).toBeCloseTo(corner, 5);
    // The microphone contact has no load of its own.
    expect([...bench.board.points.keys()].filter((name) => name.startsWith('load'))).toEqual([
      'load at J2.tip',
      'load at J2.ring1',
    ]);
  });
});

describe('a potentiometer in the way', () => {
  it('leaves the level open, for nobody has said where its wiper stands', async () => {
    const bench = await benchOf(`board: Volume
parts:
  U1: {pinout: player}
  RV1: 10 k
  J2: {style: jack-trs, load: 10 k}
nets: {GND: {role: ground}}
traces:
  buzzed:
    - U1.OUTL RV1.cw
    - RV1.wiper J2.tip
    - RV1.ccw U1.VSS GND J2.sleeve
`);
    expect(numberOf(bench.way('J2.tip').level)).toBe('needs the wiper of RV1');
  });
});

describe('a driven common', () => {
  const board = (extra = '') => `board: Capless
parts:
  U1: {pinout: capless}
  J2: {style: jack-trs, load: 32}
nets: {GND: {role: ground}}
traces:
  buzzed:
    - U1.HPL J2.tip
    - U1.HPR J2.ring
    - U1.HPCOM J2.sleeve
    - U1.VSS GND
${extra}`;

  it('takes the contacts against the sleeve: 32 Ω of 33, and no DC between them', async () => {
    const bench = await benchOf(board());
    const way = bench.way('J2.tip');
    expect(way.back.pins.some((pin) => pin.name === 'J2.sleeve')).toBe(true);
    // The common is held behind 1 mΩ.
    expect(numberOf(way.loss)).toBeCloseTo(20 * Math.log10(32 / 33.001), 6);
    expect(numberOf(way.level)).toBeCloseTo((0.5 * 32) / 33.001, 6);
    expect(numberOf(way.corner)).toBe('none');
    expect(bench.volts('J2.tip')).toBeCloseTo(1.5, 6);
    expect(bench.volts('J2.tip', 'J2.sleeve')).toBeCloseTo(0, 9);
  });
});

describe('a mid-rail between the sides', () => {
  const board = (bypass: string, role = '') => `board: One supply
parts: {U1: {pinout: player}, C7: 10 uF, C8: 10 uF, R1: 10 k, R2: 10 k, C9: ${bypass}, J2: {style: jack-trs, load: 10 k}}
nets: {GND: {role: ground}${role}}
traces:
  buzzed:
    - U1.OUTL C7.1
    - C7.2 R1.1 J2.tip
    - U1.OUTR C8.1
    - C8.2 R2.1 J2.ring
    - R1.2 R2.2 C9.1 VMID
    - C9.2 U1.VSS GND J2.sleeve
`;
  const own = ['J2.ring', 'J2.tip'];

  it('is no way from one to the other where it is bypassed, or a reference', async () => {
    expect([...(await benchOf(board('10 uF'))).ends].sort()).toEqual(own);
    expect([...(await benchOf(board('10 nF', ', VMID: {role: reference}'))).ends].sort()).toEqual(own);
  });

  it('is one where nothing holds it: each side reaches both contacts', async () => {
    expect([...(await benchOf(board('10 nF'))).ends].sort()).toEqual(['J2.ring', 'J2.ring', 'J2.tip', 'J2.tip']);
  });
});

describe('an output whose impedance the sheet does not state', () => {
  const silent = {
    'silent.pinout.yaml': `pinout: silent
pins: {1: VSS, 2: {name: OUT, role: audio-out, channel: left, return: VSS, full-scale: 1 V}}
`,
  };
  const board = (pad: string) => `board: Pad
parts: {U1: {pinout: silent}, R1: ${pad}, R2: 1 k, J1: {style: rca, load: 10 k}}
nets: {GND: {role: ground}}
traces: {buzzed: [U1.OUT R1.1, R1.2 R2.1 J1.centre, R2.2 U1.VSS J1.shell GND]}
`;

  it('leaves the source impedance open where it would show', async () => {
    const way = (await benchOf(board('100'), silent)).way('J1.centre');
    expect(numberOf(way.impedance)).toBe('needs impedance of U1.2');
    // The loss is told, by a source of nothing: 1 kΩ beside 10 kΩ behind 100 Ω.
    expect(numberOf(way.loss)).toBeCloseTo(20 * Math.log10(parallel(1e3, 10e3) / (100 + parallel(1e3, 10e3))), 9);
  });

  it('does not where a pad hides it', async () => {
    const way = (await benchOf(board('100 k'), silent)).way('J1.centre');
    expect(numberOf(way.impedance)).toBeCloseTo(parallel(1e3, 100e3), 6);
  });
});
