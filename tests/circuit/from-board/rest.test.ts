import { describe, expect, it } from 'vitest';
import { atDrops } from '../../../server/src/circuit/from-board/drops';
import { partFigures } from '../../../server/src/circuit/from-board/part-figures';
import { nodeFigures } from '../../../server/src/circuit/from-board/place-figures';
import { restBetween } from '../../../server/src/circuit/from-board/rest';
import { benchOf, numberOf } from './bench';

describe('DC at nets', () => {
  it('follows dividers, LEDs and cells by closed forms', async () => {
    const bench = await benchOf(`board: Rails
parts:
  BT1: {value: 3.7 V, chemistry: lithium-ion}
  R1: 10 k
  R2: 10 k
  R3: 1 k
  LED1: red
  F1: 500 mA
nets: {GND: {role: ground}, VDD: {role: supply, volts: 5 V}}
traces:
  buzzed:
    - BT1.+ F1.1
    - F1.2 VBAT R1.1
    - R1.2 R2.1 MID
    - BT1.- R2.2 GND LED1.K
    - VDD R3.1
    - R3.2 LED1.A
`);
    // The cell is held behind 1 mΩ: 3.7 V · 10/20, less a tenth of a microvolt.
    expect(bench.volts('MID')).toBeCloseTo(1.85, 6);
    expect(bench.volts('VBAT')).toBeCloseTo(3.7, 6);
    // An LED of unstated drop is taken as 2 V.
    expect(bench.volts('LED1.A')).toBeCloseTo(2.0, 9);
    expect(bench.board.network.dc.solution.current('LED1')!.re).toBeCloseTo(0.003, 6);
  });

  it('is 5 V behind a USB contact', async () => {
    const bench = await benchOf(`board: USB
parts: {J1: {style: usb-micro-b}, FB1: 600, R1: 1 k, R2: 4 k}
nets: {GND: {role: ground}}
traces:
  buzzed: [J1.vbus FB1.1, FB1.2 R1.1, R1.2 R2.1 HALF, R2.2 J1.gnd GND]
`);
    // USB 2.0: VBUS 5 V nominal. A ferrite is its dcr, here none, never its 600 Ω.
    expect(bench.volts('HALF')).toBeCloseTo(4, 5);
  });

  it('is held by a regulator section and a charge-pump rail below ground', async () => {
    const bench = await benchOf(`board: Pump
parts:
  U2: {pins: {1: {name: VIN, role: supply}, 2: GND, 3: {name: CPVSS, volts: -3.3 V}}}
  R1: 1 k
  R2: 2 k
nets: {GND: {role: ground}, VDD: {role: supply, volts: 3.3 V}}
traces:
  buzzed: [U2.GND GND, U2.VIN VDD R1.1, R1.2 R2.1 TAP, U2.CPVSS R2.2]
`);
    expect(bench.volts('U2.3')).toBeCloseTo(-3.3, 5);
    expect(bench.volts('TAP')).toBeCloseTo(3.3 - 6.6 / 3, 5);
  });

  it('floats behind a coupling capacitor without a bleeder, and is 0 with one', async () => {
    const text = (extra: string) => `board: Float
parts: {U1: {pinout: player}, C7: 10 uF, R9: 47 k}
nets: {GND: {role: ground}, OUT: {role: audio-out, channel: left}}
traces:
  buzzed: [U1.OUTL C7.1, C7.2 OUT, U1.VSS GND${extra}]
`;
    expect((await benchOf(text(''))).volts('OUT')).toBeUndefined();
    expect((await benchOf(text(', OUT R9.1, R9.2 GND'))).volts('OUT')).toBeCloseTo(0, 9);
  });
});

describe('stages of chips', () => {
  it('an inverting op-amp on ± supplies gains −R2/R1 and rests at ground', async () => {
    const bench = await benchOf(
      `board: Stage
parts:
  U1: {pinout: player}
  U3:
    pinout: dual
  C1: 10 uF
  R1: 10 k
  R2: 22 k
  J2: {style: rca, load: 10 k}
nets: {GND: {role: ground}, VP: {role: supply, volts: 12 V}, VN: {role: supply, volts: -12 V}}
traces:
  buzzed:
    - U1.OUTL C1.1
    - C1.2 R1.1
    - R1.2 U3.INAM R2.1
    - R2.2 U3.OUTA J2.centre
    - U3.INAP U1.VSS J2.shell GND
    - U3.VP VP
    - U3.VN VN
`,
      dual,
    );
    const reactance = 1 / (2 * Math.PI * 997 * 10e-6);
    expect(numberOf(bench.way('J2.centre').loss)).toBeCloseTo(20 * Math.log10(22e3 / Math.hypot(10050, reactance)), 9);
    expect(numberOf(bench.way('J2.centre').corner)).toBeCloseTo(1 / (2 * Math.PI * 10050 * 10e-6), 6);
    expect(bench.volts('J2.centre')).toBeCloseTo(0, 9);
  });

  it('a bridge puts twice one leg across the loudspeaker, and no DC', async () => {
    const bench = await benchOf(
      `board: Speaker
parts:
  U1: {pinout: player}
  U4: {pinout: bridge}
  C1: 1 uF
  R1: 10 k
  LS1: 8
nets: {GND: {role: ground}}
traces:
  buzzed:
    - U1.OUTL C1.1
    - C1.2 R1.1 U4.IN
    - R1.2 U1.VSS U4.VSS GND
    - U4.OUTP LS1.+
    - U4.OUTN LS1.-
`,
      bridge,
    );
    const solved = bench.board.network.at(997).solve({ 'U1.3': 1 });
    const reactance = 1 / (2 * Math.PI * 997 * 1e-6);
    const across = solved.between('U4.3', 'U4.4')!;
    // 20 dB in all, half of it a leg.
    expect(Math.hypot(across.re, across.im)).toBeCloseTo((10 * 10e3) / Math.hypot(10050, reactance), 6);
    expect(bench.volts('U4.3')).toBeCloseTo(2.5, 9);
    expect(bench.volts('U4.3', 'U4.4')).toBeCloseTo(0, 9);
  });
});

const dual = {
  'dual.pinout.yaml': `pinout: dual
pins: {1: OUTA, 2: {name: INAM, role: audio-in}, 3: {name: INAP, role: audio-in}, 4: {name: VN, role: supply}, 8: {name: VP, role: supply}}
sections: {A: {kind: op-amp, plus: 3, minus: 2, out: 1}}
`,
};
const bridge = {
  'bridge.pinout.yaml': `pinout: bridge
pins:
  1: {name: IN, role: audio-in}
  2: VSS
  3: {name: OUTP, role: audio-out, bias: 2.5 V}
  4: {name: OUTN, role: audio-out, bias: 2.5 V}
sections: {P: {kind: amplifier, plus: 1, out: [3, 4], gain: 20 dB}}
`,
};

describe('a forward drop that nobody has stated', () => {
  const board = (led: string) => `board: Lamp
parts: {R3: 1 k, LED1: ${led}}
nets: {GND: {role: ground}, VDD: {role: supply, volts: 5 V}}
traces: {buzzed: [VDD R3.1, R3.2 LED1.A, LED1.K GND]}
`;
  const facts = async (led: string) => {
    const { board: net, copper } = await benchOf(board(led));
    const rest = restBetween(net, copper.node('LED1.A')!, net.reference);
    return rest?.basis.map((fact) => `${fact.evidence} ${fact.what}`);
  };

  it('is a guess on which the figure rests; a stated one is none', async () => {
    expect(await facts('')).toContain('assumed LED1 taken as 2 V forward');
    expect((await facts('1.9 V'))?.filter((fact) => fact.startsWith('assumed'))).toEqual([]);
  });

  it('moves the figure from end to end of its range', async () => {
    const { board: net } = await benchOf(board(''));
    const amps = (end: 'least' | 'most') => atDrops(net, end).network.dc.solution.current('LED1')!.re;
    // (5 V − 1.2 V) / 1 kΩ and (5 V − 3.6 V) / 1 kΩ.
    expect([amps('least'), amps('most')]).toEqual([expect.closeTo(3.8e-3, 8), expect.closeTo(1.4e-3, 8)]);
  });
});

describe('two supplies whose nominals do not agree', () => {
  const board = (part: string, ends: [string, string]) => `board: Or-ing
parts: {J1: usb-micro-b, BT1: {value: 3.7 V, chemistry: lithium-ion}, ${part}, R1: 1 k}
nets: {GND: {role: ground}, VSYS: {role: supply, volts: 4.0 V}}
traces:
  buzzed: [J1.vbus ${ends[0]}, ${ends[1]} VSYS R1.1, R1.2 J1.gnd BT1.- GND]
`;

  it('let no current flow between them through a diode, a coil or a switch', async () => {
    const diode = await benchOf(board('D1: ', ['D1.A', 'D1.K']));
    expect(diode.volts('VSYS')).toBeCloseTo(4, 5);
    expect(partFigures(diode.copper, diode.copper.parts.get('D1')!)).toEqual([]);
    for (const [part, ends] of [
      ['L1: {value: 10 uH, dcr: 50 mohm}', ['L1.1', 'L1.2']],
      ['SW1: ', ['SW1.1', 'SW1.2']],
    ] as const) {
      const bench = await benchOf(board(part, [...ends]));
      // Only one of them is held; the other follows it, less what 1 kΩ draws.
      const amps = bench.board.network.dc.solution.current(part.slice(0, part.indexOf(':')))!.re;
      expect(Math.abs(amps)).toBeLessThan(6e-3);
    }
  });
});

describe('an end of a part that nobody has followed yet', () => {
  const board = (extra: string, whole = '') => `board: Mid-rail
${whole}parts: {R11: 10 k, R12: 10 k, U1: {pinout: player}, R5: 10 k}
nets: {GND: {role: ground}, V5: {role: supply, volts: 5 V}}
traces:
  buzzed: [R11.2 R12.1 VMID, R12.2 U1.VSS GND, U1.OUTL R5.1 OUT${extra}]
`;

  it('leaves open what it may hold, and nothing that is held anyway', async () => {
    const bench = await benchOf(board(''));
    expect(bench.volts('VMID')).toBeUndefined();
    const lines = nodeFigures(bench.copper, bench.copper.node('VMID')!).map(({ text }) => text);
    expect(lines).toEqual(['needs where R11.1 goes']);
    // 50 Ω hold 1.65 V against whatever 10 kΩ lead to.
    expect(bench.volts('OUT')).toBeCloseTo(1.65, 9);
  });

  it('once found, or on a board that is listed whole, is no question any more', async () => {
    expect((await benchOf(board(', R11.1 V5'))).volts('VMID')).toBeCloseTo(2.5, 4);
    expect((await benchOf(board('', 'complete: true\n'))).volts('VMID')).toBeCloseTo(0, 9);
  });
});

describe('a node that something holds of which no volts are said', () => {
  const lines = async (text: string, point: string) => {
    const { copper } = await benchOf(text);
    return nodeFigures(copper, copper.node(point)!).map(({ text: said }) => said);
  };

  it('a lamp at a data pin is not told to be dark', async () => {
    const text = `board: Lamp
parts: {U1: {pins: {1: {name: GPIO3}, 2: VSS}}, R1: 1 k, LED1: 2 V}
nets: {GND: {role: ground}}
traces: {buzzed: [U1.1 R1.1, R1.2 LED1.A, LED1.K U1.2 GND]}
`;
    const { copper } = await benchOf(text);
    expect(partFigures(copper, copper.parts.get('LED1')!).map(({ text: said }) => said)).toEqual([
      'needs the volts of U1.1',
    ]);
    expect(await lines(text, 'U1.1')).toEqual(['needs the volts of U1.1']);
  });

  it('a supply whose volts nobody says, or that a transistor switches, is not told to be at 0 V', async () => {
    const supply = (joins: string) => `board: Rail
parts: {R1: 1 k, Q1: {kind: pmos}, BT1: {value: 3.7 V}}
nets: {GND: {role: ground}, VDD: {role: supply}}
traces: {buzzed: [${joins}, R1.2 BT1.- GND]}
`;
    expect(await lines(supply('VDD R1.1'), 'VDD')).toEqual(['needs the volts of VDD']);
    expect(await lines(supply('SWITCHED Q1.D R1.1, Q1.S BT1.+'), 'SWITCHED')).toEqual(['needs the volts of Q1.D']);
    expect(await lines(supply('VDD R1.1 BT1.+'), 'VDD')).toEqual(['3.7 V DC']);
  });

  it('a pin that may pull is nothing against an output of low impedance', async () => {
    const bench = await benchOf(`board: Detect
parts: {U1: {pinout: player}, U2: {pins: {1: {name: GPIO1}, 2: VSS}}, R1: 100, J2: {style: jack-ts, load: 10 k}}
nets: {GND: {role: ground}}
traces: {buzzed: [U1.OUTL R1.1, R1.2 J2.tip U2.1, U1.VSS U2.2 J2.sleeve GND]}
`);
    expect(bench.volts('J2.tip')).toBeCloseTo((1.65 * 10e3) / 10150, 6);
  });
});
