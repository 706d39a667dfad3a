import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Analysis, BoardAnalysis } from '../../server/src/editor/analysis';
import { completion } from '../../server/src/editor/completion';
import { diagnostics } from '../../server/src/editor/diagnostics';
import { bench, uriOf } from '../harness/memory';

// The demo board written again by hand, keystroke by keystroke, on the workspace the server stands on.

const folder = join(__dirname, '../../samples/tidemill');
const name = 'handset-hollow.board.yaml';
const uri = uriOf(name);
const demo = readFileSync(join(folder, name), 'utf8');

function files(top = folder, below = ''): Record<string, Uint8Array> {
  return Object.assign(
    {},
    ...readdirSync(join(top, below)).map((entry) => {
      const path = below === '' ? entry : `${below}/${entry}`;
      if (statSync(join(top, path)).isDirectory()) return files(top, path);
      return path.endsWith('.board.yaml') ? {} : { [path]: readFileSync(join(top, path)) };
    }),
  );
}

/** An editor's screen: each `show` is a version of the text, analysed as far as no waiting is needed. */
function screen() {
  const { workspace } = bench(files());
  let version = 0;
  const set = (text: string) => workspace.texts.set(uri, text, ++version);
  const show = async (text: string): Promise<Analysis> => {
    set(text);
    return (await workspace.analyse(uri)).now;
  };
  const settle = async (text: string): Promise<BoardAnalysis> => {
    set(text);
    return asBoard(await workspace.settled(uri));
  };
  return { workspace, show, settle };
}

function asBoard(analysis: Analysis): BoardAnalysis {
  if (analysis.kind !== 'board') throw new Error('not a board');
  return analysis;
}

/** What is found, by check and place. */
const found = (analysis: Analysis): Map<string, number> =>
  new Map(analysis.findings.map(({ check, place }) => [`${check} at ${place.span.start}`, place.span.start] as const));

/** Which lines are typed key by key: all of them takes a minute or two. */
const stride = process.env.BUZZOUT_EVERY_KEY === '1' ? 1 : 12;

test('typed from its first character to its last it throws nowhere, and no finding is lost while the line typed is whole', async () => {
  // Slips at the top that must be told until the end, whatever is typed below.
  const text = demo
    .replace('cautions: [lithium-cell]', 'cautions: [lithium-sell]')
    .replace('  R7: 10 k', '  R7: 10 volt');
  const { show } = screen();
  const lost: string[] = [];
  let typed = 0;
  let start = 0;
  let before = await show('');
  for (const [number, line] of text.split('\n').entries()) {
    const end = start + line.length + 1;
    const after = await show(text.slice(0, end));
    const kept = [...found(before)].filter(([key]) => found(after).has(key));
    for (let at = start + 1; number % stride === 0 && at < end; at++, typed++) {
      const now = asBoard(await show(text.slice(0, at)));
      for (const { span } of diagnostics(now)) expect(0 <= span.start && span.end <= at).toBe(true);
      const seen = found(now);
      // A half name in the line may be the very thing that is missed elsewhere: then less is said, and the line itself is marked.
      // A part and its dot says so by itself, unmarked.
      const dot = /[A-Z]\d+\.$/.test(text.slice(start, at));
      const half = dot || [...seen].some(([key, offset]) => offset >= start && !found(after).has(key));
      const held = (offset: number) => now.parsed.broken.some((span) => span.start <= offset && offset <= span.end);
      for (const [key, offset] of kept)
        if (!half && !seen.has(key) && !held(offset)) lost.push(`${key} at ${JSON.stringify(text.slice(start, at))}`);
    }
    before = after;
    start = end;
  }
  expect(typed).toBeGreaterThan(text.length / (2 * stride));
  expect(lost).toEqual([]);
  const checks = before.findings.map((finding) => finding.check);
  expect(checks).toEqual(expect.arrayContaining(['unknown-reference', 'wrong-unit']));
}, 240_000);

test('while a line in the middle is written again, what a recording shows stands', async () => {
  const { show, settle } = screen();
  const whole = await settle(demo);
  const shown = whole.findings.find((finding) => finding.check === 'channels-antiphase')!;
  expect(demo.slice(shown.place.span.start)).toMatch(/^noise-unlike/);
  for (const line of ['cautions: [lithium-cell]', '    - U1.MODE R7.1', '  - VREG: 3.29 V']) {
    const from = demo.indexOf(line);
    const end = demo.indexOf('\n', from);
    for (let at = from; at <= end; at++) {
      const text = demo.slice(0, at) + demo.slice(end);
      const now = await show(text);
      const still = now.findings.find((finding) => finding.check === 'channels-antiphase');
      expect(still && text.slice(still.place.span.start), demo.slice(from, at)).toMatch(/^noise-unlike/);
    }
  }
}, 120_000);

describe('at each reference', () => {
  /** Every point, net, pinout, mode and state named in the demo, behind the key that declares it or beside others. */
  const references = [
    ...demo.matchAll(/(?<=^ {4}- .*)\b[A-Z][A-Z]*\d*\.[\w+-]+/gm),
    ...demo.matchAll(/(?<=^ {4}- .* )[A-Z]{3}[A-Z_]*(?=$)/gm),
    ...demo.matchAll(/(?<=\{ 1: |, 2: )OUT_[LR]/g),
    ...demo.matchAll(/(?<=ground-lead: |between: \[|pinout: |mode: )[\w.]+/g),
  ].sort((a, b) => a.index - b.index);

  test('it is offered once its first letter, or its part and dot, is there', async () => {
    expect(references.length).toBeGreaterThanOrEqual(90);
    const { show } = screen();
    const missing: string[] = [];
    for (const [number, match] of references.entries()) {
      if (number % Math.ceil(stride / 3) !== 0) continue;
      const [word] = match;
      const stem = word.includes('.') ? word.slice(0, word.indexOf('.') + 1) : word.slice(0, 1);
      const at = match.index + stem.length;
      const analysis = asBoard(await show(demo.slice(0, at) + demo.slice(match.index + word.length)));
      const offered = completion(analysis, at).map((item) => item.label);
      // By number or by name: a pin that has both is offered under each.
      if (!offered.includes(word)) missing.push(`${word} on line ${analysis.lines.position(at).line + 1}`);
    }
    expect(missing).toEqual([]);
  }, 120_000);
});
