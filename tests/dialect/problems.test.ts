import { describe, expect, test } from 'vitest';
import { parseBoard, parsePinout } from '../../server/src/dialect/parse';
import { findings, fixed, mended } from './findings';

const board = (rest: string) => `board: x\n${rest}\n`;
const first = (text: string) => parseBoard(text).problems[0]!;

/** The finding, and the text after its fix: what must be left is nothing. */
function mends(text: string, finding: string, after: string): void {
  expect(findings(text)).toEqual([finding]);
  expect(fixed(text, first(text))).toBe(after);
  expect(findings(after)).toEqual([]);
}

describe('unknown-key', () => {
  test('with the nearest right spelling', () => {
    mends(board('parts: {R1: {vlaue: 470}}'), 'unknown-key: vlaue', board('parts: {R1: {value: 470}}'));
    mends(board('capures: {}'), 'unknown-key: capures', board('captures: {}'));
  });
  test('without a look where only case or separators differ', () => {
    const text = board('captures: {t: {Full_Scale: 1 V}}');
    mends(text, 'unknown-key: Full_Scale', board('captures: {t: {full-scale: 1 V}}'));
    expect(first(text).fixes![0]!.safe).toBe(true);
    expect(first(board('parts: {R1: {vlaue: 470}}')).fixes![0]!.safe).toBe(false);
  });
  test('with the keys there are where nothing is near', () => {
    const { message, fixes } = first(board('verdict: {gremlin: x}'));
    expect(message).toBe('`gremlin` is not a key here. Keys here: `cause`, `remedy`, `note`.');
    expect(fixes).toBeUndefined();
  });
  test('of a check without a threshold', () => {
    expect(findings(board('limits: {syntax: 3 dB}'))).toEqual(['unknown-key: syntax']);
    mends(
      board('limits: {return-shard: -50 dB}'),
      'unknown-key: return-shard',
      board('limits: {return-shared: -50 dB}'),
    );
  });
  test('names of parts and nets are free', () => {
    expect(findings(board('parts: {ZZ9: 470, "odd one": x}\nnets: {/RST: {role: control}, -15V: {}}'))).toEqual([]);
  });
  test('names that every object has are no keys', () => {
    expect(findings(board('constructor: x\ntoString: y\n__proto__: z'))).toEqual([
      'unknown-key: constructor',
      'unknown-key: toString',
      'unknown-key: __proto__',
    ]);
  });
});

describe('missing-key', () => {
  test('the title of a board, the name of a pinout, the reason of an acceptance', () => {
    expect(findings('parts: {}\n')).toEqual(['missing-key: parts']);
    expect(findings('pins: {}\n', parsePinout)).toEqual(['missing-key: pins']);
    expect(findings(board('accepted:\n  - check: return-shared'))).toEqual(['missing-key: check']);
  });
  test('a key without its value yet is there', () => {
    expect(findings('board:\n')).toEqual([]);
    expect(findings(board('accepted: [{check: return-shared, because: }]'))).toEqual([]);
  });
});

test('half-typed keys and values are no findings, and read as not there', () => {
  const text = board(
    'complaint:\ncautions:\npinouts: []\nparts:\n  U1:\n  U2: {pinout: , mode}\ntraces:\n  buzzed:\n    -\n    - U1.\n  seen:\nnets: {GND}\nreadings:\n  -\n  - VSYS:\n  - at:\nexpect: [{stereo: }]',
  );
  expect(findings(text)).toEqual([]);
  const file = parseBoard(text).value.value!;
  expect(file.complaint).toMatchObject({ value: undefined });
  expect(file.parts!.value![0]!.value.map).toBeUndefined();
  expect(file.parts!.value![1]!.value.map?.value?.pinout?.value).toBeUndefined();
  expect(file.traces!.value!.buzzed!.value!.map((join) => join.value?.map((word) => word.text))).toEqual([['U1.']]);
  expect(file.readings!.value!.map((reading) => reading.short?.key.text)).toEqual(['VSYS', undefined]);
  expect(file.readings!.value![0]!.short!.value.value).toBeUndefined();
});

describe('wrong-type', () => {
  test('one value where a list belongs is wrapped', () => {
    mends(board('cautions: mains'), 'wrong-type: mains', board('cautions: [mains]'));
    mends(board('traces: {buzzed: U1.14 C7.+}'), 'wrong-type: U1.14 C7.+', board('traces: {buzzed: [U1.14 C7.+]}'));
    expect(first(board('cautions: mains')).fixes![0]!.safe).toBe(true);
  });
  test('keys where a list belongs get their dashes', () => {
    mends(
      board('readings:\n  VSYS: 3 V\n  V2: 4 V'),
      'wrong-type: VSYS: 3 V\n  V2: 4 V',
      board('readings:\n  - VSYS: 3 V\n  - V2: 4 V'),
    );
  });
  test('a word where a map belongs gets its key', () => {
    mends(board('nets: {GND: ground}'), 'wrong-type: ground', board('nets: {GND: {role: ground}}'));
  });
  test('says what is expected, with an example', () => {
    expect(first(board('parts: [R1]')).message).toBe(
      '`parts` takes a map, such as `parts: {R4: 470, C7: 22 uF 6.3 V}`.',
    );
    expect(first(board('complaint: [a]')).message).toBe(
      '`complaint` takes text, such as `complaint: narration turns hollow`.',
    );
  });
  test('flags take six words, in any case', () => {
    for (const word of ['true', 'False', 'YES', 'no', 'on', 'Off']) {
      const { value, problems } = parseBoard(board(`complete: ${word}`));
      expect(problems).toEqual([]);
      expect(value.value!.complete!.value).toBe(/true|yes|on/i.test(word));
    }
    mends(board('complete: ture'), 'wrong-type: ture', board('complete: true'));
    expect(findings(board('complete: 1'))).toEqual(['wrong-type: 1']);
  });
  test('numbers come from the source text', () => {
    const text = 'pinout: x\npackage: {pins: 1e1}\nsource: {page: 06}\nmodes: {m: {A: {left: -.5, right: one}}}\n';
    const { value } = parsePinout(text);
    expect(findings(text, parsePinout)).toEqual(['wrong-type: one']);
    expect(value.value!.package!.map!.value!.pins!.value).toBe(10);
    expect(value.value!.source!.value!.page!.value).toBe(6);
  });
});

test('texts keep their spelling', () => {
  const text = board(
    'parts: {R1: {code: 047}, R2: {code: 000}, R3: {code: 1e3}, U1: {marking: 5532E4, note: NO}, U2: {note: +5}}',
  );
  const parts = parseBoard(text).value.value!.parts!.value!.map(({ value }) => value.map!.value!);
  expect(parts.slice(0, 3).map((part) => part.code!.value)).toEqual(['047', '000', '1e3']);
  expect([parts[3]!.marking!.value, parts[3]!.note!.value, parts[4]!.note!.value]).toEqual(['5532E4', 'NO', '+5']);
});

describe('duplicate-name', () => {
  test('the second is reported, the first holds, and both places are told', () => {
    const text = board('parts:\n  R1: 470\n  R2: 1 k\n  R1: 330');
    const { problems, value } = parseBoard(text);
    expect(findings(text)).toEqual(['duplicate-name: R1']);
    expect(problems[0]!.span.start).toBe(text.lastIndexOf('R1'));
    expect(problems[0]!.related![0]!.span.start).toBe(text.indexOf('R1'));
    expect(value.value!.parts!.value!.map(({ key, value }) => [key.text, value.scalar?.value])).toEqual([
      ['R1', '470'],
      ['R2', '1 k'],
    ]);
  });
  test('of a key', () => {
    expect(findings(board('board: y'))).toEqual(['duplicate-name: board']);
    expect(findings(board('nets: {A: {role: ground, role: ground}}'))).toEqual(['duplicate-name: role']);
  });
});

describe('unknown-reference', () => {
  test('a value outside its list, with the nearest spelling', () => {
    mends(board('nets: {GND: {role: grund}}'), 'unknown-reference: grund', board('nets: {GND: {role: ground}}'));
    mends(board('cautions: [lithium cell]'), 'unknown-reference: lithium cell', board('cautions: [lithium-cell]'));
    expect(first(board('nets: {A: {channel: middle}}')).message).toBe(
      '`middle` is not known here. It can be `left`, `right` or `mono`.',
    );
  });
  test('an open list takes anything', () => {
    expect(findings(board('verdict: {cause: gremlins}\nparts: {BT1: {chemistry: potato}}'))).toEqual([]);
  });
});

describe('quantities', () => {
  test('bad-quantity and wrong-unit, with what was expected', () => {
    expect(findings(board('nets: {A: {load: lots}}'))).toEqual(['bad-quantity: lots']);
    expect(findings(board('nets: {A: {load: 3 V}}'))).toEqual(['wrong-unit: 3 V']);
    expect(first(board('nets: {A: {load: 3 V}}')).message).toContain('resistance in ohms, such as 4k7');
    expect(findings(board('captures: {t: {full-scale: 2 Vpp}}'))).toEqual(['wrong-unit: 2 Vpp']);
  });
  test('a likely slip offers what was meant', () => {
    mends(board('parts: {Y1: {stray: 10 MF}}'), 'bad-quantity: 10 MF', board('parts: {Y1: {stray: 10 µF}}'));
  });
  test('over range, where a meter can show it', () => {
    const reading = parseBoard(board('readings: [A B: OL, {at: A, dc: OL}]')).value.value!.readings!.value!;
    expect(reading[0]!.short!.value.value).toMatchObject({ value: Number.POSITIVE_INFINITY, dimension: 'resistance' });
    expect(reading[1]!.value!.dc!.value).toMatchObject({ value: Number.POSITIVE_INFINITY, dimension: 'voltage' });
    expect(findings(board('nets: {A: {load: OL}}'))).toEqual(['bad-quantity: OL']);
  });
  test('ranges: a nominal, or the least and the most in order', () => {
    mends(board('nets: {A: {volts: [5 V, 3 V]}}'), 'bad-quantity: [5 V, 3 V]', board('nets: {A: {volts: [3 V, 5 V]}}'));
    expect(findings(board('nets: {A: {volts: [-15 V, -14 V]}, B: {volts: [3 V]}, C: {volts: -5 V}}'))).toEqual([]);
    expect(findings(board('nets: {A: {volts: [1 V, 2 V, 3 V]}}'))).toEqual(['wrong-type: [1 V, 2 V, 3 V]']);
  });
  test('a threshold is in the unit of its check', () => {
    expect(findings(board('limits: {coupling-corner-high: 20 dB}'))).toEqual(['wrong-unit: 20 dB']);
    const limits = parseBoard(board('limits: {coupling-corner-high: 20, supply-ripple: 3}')).value.value!.limits!
      .value!;
    expect(limits.map((limit) => limit.value.value?.dimension)).toEqual(['frequency', 'percent']);
  });
});

describe('short forms of readings', () => {
  test('a slip of a key is a slip, a name is a name', () => {
    expect(findings(board('readings:\n  - betwen: A B'))).toEqual(['unknown-key: betwen']);
    expect(findings(board('readings:\n  - DC: 3 V\n  - At: 3 V\n  - a/b: 3 V\n  - gnd: 0 V\n  - V5: 5 V'))).toEqual([]);
  });
  test('stand alone', () => {
    expect(findings(board('readings:\n  - VSYS: 3 V\n    stimulus: silence'))).toEqual(['unknown-key: VSYS']);
    expect(first(board('readings:\n  - VSYS: 3 V\n    stimulus: silence')).message).toContain('write `at: VSYS`');
  });
  test('need a unit: it says what was measured', () => {
    expect(findings(board('readings:\n  - VSYS: 3.28'))).toEqual(['bad-quantity: 3.28']);
  });
});

test('words: in a list or on one line, each with its place', () => {
  const text = board(
    'traces:\n  buzzed:\n    - U1.14, C7.+ R1.1\n    - [U1.2, "J 2.tip", A B]\n    - "X.1 X.2"\n    - - Y.1\n      - Y.2',
  );
  expect(findings(text)).toEqual([]);
  const joins = parseBoard(text).value.value!.traces!.value!.buzzed!.value!;
  expect(joins.map((join) => join.value!.map((word) => word.text))).toEqual([
    ['U1.14', 'C7.+', 'R1.1'],
    ['U1.2', 'J 2.tip', 'A', 'B'],
    ['X.1', 'X.2'],
    ['Y.1', 'Y.2'],
  ]);
  for (const { text: word, span } of joins.flatMap((join) => join.value!)) {
    expect(text.slice(span.start, span.end).replaceAll('"', '')).toBe(word);
  }
});

test('fixes of several findings do not disturb one another, and come to an end', () => {
  const text = board(
    'complaint: hums: loudly\ncautions: mains\nparts:\n  C1: {vlaue: 10 MF, note: odd, really}\nnets: {A: grund}\nreadings:\n  VSYS: 3 V',
  );
  expect(findings(text)).toHaveLength(6);
  expect(findings(mended(text))).toEqual(['wrong-type: grund']);
});

describe('what was meant, where another form is written', () => {
  test('a figure or a word for a whole map', () => {
    mends(board('nets: {VDD: 3V3}'), 'wrong-type: 3V3', board('nets: {VDD: {volts: 3V3}}'));
    mends(board('nets: {GND: ground}'), 'wrong-type: ground', board('nets: {GND: {role: ground}}'));
    expect(first(board('nets: {VDD: 3V3}')).message).toBe('A map is expected here. Did you mean `{volts: 3V3}`?');
    // Without a unit it may be anything.
    expect(first(board('nets: {VDD: 33}')).fixes).toBeUndefined();
  });
  test('a reading without its colon', () => {
    mends(board('readings:\n  - U1.1 4.5 V'), 'wrong-type: U1.1 4.5 V', board('readings:\n  - U1.1: 4.5 V'));
    const pair = board('readings:\n  - J1.tip GND 4.7 kohm');
    mends(pair, 'wrong-type: J1.tip GND 4.7 kohm', board('readings:\n  - J1.tip GND: 4.7 kohm'));
    expect(first(board('readings:\n  - U1.1 high')).fixes).toBeUndefined();
  });
  test.each([
    ['3.0-3.6 V', '[3.0 V, 3.6 V]'],
    ['3 V .. 3.6 V', '[3 V, 3.6 V]'],
    ['3.0…3.6V', '[3.0 V, 3.6V]'],
    ['4.5 V to 18 V', '[4.5 V, 18 V]'],
    ['-5 – 5 V', '[-5 V, 5 V]'],
  ])('a range on one line: %s', (written, list) => {
    const text = (volts: string) => board(`nets: {VDD: {role: supply, volts: ${volts}}}`);
    mends(text(written), `bad-quantity: ${written}`, text(list));
  });
  test.each(['-5 V', '3V3', '-12 mV', '1e-3 V'])('%s is one value', (written) =>
    expect(findings(board(`nets: {VDD: {volts: ${written}}}`))).toEqual([]),
  );
});
