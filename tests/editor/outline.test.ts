import fc from 'fast-check';
import { expect, test } from 'vitest';
import { folds } from '../../server/src/editor/folding';
import { inlayHints } from '../../server/src/editor/inlay-hints';
import { documentLinks } from '../../server/src/editor/links';
import { selections } from '../../server/src/editor/selection';
import { semanticTokens } from '../../server/src/editor/semantic-tokens';
import { documentSymbols, workspaceSymbols } from '../../server/src/editor/symbols';
import { anyText } from '../dialect/any-text';
import { board, pinout } from '../dialect/texts';
import { analyseBoard, analysePinout } from '../harness/memory';
import { sine, wavBytes } from '../harness/wav';
import { atBoard, covered } from './at';

const contract = () => analyseBoard(board, { 'fw2210.pinout.yaml': pinout });

test('symbols: the outline of a board', async () => {
  const symbols = documentSymbols(await contract());
  expect(symbols[0]).toMatchObject({ name: 'Lantern Hall audio guide, handset main board', kind: 'title' });
  expect(symbols.map((symbol) => symbol.name).slice(1)).toEqual([
    'parts',
    'traces',
    'nets',
    'readings',
    'captures',
    'expect',
  ]);
  expect(symbols[1]!.children.map((part) => `${part.name}: ${part.detail}`)).toEqual(
    expect.arrayContaining([
      'U1: chip, fw2210',
      'C7: capacitor, 22 µF',
      'J2: connector, jack-trs',
      'R6: resistor, 1 kΩ',
    ]),
  );
  expect(symbols[2]!.children[0]).toMatchObject({ detail: 'buzzed', kind: 'join' });
  for (const symbol of symbols.flatMap((one) => [one, ...one.children]))
    expect(symbol.span.start <= symbol.selection.start && symbol.selection.end <= symbol.span.end).toBe(true);
});

test('symbols: of a pinout, and across files by the letters of a query', async () => {
  const sheet = await analysePinout(pinout);
  const pins = documentSymbols(sheet).find((symbol) => symbol.name === 'pins')!.children;
  expect(pins.map((pin) => `${pin.name} ${pin.detail}`)).toContain('14 DACL audio-out');
  const found = workspaceSymbols([await contract(), sheet], 'dacl');
  expect(found).toMatchObject([{ name: '14 DACL', kind: 'pin', container: 'fw2210' }]);
  expect(workspaceSymbols([await contract()], 'outl').map((one) => one.name)).toEqual(['OUT_L']);
});

test('folding: keys over several lines, and runs of comments', async () => {
  const analysis = await analyseBoard('# one\n# two\nboard: x\nparts:\n  R1: 1\n  R2:\n    value: 2\n\nnets: {}\n');
  expect(folds(analysis)).toEqual([
    { startLine: 0, endLine: 1, kind: 'comment' },
    { startLine: 3, endLine: 6, kind: 'region' },
    { startLine: 5, endLine: 6, kind: 'region' },
  ]);
});

test('selection: from the pin to the point, the join, the list, the key, the file', async () => {
  const { analysis, offset } = await atBoard('board: x\ntraces:\n  seen:\n    - U1.1$04 C7.+\n');
  expect(selections(analysis, offset).map((span) => covered(analysis.text, span))).toEqual([
    '14',
    'U1.14',
    'U1.14 C7.+',
    '- U1.14 C7.+',
    'seen:\n    - U1.14 C7.+',
    'traces:\n  seen:\n    - U1.14 C7.+',
    'board: x\ntraces:\n  seen:\n    - U1.14 C7.+',
    'board: x\ntraces:\n  seen:\n    - U1.14 C7.+\n',
  ]);
  const spans = selections(analysis, offset);
  expect(covered(analysis.text, spans[0]!)).toBe('14');
  expect(spans.at(-1)).toEqual({ start: 0, end: analysis.text.length });
  spans.slice(1).forEach((span, index) => {
    expect(span.start <= spans[index]!.start && spans[index]!.end <= span.end).toBe(true);
  });
});

test('tokens: points by their role, sides apart, unknown ones marked', async () => {
  const analysis = await contract();
  const all = semanticTokens(analysis);
  const said = (text: string, nth = 0) => all.filter((token) => covered(analysis.text, token.span) === text)[nth];
  expect(said('U1.14')).toMatchObject({ type: 'audio', modifiers: ['left'] });
  expect(said('U1.13')).toMatchObject({ type: 'audio', modifiers: ['right'] });
  expect(said('U1.2')).toMatchObject({ type: 'ground' });
  expect(said('U1.7')).toMatchObject({ type: 'supply' });
  expect(said('OUT_R')).toMatchObject({ type: 'audio', modifiers: ['right'] });
  expect(said('R4')).toMatchObject({ type: 'part', modifiers: ['declaration'] });
  expect(said('traces')).toMatchObject({ type: 'key' });
  // How joins are known is coloured by the grammar.
  for (const evidence of ['buzzed', 'seen', 'assumed', 'apart']) expect(said(evidence)).toBeUndefined();
  expect(said('1.42 V')).toMatchObject({ type: 'quantity' });
  const broken = await analyseBoard('parts: {U1: fw2210}\ntraces: {seen: [U1.99 A]}', { 'f.pinout.yaml': pinout });
  expect(semanticTokens(broken).some((token) => token.modifiers.includes('unresolved'))).toBe(true);
});

test('links: recordings, pinouts, data-sheet pages; nothing that could start a program', async () => {
  const analysis = await contract();
  expect(documentLinks(analysis).map((link) => [covered(analysis.text, link.span), link.path ?? link.file])).toEqual([
    ['fw2210', 'file:///bench/fw2210.pinout.yaml'],
    ['captures/tone-left.wav', 'captures/tone-left.wav'],
  ]);
  const sheet = await analysePinout('pinout: a\nsource: {page: 6, link: sheets/a.pdf}\n');
  expect(documentLinks(sheet)).toMatchObject([{ path: 'sheets/a.pdf#page=6' }]);
  const evil = await analysePinout('pinout: a\nsource: {link: "vscode://x/y"}\n');
  expect(documentLinks(evil)).toEqual([]);
});

test('hints: pin names, printed codes, corners and levels', async () => {
  const analysis = await contract();
  const hints = inlayHints(analysis).map((hint) => {
    const start = analysis.text.slice(0, hint.offset).search(/\S+$/);
    return `${analysis.text.slice(start, hint.offset)} ${hint.label}`;
  });
  expect(hints).toContain('U1.2 VSS');
  expect(hints).toContain('"102" 1 kΩ');
  // 0.9 V RMS less 3.74 dB; 1/(2π · 1399 Ω · 22 µF).
  expect(hints.some((hint) => hint.includes('585 mV RMS at 0 dBFS'))).toBe(true);
  expect(hints.some((hint) => hint.includes('−3 dB at 5.17 Hz'))).toBe(true);
  expect(inlayHints(analysis, undefined, new Set(['role']))).toEqual([]);
  expect(inlayHints(analysis, { start: 0, end: 10 })).toEqual([]);
});

test('hints: roles read from names in a pinout, not those that are stated', async () => {
  const sheet = await analysePinout('pinout: a\npins:\n  1: VDD\n  2: {name: OUTL}\n  3: {name: X, role: ground}\n');
  expect(inlayHints(sheet).map((hint) => hint.label)).toEqual(['supply', 'audio-out, left']);
});

test('hints: what a channel measured', async () => {
  const text = 'board: x\ncaptures:\n  a: {file: a.wav, channels: {1: L}, full-scale: 2 V, coupling: dc}\n';
  const analysis = await analyseBoard(text, { 'a.wav': wavBytes([(t) => 0.25 + sine(1000, 0.5)(t)]) });
  const labels = inlayHints(analysis).map((hint) => hint.label);
  expect(labels).toEqual(['707 mV RMS (−3.01 dBV)', 'DC 500 mV']);
});

test('tokens never overlap and stay in the text, whatever it is', async () => {
  await fc.assert(
    fc.asyncProperty(anyText, async (text) => {
      const analysis = await analyseBoard(text).catch(() => undefined);
      if (!analysis) return;
      let end = 0;
      for (const { span } of semanticTokens(analysis)) {
        expect(span.start).toBeGreaterThanOrEqual(end);
        end = span.end;
      }
      expect(end).toBeLessThanOrEqual(text.length);
      documentSymbols(analysis);
      folds(analysis);
      inlayHints(analysis);
      documentLinks(analysis);
      selections(analysis, text.length >> 1);
    }),
    { numRuns: 150, seed: 3 },
  );
});
