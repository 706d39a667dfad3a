import { boardFile } from './board-file';
import { describeType } from './describe';
import { pinoutFile } from './pinout-file';
import type { Choice, Keys, RecordType, Type } from './type';

/** The reference of the dialect as Markdown, made from the table of keys: what is checked is what is documented. */

const files = [
  ['Board file', 'board.yaml', boardFile],
  ['Pinout file', 'pinout.yaml', pinoutFile],
] as const;

/** Lists longer than this are told once, word by word, rather than in every cell. */
const shortList = 3;

/** The maps and word lists of the table, each with the name the reference gives it: the first place it is met at. */
interface Index {
  readonly maps: Map<Keys, string>;
  readonly words: Map<readonly Choice[], string>;
}

/** Every key of both files with its type, meaning and example, then every word of the closed lists. */
export function reference(): string {
  const index: Index = { maps: new Map(), words: new Map() };
  const out = [
    '# The dialect',
    '',
    'Made from the table that checks the files. Texts are read as they are written; `yes` and `no` may also be `true` and `false`, `on` and `off`.',
    'In the names of maps, `…` stands for a name the writer chooses and `[]` for each entry of a list.',
  ];
  for (const [title, extension, root] of files) {
    const before = index.maps.size;
    visit(extension, root, index);
    out.push('', `## ${title}: \`*.${extension}\``);
    for (const [keys, path] of [...index.maps].slice(before)) {
      if (path !== extension) out.push('', `### \`${path}\``);
      out.push('', ...table(keys, index));
    }
  }
  out.push('', '## Words');
  for (const [choices, path] of index.words) {
    if (choices.length <= shortList) continue;
    out.push('', `### Words of \`${path}\``, '', '| word | means |', '| --- | --- |');
    for (const choice of choices) out.push(`| \`${choice.name}\` | ${cell(choice.doc)} |`);
  }
  return `${out.join('\n')}\n`;
}

/** Notes the maps and word lists inside a type, the outer before the inner. */
function visit(path: string, type: Type, index: Index): void {
  switch (type.kind) {
    case 'record': {
      const keys: Keys = type.keys;
      if (index.maps.has(keys)) return;
      index.maps.set(keys, path);
      const top = files.some(([, extension]) => extension === path);
      for (const [name, key] of Object.entries(keys)) visit(top ? name : `${path}.${name}`, key.type, index);
      return;
    }
    case 'entries':
      if (type.keyChoices) index.words.set(type.keyChoices, index.words.get(type.keyChoices) ?? path);
      visit(`${path}.…`, type.of, index);
      return;
    case 'list':
      visit(`${path}[]`, type.of, index);
      return;
    case 'choice':
      index.words.set(type.choices, index.words.get(type.choices) ?? path);
      return;
    case 'either':
      for (const form of [type.scalar, type.list, type.map]) if (form) visit(path, form, index);
  }
}

function table(keys: Keys, index: Index): string[] {
  const out = ['| key | takes | means | example |', '| --- | --- | --- | --- |'];
  for (const [name, { type, doc, example, required }] of Object.entries(keys)) {
    const key = `\`${name}\`${required ? ' (must be there)' : ''}`;
    out.push(`| ${key} | ${cell(takes(type, index))} | ${cell(doc)} | \`${cell(example)}\` |`);
  }
  return out;
}

/** A type in words short enough for a cell: maps and long lists by the place where they are told. */
function takes(type: Type, index: Index): string {
  const map = (record: RecordType) => `a map, \`${index.maps.get(record.keys)}\``;
  const words = (choices: readonly Choice[]) =>
    choices.length > shortList ? `one of the words of \`${index.words.get(choices)}\`` : undefined;
  return describeType(type, { map, words });
}

const cell = (text: string): string => text.replace(/\|/g, '\\|').replace(/\s*\n\s*/g, ' ');
