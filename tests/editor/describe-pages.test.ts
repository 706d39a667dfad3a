import { describe, expect, test } from 'vitest';
import { diagnosed } from '../../server/src/checks/diagnosis/diagnosed';
import { copperMap } from '../../server/src/editor/describe/copper-map';
import { diagnosisLines } from '../../server/src/editor/describe/diagnosis';
import { measureMarkdown, measureText } from '../../server/src/editor/describe/measurement';
import { diagnosisPage, measurePage } from '../../server/src/editor/describe/pages';
import { noTraces } from '../../server/src/editor/describe/plot';
import { prose } from '../../server/src/editor/markdown';
import { board, pinout } from '../dialect/texts';
import { analyseBoard } from '../harness/memory';
import { sine, wavBytes } from '../harness/wav';

const sheets = { 'fw2210.pinout.yaml': pinout };
/** Rows that go on below as one. */
const unfolded = (map: string) => map.replaceAll(/\n {4}(?=[━╌·])/g, ' ');
const mapOf = async (text: string) => copperMap(await analyseBoard(text, sheets));

describe('the copper map', () => {
  test('draws each net by what joins its points, and names the lines', async () => {
    const map = unfolded(await mapOf(board));
    expect(map).toContain('# Copper map: Lantern Hall audio guide, handset main board');
    expect(map).toContain('`━━` buzzed: the meter beeped · `╌╌` seen: followed by eye · `··` assumed: a guess');
    expect(map).toMatch(
      /## Grounds\n\n\*\*GND\*\* · ground · .*\n\n```text\nGND ━━ U1\.2 \(VSS\) ━━ J2\.sleeve ·· R6\.2 ·· R7\.2\n```/,
    );
    expect(map).toContain('U1.14 (DACL) ━━ C7.+');
    expect(map).toMatch(/OUT_L ╌╌ R4\.2 ╌╌ R6\.1 ╌╌ J2\.tip/);
  });

  test('keeps together what buzzed together, on whichever side of a guess it lies', async () => {
    const map = await mapOf('traces:\n  buzzed: [A R1.1, R2.1 R3.1]\n  seen: [R3.1 R4.1]\n  assumed: [R1.1 R4.1]\n');
    expect(unfolded(map)).toContain('A ━━ R1.1 ·· R2.1 ━━ R3.1 ╌╌ R4.1');
  });

  test('says which ways the signal takes, what is not found yet, and what does not beep', async () => {
    const map = await mapOf(board);
    expect(map).toContain(
      '## Ways of the signal\n\n- U1.14 – C7 – R4 – J2.tip \\(left\\)'.replace('\\(left\\)', '(left)'),
    );
    expect(map).toMatch(/## Not found yet\n\n(- .*\n)*- \*\*U1\*\* Not found yet: `1` \(VBAT\)/);
    expect(map).toContain('## No beep between\n\n- VSYS, GND');
  });

  test('brings the cautions, stated and inferred, with what they were inferred from', async () => {
    expect(await mapOf(board)).toMatch(/\*\*With care\*\*\n\n- \*\*lithium-cell\*\*: .*follow local codes/i);
    const inferred = await mapOf('parts: {BT1: {value: 3.7 V, chemistry: lithium-ion}}\ntraces: {seen: [BT1.+ A]}\n');
    expect(inferred).toContain('**lithium-cell** (from cell BT1)');
  });

  test('of the last state: a cut join is no more', async () => {
    const text = 'traces: {buzzed: [A B]}\nreworks: [{name: cut, cuts: [A B]}]\n';
    const map = await mapOf(text);
    expect(map).toContain('After the rework cut.');
    expect(map).not.toContain('A ━━ B');
  });

  test('of nothing yet, and of half a board', async () => {
    expect(await mapOf('board: x\n')).toContain('No copper has been followed yet.');
    for (let length = 0; length < board.length; length += 397) await mapOf(board.slice(0, length));
  });

  test('rows go on below before they are too wide for a page beside', async () => {
    const pins = Array.from({ length: 40 }, (_, i) => `R${i + 1}.1`).join(' ');
    const map = await mapOf(`traces: {buzzed: [GND ${pins}]}\nnets: {GND: {role: ground}}\n`);
    const drawn = map.slice(map.indexOf('```text'), map.lastIndexOf('```')).split('\n').slice(1);
    expect(drawn.length).toBeGreaterThan(4);
    for (const row of drawn) expect(row.length).toBeLessThanOrEqual(44);
    expect(drawn.join(' ').match(/R\d+\.1/g)).toHaveLength(40);
  });
});

describe('what was measured', () => {
  const text =
    'board: b\ncaptures:\n  both:\n    file: both.wav\n    stimulus: {tone: 1 kHz, side: both}\n    channels: {1: L, 2: R}\n  none: {file: none.wav}\n';
  const take = { 'both.wav': wavBytes([sine(1000, 0.5), sine(1000, 0.5, 180)]) };

  test('has every figure of the command line, as a table', async () => {
    const analysis = await analyseBoard(text, take);
    const state = analysis.snapshot.captures.get('both');
    if (state?.is !== 'ready') throw new Error(`not measured: ${JSON.stringify(state)}`);
    const page = measurePage(analysis, analysis.board.captures[0]!, noTraces);
    expect(page).toContain('# Measured: both');
    // A sine of half of full scale is 6.02 dB below one of full scale.
    expect(page).toContain('| level | −6.02 dBFS | −6.02 dBFS |');
    const cells = (told: string) => new Set(told.replaceAll('\\', '').match(/[−\d.]+ (?:dBFS|dB|Hz|FS)/g));
    expect(cells(measureMarkdown(state.figures))).toEqual(cells(measureText(state.figures)));
    expect(page).toContain('\n- can tell ');
  });

  test('of a file that is missing says so', async () => {
    const analysis = await analyseBoard(text, take);
    expect(measurePage(analysis, analysis.board.captures[1]!, noTraces)).toContain('There is no file none.wav');
  });
});

test('a diagnosis is told in the sentences of the command line, below the complaint and the cautions', async () => {
  const analysis = await analyseBoard(board, sheets);
  const diagnosis = diagnosed(analysis.snapshot);
  const page = diagnosisPage(analysis, diagnosis);
  expect(page).toContain('> Narration turns hollow');
  expect(page).toContain('**With care**');
  const lines = diagnosisLines(diagnosis);
  expect(lines.length).toBeGreaterThan(0);
  for (const line of lines) expect(page).toContain(prose(line));
});

test('the text of a board cannot make a link, an image or HTML on a page', async () => {
  const evil = '![x](http://evil/a.png) <img src=x> [go](command:x) ``` www.evil.example';
  const analysis = await analyseBoard(
    `board: '${evil}'\ncomplaint: '${evil}'\ntraces: {seen: [["${evil}", 'b]c']]}\nnets: {'${evil}': {role: ground}}\n`,
  );
  for (const page of [copperMap(analysis), diagnosisPage(analysis, diagnosed(analysis.snapshot))]) {
    const outside = page.replace(/(`{3,})text\n[\s\S]*?\n\1(?=\n|$)/g, '');
    expect(outside).not.toMatch(/<img|(?<!\\)!\[|(?<!\\)\]\(|www\.evil/);
  }
});
