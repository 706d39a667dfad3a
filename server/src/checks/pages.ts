import { boardFile } from '../dialect/board-file';
import { checkNames } from '../dialect/check-names';
import { describeType } from '../dialect/describe';
import { pinoutFile } from '../dialect/pinout-file';
import type { Choice, Key, Type } from '../dialect/type';
import * as words from '../dialect/words';
import { formatQuantity } from '../quantity/format';
import type { Check } from './check';
import { checks } from './registry';

/** The pages behind names: checks, keys of both file kinds, roles, kinds, causes, cautions. All from the tables. */

const inWords = {
  error: 'error: damages, or cannot be true',
  warning: 'warning: likely fault',
  info: 'information: probably unintended',
  hint: 'hint: could be said better',
};

/** A check's page as Markdown. */
export function checkPage(check: Check): string {
  const { page } = check;
  const known = checkNames.get(check.name)!;
  const limit = known.limit
    ? `\n\nThreshold: ${formatQuantity(known.limit.value, known.limit.dimensions[0]!)} (${known.limit.what}); \`limits\` on the board and the settings change it.`
    : '';
  return `# ${check.name}

*${inWords[known.severity]}*

${page.meaning}

**Other causes.** ${page.causes}

**What to probe next.** ${page.next}

**Where the rule comes from.** ${page.source}${limit}

**Blind spots.** ${page.blind}`;
}

interface KeyPlace {
  readonly path: string;
  readonly key: Key;
}

/** Every key of both file kinds, by name, with the places it stands at. */
function allKeys(): Map<string, KeyPlace[]> {
  const found = new Map<string, KeyPlace[]>();
  const walk = (type: Type, path: string): void => {
    switch (type.kind) {
      case 'record':
        for (const [name, key] of Object.entries(type.keys as Record<string, Key>)) {
          const at = `${path}${path.endsWith(': ') ? '' : ' › '}${name}`;
          found.set(name, [...(found.get(name) ?? []), { path: at, key }]);
          walk(key.type, at);
        }
        return;
      case 'entries':
        walk(type.of, `${path} › …`);
        return;
      case 'list':
        walk(type.of, path);
        return;
      case 'either':
        for (const form of [type.scalar, type.list, type.map]) if (form) walk(form, path);
        return;
      default:
        return;
    }
  };
  walk(boardFile, 'board: ');
  walk(pinoutFile, 'pinout: ');
  return found;
}

function keyPage(name: string, places: readonly KeyPlace[]): string {
  const seen = new Set<string>();
  const parts = places.filter(({ key }) => !seen.has(key.doc) && seen.add(key.doc));
  return `# ${name} (key)\n\n${parts
    .map(({ path, key }) => `**${path}.** ${key.doc}\n\nTakes ${describeType(key.type)}.\n\n    ${key.example}`)
    .join('\n\n')}`;
}

const lists: readonly [string, string, readonly Choice[]][] = [
  ['roles', 'role', words.pinRoles],
  ['kinds of parts', 'kind', words.kinds],
  ['connector styles', 'style', words.styles],
  ['causes', 'cause', words.causes],
  ['cautions', 'caution', words.cautions],
];

/** Group → names that have a page. */
export function pages(): Map<string, string[]> {
  return new Map<string, string[]>([
    ['checks', checks.map((check) => check.name).sort()],
    ['keys', [...allKeys().keys()].sort()],
    ...lists.map(([group, , choices]): [string, string[]] => [group, words.names(choices)]),
  ]);
}

/** Every page a name has, as Markdown: a name may be a key and a role at once. */
export function pageOf(name: string): string[] {
  const check = checks.find((candidate) => candidate.name === name);
  const keys = allKeys().get(name);
  return [
    ...(check ? [checkPage(check)] : []),
    ...(keys ? [keyPage(name, keys)] : []),
    ...lists.flatMap(([, what, choices]) => {
      const choice = choices.find((candidate) => candidate.name === name);
      return choice ? [`# ${name} (${what})\n\n${choice.doc}`] : [];
    }),
  ];
}
