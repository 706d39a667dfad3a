import type { Analysis } from '../../server/src/editor/analysis';
import type { Finding } from '../../server/src/text/finding';
import { sheets } from '../corpus/sheets';
import { captureOf, csvOf } from './capture-recipe';
import { bench, uriOf } from './memory';

/**
 * Tests of checks, written as Markdown to be read: prose, and fenced blocks `board NAME`, `pinout NAME`, `capture FILE.wav`,
 * `uneven FILE.csv`, `file NAME`, `sheet NAME` (a data sheet of the corpus) and `bulk NAME` (so many MB of comment lines). What stands before the first `##` belongs to every case; each `##` heading is a case, its blocks one folder.
 *
 * Expected findings stand in the board, under the line they are about: carets under the place, then severity and check, then any
 * stretches of the message in double quotes. Such lines are taken out before the board is read; a finding that is not expected
 * and an expectation that is not met both fail.
 *
 *         - U1.DACL J1.ring
 *         ^^^^^^^^^^^^^^^ warning channel-crossed "reaches J1.ring"
 */
export interface Case {
  readonly title: string;
  readonly files: Readonly<Record<string, string | Uint8Array>>;
  readonly expected: ReadonlyMap<string, readonly Expected[]>;
}

export interface Expected {
  readonly line: number;
  readonly from: number;
  readonly to: number;
  readonly severity: string;
  readonly check: string;
  readonly says: readonly string[];
}

interface Block {
  readonly kind: string;
  readonly name: string;
  readonly text: string;
}

/** The cases of one Markdown file, in their order. */
export function casesOf(markdown: string): Case[] {
  const [head = '', ...sections] = markdown.split(/^## /m);
  const shared = blocksOf(head);
  return sections.map((section) => {
    const files: Record<string, string | Uint8Array> = {};
    const expected = new Map<string, readonly Expected[]>();
    for (const { kind, name, text } of [...shared, ...blocksOf(section)]) {
      if (kind === 'capture') files[name] = captureOf(text);
      else if (kind === 'uneven') files[name] = csvOf(text);
      else if (kind === 'file') files[name] = text;
      else if (kind === 'sheet') files[`${name}.pinout.yaml`] = sheets[name]!;
      else if (kind === 'bulk')
        files[name] = '# a line of ten\n'.repeat((Number(/^(\d+) MB/.exec(text)![1]) * 1048576) / 16);
      else {
        const file = `${name}.${kind}.yaml`;
        const marked = takeMarks(text);
        files[file] = marked.text;
        expected.set(file, marked.expected);
      }
    }
    return { title: section.slice(0, section.indexOf('\n')).trim(), files, expected };
  });
}

/** What a case's boards and pinouts say, one line a finding, file by file; beside what they should say. */
export async function verdictOf(test: Case): Promise<{ readonly said: string[]; readonly wanted: string[] }> {
  const said: string[] = [];
  const wanted: string[] = [];
  const { workspace } = bench(test.files);
  for (const [file, expected] of test.expected) {
    const analysis = await workspace.settled(uriOf(file));
    const open = [...expected];
    for (const finding of analysis.findings) {
      const hit = open.findIndex((one) => fits(one, finding, analysis));
      const met = hit < 0 ? undefined : open.splice(hit, 1)[0];
      said.push(`${file} ${describe(finding, analysis)}`);
      if (met) wanted.push(said[said.length - 1]!);
    }
    for (const one of open)
      wanted.push(
        `${file} ${one.line + 1}:${one.from + 1}-${one.to + 1} ${one.severity} ${one.check}: ${one.says.join(' … ')}`,
      );
  }
  return { said, wanted };
}

const fence = /^```(board|pinout|sheet|capture|uneven|file|bulk) (\S+)\n([\s\S]*?)^```$/gm;

const blocksOf = (text: string): Block[] =>
  [...text.matchAll(fence)].map(([, kind, name, body]) => ({ kind: kind!, name: name!, text: body! }));

const mark = /^( *)(\^+) (error|warning|info|hint) ([a-z-]+)((?: "[^"]*")*)$/;

function takeMarks(text: string): { text: string; expected: Expected[] } {
  const kept: string[] = [];
  const expected: Expected[] = [];
  for (const line of text.split('\n')) {
    const found = mark.exec(line);
    if (!found) {
      if (/^ *\^/.test(line)) throw new Error(`not an expectation: ${line}`);
      kept.push(line);
      continue;
    }
    const [, indent, carets, severity, check, says] = found;
    expected.push({
      line: kept.length - 1,
      from: indent!.length,
      to: indent!.length + carets!.length,
      severity: severity!,
      check: check!,
      says: [...says!.matchAll(/"([^"]*)"/g)].map((match) => match[1]!),
    });
  }
  return { text: kept.join('\n'), expected };
}

/** Line, first and last column as carets mark them: a place that ends on a later line ends with its first, an empty one is one wide. */
function placeOf(finding: Finding, analysis: Analysis): { line: number; from: number; to: number } {
  const { start, end } = analysis.lines.range(finding.place.span);
  const to = end.line === start.line ? end.character : analysis.lines.line(start.line).length;
  return { line: start.line, from: start.character, to: Math.max(to, start.character + 1) };
}

function fits(expected: Expected, finding: Finding, analysis: Analysis): boolean {
  const { line, from, to } = placeOf(finding, analysis);
  return (
    expected.line === line &&
    expected.from === from &&
    expected.to === to &&
    expected.severity === finding.severity &&
    expected.check === finding.check &&
    expected.says.every((text) => finding.message.includes(text))
  );
}

function describe(finding: Finding, analysis: Analysis): string {
  const { line, from, to } = placeOf(finding, analysis);
  return `${line + 1}:${from + 1}-${to + 1} ${finding.severity} ${finding.check}: ${finding.message}`;
}
