import { Board } from '../board/board';
import { buildPinout } from '../board/pinout';
import type { CaptureState } from '../checks/check';
import { reasons, runChecks } from '../checks/engine';
import { parseBoard, parsePinout } from '../dialect/parse';
import { type MeasureOutcome, type MeasureRequest, measure } from '../signal/measure';
import type { Control } from '../signal/source';
import type { Finding } from '../text/finding';
import { type Files, wholeLimit } from './files';
import { makeSnapshot } from './snapshot';

/** Heavy work as plain data: it may cross to a worker thread. */
export interface MeasureTask {
  readonly kind: 'measure';
  readonly uri: string;
  readonly size: number;
  readonly request: MeasureRequest;
}

/** A board as texts and figures, to be reasoned about: which pinout fits, which cause explains. */
export interface ReasonTask {
  readonly kind: 'reason';
  readonly uri: string;
  readonly text: string;
  readonly pinouts: readonly { readonly uri: string; readonly text: string }[];
  readonly captures: readonly (readonly [string, CaptureState])[];
  readonly limits: Readonly<Record<string, number>>;
  readonly told: readonly Finding[];
}

export type Task = MeasureTask | ReasonTask;

/** What a kind of task comes to. */
export type OutcomeOf<T extends Task> = T extends MeasureTask ? MeasureOutcome : readonly Finding[];

/** Runs a task somewhere, a thread or here; `control` cancels it and hears of its progress. */
export type Compute = <T extends Task>(task: T, control: Control) => Promise<OutcomeOf<T>>;

/** The task itself, for whoever has files: a worker thread, or the same thread. */
export async function runTask<T extends Task>(task: T, files: Files, control: Control): Promise<OutcomeOf<T>> {
  const outcome = task.kind === 'measure' ? await runMeasure(task, files, control) : reason(task);
  return outcome as OutcomeOf<T>;
}

async function runMeasure(task: MeasureTask, files: Files, control: Control): Promise<MeasureOutcome> {
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

/** The findings of the checks that reason, on a board built anew from its texts. */
function reason(task: ReasonTask): Finding[] {
  const parsed = parseBoard(task.text);
  const pinouts = new Map(
    task.pinouts.flatMap(({ uri, text }) => {
      const pinout = buildPinout(parsePinout(text).value, uri);
      return pinout ? [[pinout.name.toLowerCase(), pinout] as const] : [];
    }),
  );
  const board = new Board(task.uri, parsed.value, pinouts);
  const snapshot = makeSnapshot(board, task.text, parsed, [], new Map(task.captures), task.limits);
  return runChecks(snapshot, reasons, task.told);
}

/** The same thread; `pause` lets others run on it between blocks. */
export const sameThread =
  (files: Files, pause?: () => Promise<void>): Compute =>
  (task, control) =>
    runTask(task, files, {
      cancelled: () => control.cancelled(),
      progress: (fraction) => control.progress(fraction),
      ...(pause && { pause }),
    });
