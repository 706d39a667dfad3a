import type { Surroundings } from './verb';

/** Lines of at most `width` characters, broken at spaces; a longer word stands alone. */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of paragraph.split(' ')) {
      if (line !== '' && line.length + 1 + word.length > width) {
        lines.push(line);
        line = word;
      } else line = line === '' ? word : `${line} ${word}`;
    }
    lines.push(line);
  }
  return lines;
}

/** Lines as the terminal takes them, at most 100 columns wide; as they are where the output is no terminal. */
export function toColumns(lines: readonly string[], { columns }: Pick<Surroundings, 'columns'>): string {
  const width = columns === undefined ? undefined : Math.min(columns, 100);
  return `${lines.map((line) => (width === undefined ? line : wrap(line, width).join('\n'))).join('\n')}\n`;
}
