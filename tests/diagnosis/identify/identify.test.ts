import { describe, expect, test } from 'vitest';
import { identify, type PartIdentity, weighParts } from '../../../server/src/diagnosis/identify/identify';
import { pointWords, renumber } from '../../../server/src/diagnosis/identify/renumber';
import { standing } from '../../../server/src/diagnosis/identify/standing';
import { bits, identityLines, percent, pinList } from '../../../server/src/diagnosis/identify/words';
import { mentions } from '../../../server/src/editor/mentions';
import { analyseBoard } from '../../harness/memory';
import { board, fw2210, fw2211, sheet } from './at-bench';

const whole = (part: string, pins: Record<string, string>, rest = ''): string => `board: Handset
parts:
  U1: ${part}
  Y1: 12 MHz
  C7: 22 uF
  C8: 22 uF
  J1: {style: jack-trs}
traces:
  buzzed:
    - U1.${pins.left} C7.+
    - C7.- J1.tip
    - U1.${pins.right} C8.+
    - C8.- J1.ring
    - U1.${pins.ground} J1.sleeve GND
    - U1.${pins.supply} VIO
  seen:
    - U1.${pins.xin} Y1.1
    - U1.${pins.xout} Y1.2
nets:
  GND: {role: ground}
  VIO: {role: supply, volts: 3.3 V}
${rest}`;
const marked = { left: '14', right: '13', ground: '12', supply: '7', xin: '9', xout: '10' };
const turned = { left: '6', right: '5', ground: '4', supply: '15', xin: '1', xout: '2' };
const mirrored = { left: '3', right: '4', ground: '5', supply: '10', xin: '8', xout: '7' };
const only = (parts: readonly PartIdentity[]): PartIdentity => {
  expect(parts).toHaveLength(1);
  return parts[0]!;
};

describe('identify', () => {
  test('the stated pinout, counted as marked', () => {
    const part = only(identify(board(whole('{pinout: fw2210}', marked), fw2210, fw2211)).parts);
    expect(part).toMatchObject({ part: 'U1', seen: 6, stated: { pinout: 'fw2210' }, ties: [] });
    const first = part.candidates[0]!;
    expect(first).toMatchObject({ pinout: 'fw2210', numbering: 'as-marked', contradict: [] });
    expect(first.agree).toEqual(['7', '9', '10', '12', '13', '14']);
    expect(first.open).toEqual(['1', '2', '3', '4', '5', '6', '8', '11', '15', '16']);
    expect(first.probability).toBeGreaterThan(0.99);
    expect(first.map).toEqual(Object.fromEntries(Array.from({ length: 16 }, (_, k) => [`${k + 1}`, `${k + 1}`])));
  });

  test('turned by half: the map leads from what is written to the data sheet', () => {
    const [first] = only(identify(board(whole('{pinout: fw2210}', turned), fw2210, fw2211)).parts).candidates;
    expect(first).toMatchObject({ pinout: 'fw2210', numbering: 'half-turn' });
    expect(first!.map['1']).toBe('9');
    expect(first!.map['6']).toBe('14');
    expect(first!.agree).toEqual(['1', '2', '4', '5', '6', '15']);
  });

  test('seen from below', () => {
    const [first] = only(identify(board(whole('{pinout: fw2210}', mirrored), fw2210, fw2211)).parts).candidates;
    expect(first).toMatchObject({ pinout: 'fw2210', numbering: 'mirrored' });
    expect(first!.map['3']).toBe('14');
    expect(first!.map['1']).toBe('16');
  });

  test('a part without a pinout is held against all in reach with as many pins; candidates are all there are', () => {
    const other = sheet('pinout: big\npackage: sop-20\npins: {1: VDD, 2: VSS}\n');
    const names = (part: string) =>
      new Set(
        only(
          identify(board(whole(part, { ...marked, left: '1', xin: '3' }), fw2210, fw2211, other)).parts,
        ).candidates.map((one) => one.pinout),
      );
    expect(names('{package: sop-16}').has('big')).toBe(false);
    expect(names('{candidates: [fw2211]}')).toEqual(new Set(['fw2211']));
  });

  test('siblings in pins nobody has looked at: a tie, and a pin that breaks it', () => {
    const text = whole('{candidates: [fw2210, fw2211]}', marked).replace(/ {2}seen:\n(?: {4}- .*\n)+/, '');
    const part = only(identify(board(text, fw2210, fw2211)).parts);
    expect(part.ties).toEqual([
      { pinout: 'fw2210', numbering: 'as-marked' },
      { pinout: 'fw2211', numbering: 'as-marked' },
    ]);
    expect(['5', '6', '9', '10']).toContain(part.next[0]!.pin);
    expect(identityLines(part)[0]).toContain('Nothing seen tells fw2210 from fw2211.');
    expect(identityLines(part)).toHaveLength(2);
  });

  test('siblings that nothing seen tells apart, turned alike: how the pins were counted is sure all the same', () => {
    // The two ends of a crystal look alike.
    const other = sheet(`pinout: fw2212
package: {style: sop-16, pins: 16}
pins: {1: VBAT, 2: VSS, 3: VREG, 4: nRESET, 5: SDA, 6: SCL, 7: {name: VDDIO, volts: [3.0 V, 3.6 V]}, 8: TEST, 9: XOUT, 10: XIN,
  11: VMID, 12: AGND, 13: DACR, 14: DACL, 15: MUTE, 16: NC}
`);
    const made = board(whole('{pinout: fw2212}', mirrored), fw2210, fw2211, other);
    const [weighed] = weighParts(made);
    const { turned: found, other: rival } = standing(weighed!)!;
    expect(rival).toBeUndefined();
    expect(found).toMatchObject({ numbering: 'mirrored', certain: true });
    expect(found!.probability).toBeGreaterThan(0.99);
    expect(found!.also.map((one) => one.name)).toEqual(['fw2210']);
    // And a board that fits as marked is not turned, whichever sibling it is.
    expect(standing(weighParts(board(whole('{pinout: fw2212}', marked), fw2210, other))[0]!)!.turned).toBeUndefined();
  });

  test('none of these, said before the nearest', () => {
    const text = `board: x
parts: {U1: {package: sop-16}, Y1: 12 MHz, J2: {style: usb-c}}
nets: {GND: {role: ground}, VIO: {role: supply, volts: 3.3 V}}
traces: {buzzed: [U1.1 Y1.1, U1.2 Y1.2, U1.4 J2.dp, U1.5 J2.dm, U1.9 U1.12 VIO, U1.16 U1.7 U1.8 GND]}
`;
    const part = only(identify(board(text, fw2210, fw2211)).parts);
    expect(part.none).toBeGreaterThan(part.candidates[0]!.probability);
    expect(identityLines(part)[0]).toMatch(/^None of these: \d+ %\. fw22/);
  });

  test('the next pin asks by the words for countings', () => {
    const [next] = only(identify(board('board: x\nparts: {U1: {pinout: fw2210}}\n', fw2210, fw2211)).parts).next;
    expect(next!.why).toMatch(/^Does pin \d+ .*\? It is \w+ on fw221\d( \w+)*; /);
    expect(next!.why).not.toMatch(/half-turn|as-marked/);
  });

  test('parts that are no question: pins written in the board, parts that are no chip, chips without a pinout in reach', () => {
    const text =
      'board: x\nparts: {U1: {pins: [VDD, VSS]}, R1: 470, U2: {note: unknown}}\ntraces: {buzzed: [U1.1 R1.1, U2.1 R1.2]}\n';
    expect(identify(board(text)).parts).toEqual([]);
    expect(identify(board(text, fw2210)).parts.map((part) => part.part)).toEqual(['U2']);
    expect(identify(board(text, fw2210), { part: 'R1' }).parts).toEqual([]);
    expect(identify(board(''), {}).parts).toEqual([]);
  });

  test('a not-fitted chip is no question', () => {
    expect(identify(board('board: x\nparts: {U1: not-fitted}\n', fw2210)).parts).toEqual([]);
  });
});

describe('written anew as the data sheet counts', () => {
  const rest = `readings:
  - U1.15: 3.3 V
  - {between: [U1.4, J1.sleeve], ohms: 0.2 ohm}
captures:
  played: {file: a.wav, channels: {1: U1.6, 2: [U1.5, GND]}, ground-lead: U1.4, stimulus: {tone: 1 kHz, into: [U1.3, GND]}}
reworks:
  - {name: lifted, cuts: [U1.2 Y1.2], traces: {buzzed: [[U1.DACL, TP1]], apart: [U1.1 U1.2]}}
expect:
  - stereo: {left: U1.6, right: U1.5, separation: 40 dB}
  - joined: [U1.4, GND]
accepted:
  - {check: output-dc, at: U1.6, because: it is U1.6 after all}
`;
  const text = whole('{pinout: fw2210}', turned, rest);
  const made = board(text, fw2210, fw2211);
  const part = made.at().parts.get('U1')!;
  const { map } = only(identify(made, { part: 'U1' }).parts).candidates[0]!;
  const edited = (edits: readonly { span: { start: number; end: number }; text: string }[]) =>
    [...edits].reverse().reduce((all, { span, text: by }) => all.slice(0, span.start) + by + all.slice(span.end), text);

  test('every point of the part, and nothing else', () => {
    const after = edited(renumber(made, part, map)!);
    for (const [from, to] of [
      ['U1.15: 3.3 V', 'U1.7: 3.3 V'],
      ['[U1.4, J1.sleeve]', '[U1.12, J1.sleeve]'],
      ['{1: U1.6, 2: [U1.5, GND]}, ground-lead: U1.4', '{1: U1.14, 2: [U1.13, GND]}, ground-lead: U1.12'],
      ['into: [U1.3, GND]', 'into: [U1.11, GND]'],
      ['cuts: [U1.2 Y1.2]', 'cuts: [U1.10 Y1.2]'],
      ['[U1.DACL, TP1]', '[U1.6, TP1]'],
      ['apart: [U1.1 U1.2]', 'apart: [U1.9 U1.10]'],
      ['left: U1.6, right: U1.5', 'left: U1.14, right: U1.13'],
      ['joined: [U1.4, GND]', 'joined: [U1.12, GND]'],
      ['at: U1.6, because: it is U1.6 after all', 'at: U1.14, because: it is U1.6 after all'],
    ] as const) {
      expect(text).toContain(from);
      expect(after).toContain(to);
    }
    const [first] = only(identify(board(after, fw2210, fw2211)).parts).candidates;
    expect(first).toMatchObject({ pinout: 'fw2210', numbering: 'as-marked' });
  });

  test('it finds what the editor knows as points', async () => {
    const analysis = await analyseBoard(text, { 'fw2210.pinout.yaml': 'pinout: fw2210\n' });
    const theirs = mentions(analysis).filter((one) => one.names === 'point');
    const starts = (list: readonly { span: { start: number } }[]) =>
      [...new Set(list.map((one) => one.span.start))].sort((a, b) => a - b);
    expect(starts(pointWords(made))).toEqual(starts(theirs));
  });

  test('not at all, where a pin has no counterpart', () => {
    expect(renumber(made, part, { ...map, 15: undefined as never })).toBeUndefined();
  });

  test('names become numbers where another pinout is taken', () => {
    const identity = Object.fromEntries(Object.keys(map).map((pin) => [pin, pin]));
    expect(renumber(made, part, identity)).toEqual([]);
    expect(renumber(made, part, identity, true)!.map((edit) => edit.text)).toEqual(['U1.14']);
  });
});

describe('in words', () => {
  test('lists of pins', () => {
    expect(pinList([])).toBe('none');
    expect(pinList(['3'])).toBe('3');
    expect(pinList(['1', '2', '3', '4', '7', 'EP'])).toBe('1–4, 7 and EP');
    expect(pinList(['1', '2'])).toBe('1 and 2');
    expect(pinList(['A1', 'A2', 'B1'])).toBe('A1, A2 and B1');
  });
  test('bits: never none', () => {
    expect(bits(0.01)).toBe('less than 0.1 bit');
    expect(bits(0.26)).toBe('0.3 bit');
  });
  test('never 0 % and never 100 %', () => {
    expect(percent(1 - 1e-9)).toBe('more than 99 %');
    expect(percent(1e-9)).toBe('less than 1 %');
    expect(percent(0.5)).toBe('50 %');
  });
});
