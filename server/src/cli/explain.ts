import { pageOf, pages } from '../checks/pages';
import { nearest } from '../dialect/nearest';
import { readOptions, Usage, type Verb } from './verb';

export const explain: Verb = {
  name: 'explain',
  summary: 'the page of a check, a key, a role, a cause',
  help: `buzzout explain NAME
buzzout explain

Prints the page of a check, a key of the dialect, a role, a kind of part or a cause.
Without a name: lists them all.`,
  async run(args, around) {
    const { rest } = readOptions(args, [], []);
    if (rest.length > 1) throw new Usage('one name at a time');
    const name = rest[0];
    if (name === undefined) {
      for (const [group, entries] of pages())
        around.out(`${group}\n${entries.map((entry) => `  ${entry}`).join('\n')}\n\n`);
      return 0;
    }
    const found = pageOf(name);
    if (found.length === 0) {
      const near = nearest(name, [...pages().values()].flat());
      around.err(`buzzout: there is no page ${name}${near === undefined ? '' : `; did you mean ${near}?`}\n`);
      return 2;
    }
    around.out(`${found.join('\n\n')}\n`);
    return 0;
  },
};
