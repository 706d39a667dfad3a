import { readFileSync } from 'node:fs';
import Ajv from 'ajv/dist/2020';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { parseBoard, parsePinout } from '../../server/src/dialect/parse';
import { schemaOf } from '../../server/src/dialect/schema';
import { board, more, pinout } from './texts';

/** The schema against our own checking, by a validator nobody here wrote. */
const ajv = new Ajv({ allErrors: true, allowUnionTypes: true });
const validate = { board: ajv.compile(schemaOf('board')), pinout: ajv.compile(schemaOf('pinout')) };

/** Findings about shape: the only ones a schema can have. */
const structural = new Set(['unknown-key', 'missing-key', 'wrong-type', 'unknown-reference']);

function both(kind: 'board' | 'pinout', text: string) {
  const ours = (kind === 'board' ? parseBoard : parsePinout)(text).problems.filter((one) => structural.has(one.check));
  return { ours: ours.length === 0, schema: validate[kind](parse(text)) };
}

test.each([
  ['board', board],
  ['board', board + more],
  ['pinout', pinout],
  ['board', readFileSync('samples/tidemill/handset-healthy.board.yaml', 'utf8')],
  ['pinout', readFileSync('samples/tidemill/sheets/pwl6203.pinout.yaml', 'utf8')],
] as const)('a whole %s is right by both', (kind, text) => {
  expect(both(kind, text)).toEqual({ ours: true, schema: true });
});

describe('both agree on', () => {
  test.each([
    ['an unknown key', 'board: x\nbord: y\n', false],
    ['no title', 'parts: {R1: 1}\n', false],
    ['a list where a map belongs', 'board: x\nparts: [R1]\n', false],
    ['a map where a list belongs', 'board: x\nexpect: {in-phase: [A, B]}\n', false],
    ['a word that is none', 'board: x\nnets: {A: {role: grund}}\n', false],
    ['an open list of words', 'board: x\nparts: {BT1: {chemistry: silver-oxide}}\n', true],
    ['an unknown key deep down', 'board: x\ncaptures: {a: {stimulus: {tune: 1 kHz}}}\n', false],
    ['a short form of a reading', 'board: x\nreadings: [A: 1 V, {at: A, dc: 2 V}]\n', true],
    ['neither form of a reading', 'board: x\nreadings: [{at: A, wrong: 2 V}]\n', false],
    ['joins on one line or in lists', 'board: x\ntraces: {buzzed: [A B, [C, D]]}\n', true],
    ['a check that has no threshold', 'board: x\nlimits: {syntax: 1}\n', false],
    ['an acceptance without a reason', 'board: x\naccepted: [{check: return-shared}]\n', false],
    ['a key with nothing behind it', 'board: x\nnets:\nparts:\n', true],
    ['a part as text, map or nothing', 'board: x\nparts: {R1: 1 k, R2: {value: 2 k}, R3: ~, R4: 470}\n', true],
    ['a flag that is none', 'board: x\ncomplete: perhaps\n', false],
    ['pins in order, or by number', 'board: x\nparts: {Q1: {pins: B C E}, U1: {pins: {1: VDD}}}\n', true],
  ])('%s', (_, text, right) => {
    expect(both('board', text)).toEqual({ ours: right, schema: right });
  });

  test.each([
    ['pins as names or maps', 'pinout: a\npins: {1: VDD, 2: {name: OUT, role: audio-out}}\n', true],
    ['a role that is none', 'pinout: a\npins: {1: {role: loud}}\n', false],
    ['a section', 'pinout: a\nsections: {A: {kind: op-amp, plus: 3, minus: 2, out: [1]}}\n', true],
    ['no name', 'pins: {1: VDD}\n', false],
    ['a weight that is no number', 'pinout: a\nmodes: {m: {OUT: {left: loud}}}\n', false],
  ])('in a pinout: %s', (_, text, right) => {
    expect(both('pinout', text)).toEqual({ ours: right, schema: right });
  });
});
