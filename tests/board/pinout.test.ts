import { describe, expect, it } from 'vitest';
import { pinsOfStyle } from '../../server/src/board/pinout';
import { boardOf, pinoutOf, problemsOf } from './boards';

describe('pinouts', () => {
  const amp = pinoutOf(`pinout: amp
package: {style: sop-8, pins: 8}
pins:
  1: {name: SHDN, active: low}
  5: {name: VO+, return: VO-, impedance: 0.1}
  6: {name: VDD, volts: [2.7 V, 5.5 V]}
  7: GND
  8: {name: VO-, return: 5}
modes:
  bridge: {VO+: {left: 0.5, right: 0.5}, 8: {left: -0.5, right: -0.5}}
sections:
  P: {kind: amplifier, plus: 4, out: [VO+, 8], gain: 20 dB}
`);

  it('returns, modes and sections name pins by number or name', () => {
    expect(amp.problems).toEqual([]);
    expect(amp.pins.get('5')?.returnPin).toBe('8');
    expect(amp.pins.get('8')?.returnPin).toBe('5');
    expect(amp.modes.get('bridge')?.get('5')).toEqual({ left: 0.5, right: 0.5 });
    expect(amp.modes.get('bridge')?.get('8')).toEqual({ left: -0.5, right: -0.5 });
    expect(amp.sections[0]).toMatchObject({ plus: '4', out: ['5', '8'], gain: 20 });
  });

  it('roles follow from names, and a stated role wins', () => {
    expect(amp.pins.get('6')?.role).toBe('supply');
    expect(amp.pins.get('7')?.role).toBe('ground');
    expect(amp.pins.get('5')?.role).toBe('audio-out');
    expect(pinoutOf('pinout: p\npins: {1: {name: VDD, role: reference}}').pins.get('1')?.role).toBe('reference');
  });

  it('a pin beyond the package is out of range, a name that is none is told where it stands', () => {
    const problems = pinoutOf(
      'pinout: p\npackage: sop-8\npins: {9: VDD, 1: {name: OUT, return: 12}}\nmodes: {m: {NIX: {left: 1}}}',
    ).problems.map((problem) => problem.check);
    expect(problems.sort()).toEqual(['pin-out-of-range', 'pin-out-of-range', 'unknown-reference']);
  });

  it.each([
    ['sop-16', 16],
    ['ssop-20', 20],
    ['qfn-32', 32],
    ['dip8', 8],
    ['sot-23', undefined],
    ['sot-23-5', 5],
    ['to-220', undefined],
    ['module', undefined],
  ])('%s has %s pins', (style, count) => {
    expect(pinsOfStyle(style)).toBe(count);
  });

  it('is found whatever its case; an unknown one is told, in a chip’s short form at most as a hint', () => {
    expect(boardOf('parts: {U1: {pinout: AMP}}', 'pinout: amp').at().parts.get('U1')?.pinout?.name).toBe('amp');
    expect(boardOf('parts: {U1: amp}', 'pinout: amp').at().parts.get('U1')?.pinout?.name).toBe('amp');
    expect(problemsOf(boardOf('parts: {U1: {pinout: nix}}', 'pinout: amp'))[0]).toMatch(/^unknown-reference .*nix/);
    expect(boardOf('parts: {U1: ams}', 'pinout: amp').problems[0]?.severity).toBe('hint');
    expect(problemsOf(boardOf('parts: {U1: ZX4711}', 'pinout: amp'))).toEqual([]);
  });
});

describe('a number alone as the pins of a part', () => {
  const board = boardOf(`parts:\n  T1: {kind: transformer, pins: 4}\ntraces: {buzzed: [T1.4 A, T1.5 B]}\n`);
  it('is how many there are', () => {
    expect(problemsOf(board)).toEqual([expect.stringContaining('There is no pin 5: the part has 4 pins.')]);
  });
});
