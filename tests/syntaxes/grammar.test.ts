import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as oniguruma from 'vscode-oniguruma';
import * as textmate from 'vscode-textmate';
import { root } from '../harness/tools';

const wasm = createRequire(import.meta.url).resolve('vscode-oniguruma/release/onig.wasm');
const engine = oniguruma.loadWASM(readFileSync(wasm)).then(() => ({
  createOnigScanner: (patterns: string[]) => new oniguruma.OnigScanner(patterns),
  createOnigString: (text: string) => new oniguruma.OnigString(text),
}));
const registry = new textmate.Registry({
  onigLib: engine,
  loadGrammar: async (scope) => {
    const path = join(root, 'syntaxes', `${scope.split('.').at(-1)}.tmLanguage.json`);
    return textmate.parseRawGrammar(readFileSync(path, 'utf8'), path);
  },
});

/** Every coloured stretch as `text scope`, with what all scopes of ours share left out. */
async function colours(text: string, kind: 'board' | 'pinout' = 'board'): Promise<string[]> {
  const grammar = (await registry.loadGrammar(`source.buzzout.${kind}`))!;
  let state = textmate.INITIAL;
  return text.split('\n').flatMap((line) => {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, state);
    state = ruleStack;
    return tokens
      .filter(({ scopes }) => scopes.length > 1 && !scopes.at(-1)!.startsWith('punctuation'))
      .map(({ startIndex, endIndex, scopes }) => [line.slice(startIndex, endIndex), scopes.at(-1)!])
      .filter(([piece]) => piece!.trim() !== '')
      .map(([piece, scope]) => `${piece} ${scope!.replace(/\.buzzout$/, '')}`);
  });
}

const key = 'entity.name.tag';
const number = 'constant.numeric.quantity';
const unit = 'keyword.other.unit';
const part = 'entity.name.type.designator';
const pin = 'variable.other.property.pin';
const text = 'string.unquoted';

test('titles and notes are text, whatever they hold', async () => {
  expect(await colours('board: Guide 2 V, U1.2 board   # third')).toEqual([
    `board ${key}`,
    `Guide 2 V, U1.2 board ${text}`,
    '# third comment.line.number-sign',
  ]);
  expect(await colours('  R1: {value: 4k7, note: near U1, tolerance: 5 %}')).toEqual([
    `R1 ${part}`,
    `value ${key}`,
    `4k7 ${number}`,
    `note ${key}`,
    `near U1 ${text}`,
    `tolerance ${key}`,
    `5 ${number}`,
    `% ${unit}`,
  ]);
});

test('joins show how they are known, parts and pins', async () => {
  expect(
    await colours('traces:\n  buzzed:\n    - [U1.14, C7.+]\n    - C7.- R4.1 GND\n  apart:\n    - VSYS J2.sleeve'),
  ).toEqual([
    `traces ${key}`,
    'buzzed keyword.control.evidence',
    `U1 ${part}`,
    `14 ${pin}`,
    `C7 ${part}`,
    `+ ${pin}`,
    `C7 ${part}`,
    `- ${pin}`,
    `R4 ${part}`,
    `1 ${pin}`,
    'apart keyword.control.evidence.not',
    `J2 ${part}`,
    `sleeve ${pin}`,
  ]);
});

test('a short reading has points as its key', async () => {
  expect(await colours('  - U1.2 J2.sleeve: 0.3 ohm')).toEqual([
    `U1 ${part}`,
    `2 ${pin}`,
    `J2 ${part}`,
    `sleeve ${pin}`,
    `0.3 ${number}`,
    `ohm ${unit}`,
  ]);
});

test.each([
  ['4.7 kΩ', [`4.7 ${number}`, `kΩ ${unit}`]],
  ['10 µF', [`10 ${number}`, `µF ${unit}`]],
  ['10 \u03bcF', [`10 ${number}`, `\u03bcF ${unit}`]],
  ['22 \u2126', [`22 ${number}`, `\u2126 ${unit}`]],
  ['3V3', [`3V3 ${number}`]],
  ['-12 dBFS', [`-12 ${number}`, `dBFS ${unit}`]],
  ['997 Hz', [`997 ${number}`, `Hz ${unit}`]],
  ['[3.2 V, 3.4 V]', [`3.2 ${number}`, `V ${unit}`, `3.4 ${number}`, `V ${unit}`]],
  ['not-fitted', ['not-fitted constant.language']],
  ['yes', ['yes constant.language']],
  ['captures/tone-2.wav', []],
])('value %s', async (value, expected) => {
  expect((await colours(`x: ${value}`)).slice(1)).toEqual(expected);
});

test('nothing is read inside quotes', async () => {
  expect((await colours(`x: ["U1.2 \\" 3 V", 'it''s U1.2']`)).slice(1).map((one) => one.split(' ').at(-1))).toEqual([
    ...['string.quoted.double', 'string.quoted.double', 'constant.character.escape', 'string.quoted.double'],
    'string.quoted.double',
    ...['string.quoted.single', 'string.quoted.single', 'constant.character.escape', 'string.quoted.single'],
    'string.quoted.single',
  ]);
});

test('a block of text ends where its indent ends, and half a line breaks nothing', async () => {
  expect(await colours('complaint: |\n  hums at 50 Hz\n\n  and 3 V\ncomplete: yes')).toEqual([
    `complaint ${key}`,
    '| keyword.control.block',
    'hums at 50 Hz string.unquoted.block',
    'and 3 V string.unquoted.block',
    `complete ${key}`,
    'yes constant.language',
  ]);
  expect((await colours('  U1: {pinout: fw\n    - U1.\nnets:')).slice(-2)).toEqual([`U1 ${part}`, `nets ${key}`]);
});

test('a pinout is coloured by the same rules', async () => {
  expect(await colours('  1: {name: VBAT, volts: [3.0 V, 4.3 V]}\n  2: VSS', 'pinout')).toEqual([
    `1 ${key}`,
    `name ${key}`,
    `VBAT ${text}`,
    `volts ${key}`,
    `3.0 ${number}`,
    `V ${unit}`,
    `4.3 ${number}`,
    `V ${unit}`,
    `2 ${key}`,
  ]);
});
