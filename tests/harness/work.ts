import { Session } from 'node:inspector';
import { setFlagsFromString } from 'node:v8';

// Compiled and inlined code is not counted: this process stays with the interpreter, where every block is.
for (const flag of ['--no-opt', '--no-maglev', '--no-sparkplug']) setFlagsFromString(flag);

/**
 * How often the program's own blocks (function bodies, loops, branches) were entered during a run, by V8's block coverage: a
 * measure of work that is the same on any machine under any load, for tests that say how work grows. What the runtime does within
 * one call (a long search in a text) counts as that one call.
 */
export function work(run: () => unknown): number {
  const session = new Session();
  session.connect();
  let found = 0;
  const post = (method: string, params?: object) =>
    session.post(method, params, (error, result) => {
      if (error) throw error;
      for (const { url, functions } of (result as Coverage | undefined)?.result ?? [])
        if (/\/(server\/src|node_modules\/yaml)\//.test(url))
          for (const { ranges } of functions) for (const { count } of ranges) found += count;
    });
  try {
    post('Profiler.enable');
    post('Profiler.startPreciseCoverage', { callCount: true, detailed: true });
    post('Profiler.takePreciseCoverage');
    found = 0;
    run();
    post('Profiler.takePreciseCoverage');
  } finally {
    post('Profiler.stopPreciseCoverage');
    post('Profiler.disable');
    session.disconnect();
  }
  return found;
}

interface Coverage {
  readonly result?: readonly {
    readonly url: string;
    readonly functions: readonly { readonly ranges: readonly { readonly count: number }[] }[];
  }[];
}
