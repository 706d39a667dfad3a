import { describe, expect, it } from 'vitest';
import { boardOf, problemsOf } from './boards';

const player = `pinout: player
package: {style: qfn-16, pins: 16}
pins: {1: VDD, 2: GND, 3: GND, 14: HPOUT_L, 15: D-, EP: GND}
`;
const nameOf = (text: string, point: string) => boardOf(text, player).point(point)?.ref.name;

describe('points', () => {
  it('a name under nets is a net before anything else', () => {
    expect(boardOf('nets: {R1.1: {role: ground}}').point('R1.1')?.ref.part).toBeUndefined();
  });

  it.each([['3.3V'], ['-15V'], ['/RST'], ['V3.3'], ['OUT_L'], ['A.B']])('%s is a net', (point) => {
    const found = boardOf('').point(point)?.ref;
    expect(found).toEqual({ name: point, part: undefined, pin: undefined });
  });

  it.each([
    ['parts: {U1: {pinout: player}}', 'U1.14', 'U1.14'],
    ['parts: {U1: {pinout: player}}', 'U1.HPOUT_L', 'U1.14'],
    ['parts: {U1: {pinout: player}}', 'U1.hp-out-l', 'U1.14'],
    ['parts: {U1: {pinout: player}}', 'U1.D−', 'U1.15'],
    ['parts: {U1: {pinout: player}}', 'U1.EP', 'U1.EP'],
    ['parts: {U1: {pinout: player}}', 'U1.PAD', 'U1.EP'],
    ['parts: {U1: {pinout: player}}', 'U1.0', 'U1.EP'],
    ['parts: {U1: {pinout: player}}', 'U1.17', 'U1.EP'],
    ['parts: {C7: 22 uF}', 'C7.+', 'C7.1'],
    ['parts: {C7: 22 uF}', 'C7.-', 'C7.2'],
    ['parts: {BT1: 3.7 V}', 'BT1.+', 'BT1.1'],
    ['parts: {LS1: 8}', 'LS1.-', 'LS1.2'],
    ['parts: {MK1: {}}', 'MK1.+', 'MK1.1'],
    ['parts: {D1: {}}', 'D1.a', 'D1.A'],
    ['parts: {Q1: {kind: npn}}', 'Q1.b', 'Q1.B'],
    ['parts: {Q1: {kind: npn, pins: B E C}}', 'Q1.C', 'Q1.3'],
    ['parts: {Q1: {kind: npn, pins: B E C}}', 'Q1.3', 'Q1.3'],
    ['parts: {RV1: 10 k}', 'RV1.wiper', 'RV1.2'],
    ['parts: {RV1: 10 k}', 'RV1.cw', 'RV1.3'],
    ['parts: {BR1: {}}', 'BR1.ac1', 'BR1.ac1'],
    ['parts: {J2: jack-trs}', 'J2.Tip', 'J2.tip'],
    ['parts: {J2: {style: jack-trs}}', 'J2.detect', 'J2.detect'],
    ['parts: {SHIELD: {pins: {1: GND}}}', 'SHIELD.1', 'SHIELD.1'],
    ['parts: {TP4: {}}', 'TP4', 'TP4'],
    ['', 'AE1', 'AE1'],
    ['', 'R99.2', 'R99.2'],
    ['', 'U9.177', 'U9.177'],
  ])('%s: %s is %s', (text, point, name) => {
    expect(nameOf(text, point)).toBe(name);
  });

  it.each([
    ['U1.GND', 'unknown-reference', 'names'],
    ['U1.HPOUT_R', 'unknown-reference', 'HPOUT_L'],
    ['U1.18', 'pin-out-of-range', '16'],
    ['R1.3', 'pin-out-of-range', 'R1'],
    ['D1.X', 'unknown-reference', 'D1'],
    ['J2.tipp', 'unknown-reference', 'tip'],
    ['Q1.G', 'unknown-reference', 'Q1'],
    ['R1', 'unknown-reference', 'R1.1'],
  ])('%s is %s', (point, check, says) => {
    const text = `parts: {U1: {pinout: player}, R1: 1 k, D1: {}, Q1: {kind: npn}, J2: {style: jack-trs}}\ntraces: {buzzed: [NET ${point}]}`;
    const problems = problemsOf(boardOf(text, player));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatch(new RegExp(`^${check} `));
    expect(problems[0]).toContain(says);
  });

  it('using + or - on a capacitor makes it polarised', () => {
    const parts = (text: string) => boardOf(text).at().parts;
    expect(parts('parts: {C1: 10 uF}\ntraces: {buzzed: [C1.+ A]}').get('C1')?.polarised).toBe(true);
    expect(parts('parts: {C1: 10 uF}\ntraces: {buzzed: [C1.1 A]}').get('C1')?.polarised).toBe(false);
    expect(parts('parts: {C1: {value: 10 uF, polarised: no}}\ntraces: {buzzed: [C1.+ A]}').get('C1')?.polarised).toBe(
      false,
    );
    expect(parts('traces: {buzzed: [C2.- A]}').get('C2')?.polarised).toBe(true);
  });
});
