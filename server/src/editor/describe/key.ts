import { checkPage, pageOf } from '../../checks/pages';
import { checks } from '../../checks/registry';
import { describeType } from '../../dialect/describe';
import type { Key, Type } from '../../dialect/type';
import { code, paragraphs } from '../markdown';

/** Documentation out of the tables: ours, so it is Markdown as it stands. */

/** What a key takes, means and looks like. */
export const describeKey = (name: string, key: Key): string =>
  paragraphs(`**${name}**${key.required ? ' · must be there' : ''}`, documentation(key));

/** The same without the name, for a completion's side. */
export const documentation = (key: Key): string =>
  paragraphs(key.doc, `Takes ${takes(key.type)}.`, `\`\`\`yaml\n${key.example}\n\`\`\``);

/** The longest list of words fills a hover; past that only its kind is told. */
function takes(type: Type): string {
  const phrase = describeType(type);
  return phrase.length > 400
    ? describeType(type, { words: (choices) => `one of ${choices.length} words`, map: () => 'a map' })
    : phrase;
}

/** The page of a check; undefined for a name that is none. */
export function describeCheck(name: string): string | undefined {
  const check = checks.find((candidate) => candidate.name === name);
  return check && checkPage(check);
}

/** A word of a closed list; with a page of its own where it has one. */
export const describeWord = (name: string, doc: string): string => paragraphs(`**${name}**`, doc);

/** The page of a cause. */
export const describeCause = (name: string): string | undefined =>
  pageOf(name).find((page) => page.startsWith(`# ${name} (cause)`)) ?? (name === '' ? undefined : code(name));
