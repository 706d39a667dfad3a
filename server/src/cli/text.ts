import { cautionsOf } from '../board/cautions';
import type { Finding, Severity } from '../text/finding';
import type { CheckedFile } from './json';
import type { Surroundings } from './verb';
import { wrap } from './wrap';

const paint: Record<Severity, [string, string]> = {
  error: ['\u001b[1;31m', '\u001b[0m'],
  warning: ['\u001b[1;33m', '\u001b[0m'],
  info: ['\u001b[1;36m', '\u001b[0m'],
  hint: ['\u001b[1m', '\u001b[0m'],
};

/** Findings for a reader: the source line with a mark under the place, what was found, on what it rests, and a last line that counts. */
export function findingsText(files: readonly CheckedFile[], around: Pick<Surroundings, 'colour' | 'columns'>): string {
  const out: string[] = [];
  for (const file of files) {
    // Before anything sends the reader to a probe.
    if (file.analysis.findings.length > 0) out.push(...cautionLines(file, around));
    for (const finding of file.analysis.findings) out.push(one(finding, file, around), '');
  }
  out.push(summary(files));
  return `${out.join('\n')}\n`;
}

/** The cautions that go with a board on which something was found. */
function cautionLines({ analysis, path }: CheckedFile, { columns }: Pick<Surroundings, 'columns'>): string[] {
  if (analysis.kind !== 'board') return [];
  return cautionsOf(analysis.board).flatMap((caution) => [
    ...wrap(
      `${path}, caution${caution.from === undefined ? '' : ` (${caution.from})`}: ${caution.text}`,
      Math.max(40, columns ?? 100),
    ),
    '',
  ]);
}

function one(
  finding: Finding,
  file: CheckedFile,
  { colour, columns }: Pick<Surroundings, 'colour' | 'columns'>,
): string {
  const { analysis, path } = file;
  const { start, end } = analysis.lines.range(finding.place.span);
  const [on, off] = colour ? paint[finding.severity] : ['', ''];
  const number = String(start.line + 1);
  const margin = ' '.repeat(number.length);
  const source = analysis.lines.line(start.line);
  const to = end.line === start.line ? end.character : source.length;
  const marks = Math.max(1, to - start.character);
  const lead = source.slice(0, start.character).replace(/[^\t]/g, ' ');
  const width = Math.max(40, (columns ?? 100) - number.length - 3);
  const rows = [`${path}, line ${number}: ${on}${finding.severity}${off} ${finding.check}`];
  if (analysis.text !== '') {
    rows.push(`${number} │ ${source}`);
    rows.push(
      `${margin} │ ${lead}${on}${'▔'.repeat(Math.min(marks, Math.max(1, source.length - start.character)))}${off}`,
    );
  }
  for (const line of wrap(finding.message, width)) rows.push(`${margin}   ${line}`);
  if (finding.evidence.length > 0)
    for (const line of wrap(`from ${finding.evidence.join('; ')}`, width)) rows.push(`${margin}   ${line}`);
  for (const related of finding.related) {
    const where =
      related.place.file === analysis.uri
        ? `line ${analysis.lines.position(related.place.span.start).line + 1}`
        : file.shown(related.place.file);
    for (const line of wrap(`see ${where}: ${related.message}`, width)) rows.push(`${margin}   ${line}`);
  }
  return rows.join('\n');
}

function summary(files: readonly CheckedFile[]): string {
  const findings = files.reduce((sum, file) => sum + file.analysis.findings.length, 0);
  const boards = files.filter((file) => file.analysis.kind !== 'pinout').length;
  const pinouts = files.length - boards;
  const count = (number: number, one: string) => `${number} ${one}${number === 1 ? '' : 's'}`;
  const where = [boards > 0 && count(boards, 'board'), pinouts > 0 && count(pinouts, 'pinout')]
    .filter(Boolean)
    .join(' and ');
  return `${findings === 0 ? 'Nothing found' : count(findings, 'finding')} on ${where}`;
}
