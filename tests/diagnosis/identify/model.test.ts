import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { backgroundOf, usual } from '../../../server/src/diagnosis/identify/background';
import { evidence, predict } from '../../../server/src/diagnosis/identify/likelihood';
import { fittingMarking, markingEvidence, matchesPattern } from '../../../server/src/diagnosis/identify/marking';
import { nextPins } from '../../../server/src/diagnosis/identify/next-pin';
import { pairs } from '../../../server/src/diagnosis/identify/pairs';
import { pinTypes } from '../../../server/src/diagnosis/identify/pin-type';
import { perPinout, posterior, tied } from '../../../server/src/diagnosis/identify/posterior';
import { type CopperKind, copperKinds, type PinSeen } from '../../../server/src/diagnosis/identify/seen';
import { audioTable, clockTable, copperTable, mix, rows } from '../../../server/src/diagnosis/identify/table';
import { verdictOf } from '../../../server/src/diagnosis/identify/verdict';
import { fw2210, fw2211, sheet } from './at-bench';

const at = (pin: string, kind: CopperKind, more: Partial<NonNullable<PinSeen['copper']>> = {}): PinSeen => ({
  pin,
  copper: { kind, evidence: 'buzzed', ...more },
});
const both = [
  { pinout: fw2210, weight: 1 },
  { pinout: fw2211, weight: 1 },
];
const type = (pin: string) => pinTypes(fw2210).get(pin)!;
const sum = (values: Iterable<number>) => [...values].reduce((total, value) => total + value, 0);

describe('the table', () => {
  test.each(rows)('%s: every row sums to 1 and holds no 0 and no 1', (row) => {
    for (const table of [copperTable, clockTable, audioTable]) {
      expect(sum(table[row])).toBeCloseTo(1, 12);
      for (const value of table[row]) {
        expect(value).toBeGreaterThan(0);
        expect(value).toBeLessThan(1);
      }
    }
    expect(mix[row]).toBeGreaterThan(0);
  });
  test('the background is a mean of the rows, and moves towards what is offered', () => {
    expect(sum(usual.copper)).toBeCloseTo(1, 12);
    const audio = type('14');
    const coupled = copperKinds.indexOf('audio-coupled');
    expect(backgroundOf([audio], [90]).copper[coupled]).toBeGreaterThan(usual.copper[coupled]! * 2);
  });
  test('what a probe may find is a distribution, for every type of pin', () => {
    for (const one of [undefined, ...pinTypes(fw2210).values()]) expect(sum(predict(one))).toBeCloseTo(1, 12);
  });
});

describe('evidence of one pin', () => {
  test('what its role leads to speaks for it, what it does not against it', () => {
    expect(evidence(at('9', 'clock'), type('9'))).toBeGreaterThan(1.5);
    expect(evidence(at('9', 'supply'), type('9'))).toBeLessThan(-1.5);
  });
  test('the surer it is known, the more it says', () => {
    const known = (['buzzed', 'seen', 'assumed'] as const).map((how) =>
      evidence(at('9', 'clock', { evidence: how }), type('9')),
    );
    expect(known).toEqual([...known].sort((a, b) => b - a));
    expect(known[2]).toBeGreaterThan(0.5);
  });
  test('a guess of what is not there yet says less than a finished one', () => {
    const [finished, begun] = [false, true].map((unfinished) =>
      evidence(at('9', 'decoupling', { unfinished }), type('9')),
    );
    expect(begun).toBeGreaterThan(finished!);
    expect(begun).toBeLessThan(0);
  });
  test('a pin of unknown role, and a name that matches none, say nothing', () => {
    const odd = sheet('pinout: odd\npins: {1: ZZTOP, 2: {name: ZZ, note: "?"}}\n');
    for (const one of pinTypes(odd).values()) expect(evidence(at('1', 'clock'), one)).toBe(0);
  });
  test('DC at ground or on a supply is no second observation', () => {
    const plain = evidence(at('2', 'ground'), type('2'));
    expect(evidence({ ...at('2', 'ground'), dc: { volts: 0, evidence: 'measured' } }, type('2'))).toBe(plain);
    expect(evidence({ pin: '2', dc: { volts: 0, evidence: 'measured' } }, type('2'))).toBeGreaterThan(0);
  });
  test('a supply outside the stated range speaks against the pin; inside, a little for it', () => {
    const on = (volts: number) => evidence(at('7', 'supply', { volts }), type('7'));
    const unread = evidence(at('7', 'supply'), type('7'));
    expect(on(3.3)).toBeGreaterThan(unread);
    expect(on(5)).toBeLessThan(unread - 1);
  });
  test('VSS on a negative supply is a supply', () => {
    expect(evidence(at('2', 'supply', { volts: -5 }), type('2'))).toBeGreaterThan(
      evidence(at('2', 'supply', { volts: 5 }), type('2')) + 1,
    );
  });
  test('a crossed contact speaks against the side, and not against the pin’s being an output', () => {
    const [right, left] = (['right', 'left'] as const).map((side) =>
      evidence(at('13', 'audio-coupled', { side }), type('13')),
    );
    expect(right).toBeGreaterThan(left!);
    expect(verdictOf(at('13', 'audio-coupled', { side: 'left' }), type('13'))).not.toBe('contradict');
  });
  test('never infinite, whatever was seen', () =>
    fc.assert(
      fc.property(
        fc.constantFrom(...copperKinds),
        fc.constantFrom(...pinTypes(fw2210).values()),
        fc.double({ noNaN: true, min: -1e6, max: 1e6 }),
        (kind, one, volts) => {
          const seen: PinSeen = {
            ...at('1', kind, { volts }),
            dc: { volts, evidence: 'measured' },
            clock: { hertz: Math.abs(volts), evidence: 'measured' },
            audio: { present: volts > 0, evidence: 'measured' },
          };
          expect(Number.isFinite(evidence(seen, one))).toBe(true);
        },
      ),
    ));
});

describe('agreeing, contradicting and open pins', () => {
  test.each([
    ['a strap of a control pin', '4', 'ground', 'open'],
    ['a strap of a data pin to a supply', '5', 'supply', 'open'],
    ['an unused pin at ground', '16', 'ground', 'open'],
    ['an output left open', '14', 'nothing', 'open'],
    ['a supply left open', '1', 'nothing', 'contradict'],
    ['an output on a supply', '14', 'supply', 'contradict'],
    ['a crystal pin at the antenna', '9', 'antenna', 'contradict'],
    ['a ground at ground', '2', 'ground', 'agree'],
  ] as const)('%s', (_, pin, kind, verdict) => {
    expect(verdictOf(at(pin, kind), type(pin))).toBe(verdict);
  });
  test('nobody looked', () => expect(verdictOf(undefined, type('9'))).toBe('open'));
  test('no such pin', () => expect(verdictOf(at('17', 'ground'), undefined)).toBe('contradict'));
  test('a shared pin is contradicted only if all its names are', () => {
    const shared = sheet('pinout: shared\npins: {1: {name: DACL, alternates: [XOUT]}}\n');
    expect(verdictOf(at('1', 'clock'), pinTypes(shared).get('1'))).toBe('agree');
    expect(verdictOf(at('1', 'antenna'), pinTypes(shared).get('1'))).toBe('contradict');
  });
});

describe('the posterior', () => {
  test('sums to 1, and holds no 0 and no 1', () => {
    const seen = [at('2', 'ground'), at('9', 'clock'), at('10', 'clock'), at('14', 'audio-coupled', { side: 'left' })];
    const found = posterior({ seen }, both);
    expect(sum(found.hypotheses.map((one) => one.probability)) + found.none).toBeCloseTo(1, 9);
    for (const { probability } of found.hypotheses) {
      expect(probability).toBeGreaterThan(0);
      expect(probability).toBeLessThan(1);
    }
  });
  test('two ends of a crystal beside each other are hardly more than one: any chip has them so', () => {
    const none = (...pins: string[]) => posterior({ seen: pins.map((pin) => at(pin, 'clock')) }, both.slice(0, 1)).none;
    const odds = (probability: number) => probability / (1 - probability);
    const [second, apart] = [odds(none('9', '10')) / odds(none('9')), odds(none('9', '16')) / odds(none('9'))];
    // Against fw2210, whose crystal is at 9 and 10, the second end says less than a third of what it would say alone.
    expect(second).toBeGreaterThan(3 * Math.exp(-evidence(at('10', 'clock'), type('10'))));
    expect(second).toBeLessThan(1);
    expect(apart).toBeGreaterThan(1);
    // Grounds come in no pairs.
    expect(pairs([at('2', 'ground'), at('3', 'ground')], usual)).toBe(0);
    // Of three in a row two are a pair; a guess says less; a grid has no neighbours by number.
    const one = pairs([at('9', 'clock'), at('10', 'clock')], usual);
    expect(one).toBeGreaterThan(1.5);
    expect(pairs([at('11', 'clock'), at('9', 'clock'), at('10', 'clock')], usual)).toBe(one);
    expect(pairs([at('9', 'clock'), at('10', 'clock', { evidence: 'assumed' })], usual)).toBeLessThan(one);
    expect(pairs([at('A1', 'clock'), at('A2', 'clock')], usual)).toBe(0);
  });
  test('nothing seen: priors, and a tie', () => {
    const found = posterior({ seen: [] }, both);
    expect(tied(found).length).toBe(found.hypotheses.length);
    const [a, b] = [...perPinout(found).values()];
    expect(a).toBeCloseTo(b!, 12);
  });
  test('a tie that nothing seen can break is called a tie; a pin that breaks it ends it', () => {
    const alike = [
      at('2', 'ground'),
      at('12', 'ground'),
      at('14', 'audio-coupled', { side: 'left' }),
      at('11', 'decoupling'),
    ];
    const tie = tied(posterior({ seen: alike }, both));
    expect(tie.map((one) => one.pinout.name)).toEqual(['fw2210', 'fw2211']);
    expect(new Set(tie.map((one) => one.probability)).size).toBe(1);
    const broken = tied(posterior({ seen: [...alike, at('9', 'clock')] }, both));
    expect(broken.map((one) => one.pinout.name)).toEqual(['fw2210']);
  });
  test('the order in which pins and pinouts come makes no difference', () => {
    const seen = [at('2', 'ground'), at('9', 'clock'), at('7', 'supply'), at('4', 'pulled')];
    const one = posterior({ seen }, both);
    const two = posterior({ seen: [...seen].reverse() }, [...both].reverse());
    for (const { pinout, counting, probability } of one.hypotheses)
      expect(
        two.hypotheses.find((other) => other.pinout === pinout && other.counting === counting)?.probability,
      ).toBeCloseTo(probability, 12);
  });
  test('none of these: pins that fit neither', () => {
    const seen = ['1', '2', '3', '7', '9', '12'].map((pin) => at(pin, 'antenna'));
    expect(posterior({ seen }, both).none).toBeGreaterThan(0.9);
  });
  test('a pin the package lacks speaks against it', () => {
    const few = posterior({ seen: [at('2', 'ground')] }, both).none;
    expect(posterior({ seen: [at('2', 'ground'), at('17', 'ground'), at('18', 'ground')] }, both).none).toBeGreaterThan(
      few,
    );
  });
  test('the exposed pad never turns', () => {
    const padded = sheet(
      `pinout: padded\npackage: {style: qfn-8, pins: 8}\npins: {1: VDD, 5: XIN, 6: XOUT, EP: GND}\n`,
    );
    const found = posterior({ seen: [at('EP', 'ground')] }, [{ pinout: padded, weight: 1 }]);
    expect(new Set(found.hypotheses.map((one) => one.evidence)).size).toBe(1);
  });
  test('a bench that was often wrong convinces less, whatever it says', () => {
    const right = [at('9', 'clock'), at('10', 'clock')];
    const wrong = [at('5', 'antenna'), at('1', 'antenna'), at('3', 'antenna')];
    const odds = (seen: PinSeen[]) => {
      const shares = perPinout(posterior({ seen }, both));
      return shares.get(fw2210)! / shares.get(fw2211)!;
    };
    expect(odds([...right, ...wrong])).toBeLessThan(odds(right));
  });
});

describe('markings', () => {
  test.each([
    ['FW2210*', 'FW2210-C 2419', true],
    ['FW2210-?*', 'FW2210-C', true],
    ['FW2210-?*', 'FW2210-', false],
    ['fw2210?', 'FW2210A', true],
    ['*2210*', 'XX 2210 YY', true],
    ['a*b*c', 'aXbXbXc', true],
    ['FW22?0', 'FW2210A', false],
    ['', '', true],
  ])('%s and %s', (pattern, text, fits) => expect(matchesPattern(pattern, text)).toBe(fits));
  test('beside a regular expression that says the same', () =>
    fc.assert(
      fc.property(fc.stringMatching(/^[ab?*]{0,8}$/), fc.stringMatching(/^[abc]{0,10}$/), (pattern, text) => {
        const same = new RegExp(`^${pattern.replace(/[?]/g, '.').replace(/[*]+/g, '.*')}$`, 'i');
        expect(matchesPattern(pattern, text)).toBe(same.test(text));
      }),
    ));
  test('one of its words is enough, and the longer pattern counts', () => {
    expect(fittingMarking(fw2210, 'AC 1931 FW2210-A')).toBe('FW2210*');
    expect(fittingMarking(fw2210, 'FW2211')).toBeUndefined();
    expect(markingEvidence(fw2210, 'FW2210-A')).toBeGreaterThan(0);
    expect(markingEvidence(fw2211, 'FW2210-A')).toBeLessThan(0);
    expect(markingEvidence(sheet('pinout: mute\npins: {1: VDD}\n'), 'FW2210')).toBe(0);
    expect(markingEvidence(fw2210, undefined)).toBe(0);
  });
  test('copper overrules a marking', () => {
    const seen = [at('9', 'clock'), at('10', 'clock'), at('5', 'line'), at('6', 'line')];
    const shares = perPinout(posterior({ seen, marking: 'FW2211-C' }, both));
    expect(shares.get(fw2210)).toBeGreaterThan(0.9);
    expect(perPinout(posterior({ seen: [], marking: 'FW2211-C' }, both)).get(fw2211)).toBeGreaterThan(0.5);
  });
});

describe('the next pin', () => {
  const seen = [
    at('2', 'ground'),
    at('12', 'ground'),
    at('14', 'audio-coupled', { side: 'left' }),
    at('11', 'decoupling'),
  ];
  test('is one that tells the siblings apart, with the question in plain words', () => {
    const [next] = nextPins(posterior({ seen }, both), seen);
    expect(['5', '6', '9', '10']).toContain(next!.pin);
    expect(next!.why).toMatch(/^Does pin \d+ go to the crystal\? It is (XIN|XOUT|SDA|SCL) on fw221[01]/);
  });
  test('two ways that are as likely: at most one bit, and nearly that of a pin that decides', () => {
    const gains = nextPins(posterior({ seen }, both), seen, 16, 0).map((next) => next.gain);
    expect(Math.max(...gains)).toBeLessThan(1.2);
    expect(Math.max(...gains)).toBeGreaterThan(0.6);
    expect(gains).toEqual([...gains].sort((a, b) => b - a));
    for (const gain of gains) expect(gain).toBeGreaterThanOrEqual(0);
  });
  test('pins followed to their end are not asked for again; guesses and loose ends are', () => {
    const guess = [...seen, at('9', 'clock', { evidence: 'assumed' }), at('10', 'unsettled'), at('5', 'line')];
    const pins = nextPins(posterior({ seen: guess }, both), guess, 16, 0).map((next) => next.pin);
    expect(pins).toContain('9');
    expect(pins).toContain('10');
    for (const pin of ['2', '5', '12', '14']) expect(pins).not.toContain(pin);
  });
  test('nothing to ask where there is nothing to choose from', () =>
    expect(nextPins(posterior({ seen }, []), seen)).toEqual([]));
});
