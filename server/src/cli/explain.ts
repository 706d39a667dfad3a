import { pageOf, pages } from '../checks/pages';
import { nearest } from '../dialect/nearest';
import { schemaOf } from '../dialect/schema';
import { oneOf, readOptions, Usage, type Verb } from './verb';

export const explain: Verb = {
  name: 'explain',
  summary: 'the page of a check, a key, a role, a cause',
  help: `buzzout explain NAME
buzzout explain
buzzout explain --schema board|pinout

Prints the page of a check, a key of the dialect, a role, a kind of part or a cause.
Without a name: lists them all.

  --schema   a JSON Schema (2020-12) of the file kind instead, for editors that know YAML alone: keys, shapes and words`,
  async run(args, around) {
    const options = readOptions(args, ['--schema'], []);
    const { rest } = options;
    if (options.values.has('--schema')) {
      if (rest.length > 0) throw new Usage('a schema is of a file kind: name nothing beside it');
      const kind = oneOf(options, '--schema', ['board', 'pinout'], 'board');
      around.out(`${JSON.stringify(schemaOf(kind), null, 2)}\n`);
      return 0;
    }
    if (rest.length > 1) throw new Usage('one name at a time');
    const name = rest[0];
    if (name === undefined) {
      for (const [group, entries] of pages())
        around.out(`${group}\n${entries.map((entry) => `  ${entry}`).join('\n')}\n\n`);
      return 0;
    }
    const found = pageOf(name);
    if (found.length === 0) {
      around.err(`buzzout: there is no page ${name}${hint(name)}\n`);
      return 2;
    }
    around.out(`${found.join('\n\n')}\n`);
    return 0;
  },
};

/** Where to look instead: the name nearest to what was written, else the pages that speak of it. */
function hint(name: string): string {
  const names = [...new Set([...pages().values()].flat())];
  const near = nearest(name, names);
  if (near !== undefined) return `; did you mean ${near}?`;
  const word = name.toLowerCase();
  const speaking = names.filter((one) => pageOf(one).some((page) => page.toLowerCase().includes(word)));
  return word.length < 3 || speaking.length === 0
    ? ''
    : `; these speak of it: ${speaking.slice(0, most).join(', ')}${speaking.length > most ? ' and more' : ''}`;
}

const most = 12;
