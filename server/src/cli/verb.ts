import type { Compute } from '../workspace/compute';
import type { Files } from '../workspace/files';

/** What the command line is given from outside: files, the terminal, the folder it was called in. */
export interface Surroundings {
  readonly files: Files;
  readonly compute: Compute;
  /** URI of the folder it was called in, with a slash at its end. */
  readonly folder: string;
  readonly version: string;
  readonly colour: boolean;
  /** Columns of the terminal; undefined where the output is no terminal. */
  readonly columns: number | undefined;
  out(text: string): void;
  err(text: string): void;
  standardInput(): Promise<Uint8Array>;
  /** Writes a file and the folders above it; rejects in words. */
  write(uri: string, bytes: Uint8Array | string): Promise<void>;
  /** A path as typed, as a URI. */
  toUri(path: string): string;
  /** A URI as a path to show, short where it lies below the folder. */
  toPath(uri: string): string;
}

/** Exit status: 0 nothing at or above the threshold, 1 findings, 2 bad usage or an unreadable file. */
export type Status = 0 | 1 | 2;

export interface Verb {
  readonly name: string;
  /** The line in the list of verbs. */
  readonly summary: string;
  readonly help: string;
  run(args: readonly string[], around: Surroundings): Promise<Status>;
}

/** Bad usage: told in one line, with the verb's help a step away. */
export class Usage extends Error {}

export interface Options {
  readonly rest: readonly string[];
  readonly values: ReadonlyMap<string, string>;
  readonly flags: ReadonlySet<string>;
}

/**
 * Reads a verb's arguments: `--name value`, `--name=value`, flags, and what is left; after `--` everything is left. A dash alone
 * is standard input. Throws Usage for an option the verb does not have.
 */
export function readOptions(args: readonly string[], withValue: readonly string[], flags: readonly string[]): Options {
  const rest: string[] = [];
  const values = new Map<string, string>();
  const set = new Set<string>();
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!;
    if (arg === '--') {
      rest.push(...args.slice(i + 1));
      break;
    }
    if (!/^--?[a-z]/i.test(arg)) {
      rest.push(arg);
      continue;
    }
    const [name, inline] = splitOnce(arg);
    if (flags.includes(name)) {
      if (inline !== undefined) throw new Usage(`${name} takes no value`);
      set.add(name);
    } else if (withValue.includes(name)) {
      const value = inline ?? args[++i];
      if (value === undefined) throw new Usage(`${name} wants a value`);
      values.set(name, value);
    } else throw new Usage(`there is no option ${name}`);
  }
  return { rest, values, flags: set };
}

const splitOnce = (arg: string): [string, string | undefined] => {
  const at = arg.indexOf('=');
  return at < 0 ? [arg, undefined] : [arg.slice(0, at), arg.slice(at + 1)];
};

/** A value that must be one of a few. */
export function oneOf<T extends string>(options: Options, name: string, allowed: readonly T[], otherwise: T): T {
  const value = options.values.get(name);
  if (value === undefined) return otherwise;
  const found = allowed.find((candidate) => candidate === value);
  if (!found) throw new Usage(`${name} is one of ${allowed.join(', ')}, not ${value}`);
  return found;
}
