import type { CancellationToken, Connection, WorkDoneProgressServerReporter } from 'vscode-languageserver';
import type { Control } from '../signal/source';
import type { Following, Work } from '../workspace/follow';
import type { Delay } from '../workspace/scheduler';

/** Work that ends when a request is called off. */
export const steered = (token: CancellationToken): Control => ({
  cancelled: () => token.isCancellationRequested,
  progress: () => {},
});

/** Milliseconds before work counts as long: a bar that flashes up tells nothing. */
const patience = 1000;

const titles: Record<Work, string> = { measuring: 'Measuring', reasoning: 'Working out causes' };

/** Shows work that takes long as progress of the protocol's, which the user can cancel. */
export function showProgress(connection: Connection, delay: Delay, shows: () => boolean): Following {
  return (what, work) => {
    let over = false;
    let percent = 0;
    let reporter: WorkDoneProgressServerReporter | undefined;
    const begin = async () => {
      if (over || !shows()) return;
      const made = await connection.window.createWorkDoneProgress();
      made.begin(titles[work], percent, what, true);
      if (over) made.done();
      else reporter = made;
    };
    // A client that refuses a bar does without.
    void delay(patience)
      .then(begin)
      .catch(() => {});
    return {
      cancelled: () => reporter?.token.isCancellationRequested === true,
      progress(fraction) {
        const now = Math.floor(fraction * 100);
        if (now === percent) return;
        percent = now;
        reporter?.report(now, what);
      },
      over() {
        over = true;
        reporter?.done();
      },
    };
  };
}
