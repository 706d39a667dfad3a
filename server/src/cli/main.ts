import { nearest } from '../dialect/nearest';
import { check } from './check';
import { diagnose } from './diagnose';
import { explain } from './explain';
import { identify } from './identify';
import { measure } from './measure';
import { signals } from './signals';
import { type Status, type Surroundings, Usage, type Verb } from './verb';

export const verbs: readonly Verb[] = [check, measure, identify, diagnose, signals, explain];

const server = '  server     the language server, for any editor: buzzout server --stdio';

const overview = () => `buzzout: finds what is wrong on a small audio board from what you write down while probing it

${verbs.map((verb) => `  ${verb.name.padEnd(10)} ${verb.summary}`).join('\n')}
${server}

buzzout VERB --help says more.
`;

/** Runs one command line. Never rejects for what a user typed or a file holds. */
export async function runCommandLine(args: readonly string[], around: Surroundings): Promise<Status> {
  const [name, ...rest] = args;
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    const verb = name === 'help' ? verbs.find((candidate) => candidate.name === rest[0]) : undefined;
    (name === undefined ? around.err : around.out)(verb ? `${verb.help}\n` : overview());
    return name === undefined ? 2 : 0;
  }
  if (name === '--version') {
    around.out(`${around.version}\n`);
    return 0;
  }
  const verb = verbs.find((candidate) => candidate.name === name);
  if (!verb) {
    const near = nearest(
      name,
      verbs.map((candidate) => candidate.name),
    );
    around.err(
      `buzzout: there is no verb ${name}${near === undefined ? '' : `; did you mean ${near}?`}\n\n${overview()}`,
    );
    return 2;
  }
  if (rest.includes('--help') || rest.includes('-h')) {
    around.out(`${verb.help}\n`);
    return 0;
  }
  try {
    return await verb.run(rest, around);
  } catch (error) {
    if (!(error instanceof Usage)) throw error;
    around.err(`buzzout ${name}: ${error.message}\nbuzzout ${name} --help says more.\n`);
    return 2;
  }
}
