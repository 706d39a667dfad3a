import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import type { Control } from '../signal/source';
import type { Compute, OutcomeOf, Task } from '../workspace/compute';

/** What goes to the worker thread. `calledOff` is one byte both sides see: a thread deep in thought reads no messages. */
export interface ToThread {
  readonly id: number;
  readonly task: Task;
  readonly calledOff: SharedArrayBuffer;
}
/** What comes back. Plain data. */
export type FromThread =
  | { readonly id: number; readonly progress: number }
  | { readonly id: number; readonly outcome: OutcomeOf<Task> }
  | { readonly id: number; readonly failed: string };

interface Waiting {
  readonly control: Control;
  readonly calledOff: Uint8Array;
  resolve(outcome: OutcomeOf<Task>): void;
  reject(error: Error): void;
}

/** Runs tasks in one worker thread, started when first needed; a thread that dies takes its tasks with it and is started again. */
export function threadCompute(): Compute {
  const waiting = new Map<number, Waiting>();
  let worker: Worker | undefined;
  let next = 0;

  const start = (): Worker => {
    const made = new Worker(join(__dirname, 'compute.cjs'));
    made.unref();
    made.on('message', (message: FromThread) => {
      const task = waiting.get(message.id);
      if (!task) return;
      if ('progress' in message) {
        task.control.progress(message.progress);
        if (task.control.cancelled()) Atomics.store(task.calledOff, 0, 1);
        return;
      }
      waiting.delete(message.id);
      if ('outcome' in message) task.resolve(message.outcome);
      else task.reject(new Error(message.failed));
    });
    const gone = (reason: string) => {
      // A thread that failed has its end told too: by then another may be at work.
      if (worker !== made) return;
      worker = undefined;
      for (const task of waiting.values()) task.reject(new Error(reason));
      waiting.clear();
    };
    made.on('error', (error) => gone(error.message));
    made.on('exit', () => gone('the measuring thread ended'));
    return made;
  };

  return <T extends Task>(task: T, control: Control) =>
    new Promise<OutcomeOf<T>>((resolve, reject) => {
      worker ??= start();
      const id = next++;
      const calledOff = new SharedArrayBuffer(1);
      waiting.set(id, {
        control,
        calledOff: new Uint8Array(calledOff),
        resolve: (outcome) => resolve(outcome as OutcomeOf<T>),
        reject,
      });
      const message: ToThread = { id, task, calledOff };
      worker.postMessage(message);
    });
}
