import { checkNames } from '../dialect/check-names';
import { type HintKind, hintKinds } from '../editor/inlay-hints';
import { dimensions } from '../quantity/dimension';
import { resolveUri } from './files';

/** What the user has set in the editor, beside what stands on the board. */
export interface Settings {
  /** Check → threshold in the check's own unit. */
  readonly limits: Readonly<Record<string, number>>;
  /** URI, with a slash at its end, of a folder of pinout files that every board may use. */
  readonly library: string | undefined;
  /** Kinds of inlay hints that are shown. */
  readonly hints: Readonly<Record<HintKind, boolean>>;
  /** Whether a client that asks for findings of the whole workspace gets those of files that are not open too. */
  readonly wholeWorkspace: boolean;
}

export const defaultSettings: Settings = {
  limits: {},
  library: undefined,
  hints: { role: true, pin: true, value: true, corner: true, level: true, dc: true },
  wholeWorkspace: true,
};

/** Reads what an editor sends as settings; what cannot be read keeps its last good value, and is told. */
export function readSettings(
  given: unknown,
  last: Settings,
): { readonly settings: Settings; readonly problems: readonly string[] } {
  const problems: string[] = [];
  const map = isMap(given) ? given : {};
  return {
    settings: {
      limits: readLimits(map.limits, last.limits, problems),
      library: readLibrary(map.libraryFolder, last.library, problems),
      hints: readHints(map.hints, last.hints, problems),
      wholeWorkspace: readSwitch('wholeWorkspace', map.wholeWorkspace, last.wholeWorkspace, problems),
    },
    problems,
  };
}

const isMap = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function readLimits(given: unknown, last: Settings['limits'], problems: string[]): Settings['limits'] {
  if (given === undefined || given === null) return {};
  if (!isMap(given)) {
    problems.push('buzzout.limits is a map from checks to numbers');
    return last;
  }
  const limits: Record<string, number> = {};
  for (const [name, value] of Object.entries(given)) {
    const limit = checkNames.get(name)?.limit;
    if (!limit) problems.push(`buzzout.limits: ${name} has no threshold`);
    else if (typeof value !== 'number' || !Number.isFinite(value)) {
      problems.push(
        `buzzout.limits: ${name} wants a number (${limit.what}, in ${dimensions[limit.dimensions[0]!].base})`,
      );
      const before = last[name];
      if (before !== undefined) limits[name] = before;
    } else limits[name] = value;
  }
  return limits;
}

function readLibrary(given: unknown, last: string | undefined, problems: string[]): string | undefined {
  if (given === undefined || given === null || given === '') return undefined;
  if (typeof given !== 'string') {
    problems.push('buzzout.libraryFolder is a path');
    return last;
  }
  const path = given.trim().replace(/\\/g, '/');
  const uri = /^[a-z]:\//i.test(path)
    ? `file:///${path[0]}:${encodeURI(path.slice(2))}`
    : path.startsWith('/') || /^[a-z][a-z0-9+.-]+:\/\//i.test(path)
      ? resolveUri('file:///', path)
      : undefined;
  if (uri === undefined) {
    problems.push(`buzzout.libraryFolder must be an absolute path, not ${given}`);
    return last;
  }
  return uri.endsWith('/') ? uri : `${uri}/`;
}

function readHints(given: unknown, last: Settings['hints'], problems: string[]): Settings['hints'] {
  if (given === undefined || given === null) return defaultSettings.hints;
  if (!isMap(given)) {
    problems.push('buzzout.hints is a map of switches');
    return last;
  }
  const hints = { ...defaultSettings.hints };
  for (const kind of hintKinds) {
    const value = given[kind];
    if (typeof value === 'boolean') hints[kind] = value;
    else if (value !== undefined) {
      problems.push(`buzzout.hints.${kind} is true or false`);
      hints[kind] = last[kind];
    }
  }
  return hints;
}

function readSwitch(name: 'wholeWorkspace', given: unknown, last: boolean, problems: string[]): boolean {
  if (given === undefined || given === null) return defaultSettings[name];
  if (typeof given === 'boolean') return given;
  problems.push(`buzzout.${name} is true or false`);
  return last;
}
