import { type MeasureOutcome, type MeasureRequest, measure } from '../signal/measure';
import type { Control } from '../signal/source';
import type { Files } from './files';
import { wholeLimit } from './files';

/** Heavy work as plain data: it may cross to a worker thread. */
export interface MeasureTask {
  readonly kind: 'measure';
  readonly uri: string;
  readonly size: number;
  readonly request: MeasureRequest;
}

export type Task = MeasureTask;

/** Runs a task somewhere, a thread or here; `control` cancels it and hears of its progress. */
export type Compute = (task: Task, control: Control) => Promise<MeasureOutcome>;

/** The task itself, for whoever has files: a worker thread, or the same thread. */
export async function runTask(task: Task, files: Files, control: Control): Promise<MeasureOutcome> {
  if (!files.ranges && task.size > wholeLimit)
    return {
      error: `the file has ${Math.round(task.size / 1e6)} MB; here recordings up to ${wholeLimit >> 20} MB can be read`,
    };
  let whole: Promise<Uint8Array> | undefined;
  const read = async (from: number, to: number) => {
    if (files.ranges) return files.read(task.uri, from, to);
    whole ??= files.read(task.uri);
    return (await whole).subarray(from, to);
  };
  return measure({ size: task.size, read }, task.request, control);
}

/** The same thread: it yields between blocks, as the reading of files does. */
export const sameThread =
  (files: Files): Compute =>
  (task, control) =>
    runTask(task, files, control);
