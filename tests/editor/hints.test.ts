import { describe, expect, test } from 'vitest';
import type { InlayHint } from '../../server/src/editor/inlay-hints';
import { inlayHints } from '../../server/src/editor/inlay-hints';
import { player } from '../circuit/from-board/bench';
import { board, pinout } from '../dialect/texts';
import { analyseBoard, analysePinout } from '../harness/memory';
import { apply } from './apply';

const taken = (text: string, file: string, { edit }: InlayHint) => apply(text, [{ file, ...edit! }]);

/** The text of a pinout with each of its hints taken in turn. */
async function written(text: string): Promise<string> {
  const { uri } = await analysePinout(text);
  let now = text;
  for (let hints = inlayHints(await analysePinout(now)); hints.some((hint) => hint.edit); ) {
    now = taken(now, uri, hints.find((hint) => hint.edit)!);
    hints = inlayHints(await analysePinout(now));
  }
  return now;
}

describe('a role read from a name', () => {
  test('typed as number and name: role and side', async () => {
    const sheet = await analysePinout('pinout: a\npins:\n  13: DACR');
    expect(inlayHints(sheet).map((hint) => hint.label)).toEqual(['audio-out, right']);
  });

  test('a name that says none is told, not guessed', async () => {
    const sheet = await analysePinout(
      'pinout: a\npins:\n  1: QQZ7\n  2: {name: FOO, role: ground}\n  3: {volts: 3 V}\n',
    );
    expect(inlayHints(sheet)).toMatchObject([{ label: 'no role', kind: 'role' }]);
    expect(inlayHints(sheet)[0]!.edit).toBeUndefined();
  });

  test.each([
    ['1: VDD  # core', '1: {name: VDD, role: supply}  # core'],
    ['1: "A, OUTL"', '1: "A, OUTL"'],
    ['1: "OUTL"', '1: {name: "OUTL", role: audio-out, channel: left}'],
    ['1: {name: OUTL, channel: mono}', '1: {name: OUTL, role: audio-out, channel: mono}'],
    ['1: { volts: 3 V, name: VDD }', '1: { volts: 3 V, name: VDD, role: supply }'],
    [
      '1:\n    name: OUTR  # right\n    bias: 1 V',
      '1:\n    name: OUTR  # right\n    role: audio-out\n    channel: right\n    bias: 1 V',
    ],
    ['1: >\n    VDD', '1: >\n    VDD'],
  ])('%j can be written out', async (before, after) => {
    const wrap = (entry: string) => `pinout: a\npins:\n  ${entry}\n`;
    expect(await written(wrap(before))).toBe(wrap(after));
    const roles = async (text: string) =>
      [...(await analysePinout(text)).pinout!.pins.values()].map(({ name, role, channel }) => [name, role, channel]);
    expect(await roles(wrap(after))).toEqual(await roles(wrap(before)));
  });

  test('at the end of a text without a line end, and in one of half-typed pins', async () => {
    expect(await written('pinout: a\npins:\n  1:\n    name: VDD')).toBe(
      'pinout: a\npins:\n  1:\n    name: VDD\n    role: supply',
    );
    const half = await analysePinout('pinout: a\npins:\n  1: {name: VDD\n  2: VSS\n');
    expect(inlayHints(half).map((hint) => hint.label)).toContain('ground');
  });
});

const reworked = `${board}
reworks:
  - name: new
    parts:
      R6: {code: 472}
      R8: {code: 472}
      U9: {pins: {1: VDD}}
    traces:
      buzzed:
        - U1.16 C7.1
    cuts:
      - U1.13 C8.+
`;

describe('in reworks', () => {
  test('pins, codes and roles are told as before them, each of its own state', async () => {
    const analysis = await analyseBoard(reworked, { 'fw2210.pinout.yaml': pinout });
    const after = analysis.text.indexOf('reworks:');
    const said = (from: number, to: number) =>
      inlayHints(analysis, { start: from, end: to }).map(
        (hint) => `${/\S+$/.exec(analysis.text.slice(0, hint.offset))![0]} ${hint.label}`,
      );
    expect(said(after, analysis.text.length)).toEqual(['472 4.7 kΩ', '472 4.7 kΩ', 'VDD supply', 'U1.13 DACR']);
    // What the board first had on R6 is not what was fitted later.
    expect(said(0, after)).toContain('"102" 1 kΩ');
  });
});

test('every hint that can be written is, once taken, gone, and the board means the same', async () => {
  const analysis = await analyseBoard(reworked, { 'fw2210.pinout.yaml': pinout });
  const hints = inlayHints(analysis).filter((hint) => hint.edit);
  expect(new Set(hints.map((hint) => hint.kind))).toEqual(new Set(['role', 'pin', 'value']));
  const meaning = (one: typeof analysis) => [
    one.findings.map((finding) => [finding.check, finding.at]),
    one.board.at().joins.map((join) => join.points.map((point) => point.ref.name)),
    [...one.board.at().parts.values()].map((part) => [part.designator, part.value?.value]),
  ];
  for (const hint of hints) {
    const now = await analyseBoard(taken(analysis.text, analysis.uri, hint), { 'fw2210.pinout.yaml': pinout });
    expect(meaning(now)).toEqual(meaning(analysis));
    expect(inlayHints(now).filter((one) => one.kind === hint.kind)).toHaveLength(
      inlayHints(analysis).filter((one) => one.kind === hint.kind).length - 1,
    );
  }
});

test('what the way to a net costs stands behind it', async () => {
  const analysis = await analyseBoard(board, { 'fw2210.pinout.yaml': pinout });
  // 20 Ω + 470 Ω into 1 kΩ ∥ 10 kΩ = 909.1 Ω: 20 lg (909.1 / 1399.1), the capacitor's 7.3 Ω in quadrature.
  expect(inlayHints(analysis).filter((hint) => hint.label === '−3.74 dB from U1.14')).toMatchObject([
    { kind: 'level' },
  ]);
});

test('a way that its supply cuts off says from which level on', async () => {
  // A gain of 10 from 1 V RMS asks for 14.1 V peak; the nearer supply gives 12 V: 20 lg (12 / 14.14) = −1.4 dBFS.
  const text = `board: Stage
parts: {U1: {pinout: player}, U3: {pinout: dual}, C1: 10 uF, R1: 10 k, R2: 90 k, R3: 100 k, J2: {style: rca, load: 10 k}}
nets: {GND: {role: ground}, VP: {role: supply, volts: 15 V}, VN: {role: supply, volts: -12 V}, OUT: {role: audio-out}}
traces:
  buzzed: [U1.OUTL C1.1, C1.2 R3.1 U3.3, R3.2 R1.1 U1.VSS J2.shell GND, R1.2 R2.1 U3.2, R2.2 U3.1 J2.centre OUT, U3.8 VP, U3.4 VN]
`;
  const analysis = await analyseBoard(text, {
    'player.pinout.yaml': player,
    'dual.pinout.yaml':
      'pinout: dual\npins: {1: OUTA, 2: {name: INAM, role: audio-in}, 3: {name: INAP, role: audio-in}, 4: V-, 8: V+}\nsections: {A: {kind: op-amp, plus: 3, minus: 2, out: 1}}\n',
  });
  const hint = inlayHints(analysis).find(({ label }) => label.startsWith('clips'));
  expect(hint).toMatchObject({ label: 'clips above −1.4 dBFS at the latest', kind: 'level' });
  expect(hint?.tooltip).toContain('the supply of U3.1 is −12 V to 15 V');
});
