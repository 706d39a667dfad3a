import { Board } from '../board/board';
import { buildPinout } from '../board/pinout';
import type { CaptureState, Snapshot } from '../checks/check';
import { diagnosed } from '../checks/diagnosis/diagnosed';
import { reasons, runChecks } from '../checks/engine';
import type { Diagnosis } from '../diagnosis/causes/types';
import { parseBoard, parsePinout } from '../dialect/parse';
import { readTrace, type TraceOutcome, type TraceRequest } from '../drawing/trace';
import { type MeasureOutcome, type MeasureRequest, measure } from '../signal/measure';
import type { ByteSource, Control } from '../signal/source';
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

/** A recording to be drawn. */
export interface TraceTask {
  readonly kind: 'trace';
  readonly uri: string;
  readonly size: number;
  readonly request: TraceRequest;
}

/** A board as texts and figures, to be built anew wherever it is thought about. */
export interface BoardAsTexts {
  readonly uri: string;
  readonly text: string;
  readonly pinouts: readonly { readonly uri: string; readonly text: string }[];
  readonly captures: readonly (readonly [string, CaptureState])[];
  readonly limits: Readonly<Record<string, number>>;
}

/** The findings of the checks that reason: which pinout fits, which cause explains. */
export interface ReasonTask extends BoardAsTexts {
  readonly kind: 'reason';
  readonly told: readonly Finding[];
}

/** Every cause that explains a board, and what to probe next. */
export interface DiagnoseTask extends BoardAsTexts {
  readonly kind: 'diagnose';
}

export type Task = MeasureTask | TraceTask | ReasonTask | DiagnoseTask;

/** What each kind of task comes to. Findings of a task that was cancelled are of no use: whoever cancelled it drops them. */
interface Outcomes {
  readonly measure: MeasureOutcome;
  readonly trace: TraceOutcome;
  readonly reason: readonly Finding[];
  readonly diagnose: { readonly diagnosis: Diagnosis } | { readonly error: string; readonly cancelled: true };
}
export type OutcomeOf<T extends Task> = Outcomes[T['kind']];

/** Runs a task somewhere, a thread or here; `control` cancels it and hears of its progress. */
export type Compute = <T extends Task>(task: T, control: Control) => Promise<OutcomeOf<T>>;

/** The task itself, for whoever has files: a worker thread, or the same thread. */
export async function runTask<T extends Task>(task: T, files: Files, control: Control): Promise<OutcomeOf<T>> {
  return (await outcomeOf(task, files, control)) as OutcomeOf<T>;
}

async function outcomeOf(task: Task, files: Files, control: Control): Promise<Outcomes[Task['kind']]> {
  if (task.kind === 'reason') return runChecks(rebuilt(task, control), reasons, task.told);
  if (task.kind === 'diagnose') {
    const diagnosis = diagnosed(rebuilt(task, control));
    return control.cancelled() ? { error: 'cancelled', cancelled: true } : { diagnosis };
  }
  const source = sourceOf(task, files);
  if ('error' in source) return source;
  return task.kind === 'measure' ? measure(source, task.request, control) : readTrace(source, task.request, control);
}

/** The bytes of a recording: in ranges where files come so, else whole, once. */
export function sourceOf(
  { uri, size }: Pick<MeasureTask, 'uri' | 'size'>,
  files: Files,
): ByteSource | { readonly error: string } {
  if (!files.ranges && size > wholeLimit)
    return {
      error: `the file has ${Math.round(size / 1e6)} MB; here recordings up to ${wholeLimit >> 20} MB can be read`,
    };
  let whole: Promise<Uint8Array> | undefined;
  const read = async (from: number, to: number) => {
    if (files.ranges) return files.read(uri, from, to);
    whole ??= files.read(uri);
    return (await whole).subarray(from, to);
  };
  return { size, read };
}

/** The snapshot of a board built anew from its texts. */
function rebuilt(task: BoardAsTexts, control: Control): Snapshot {
  const parsed = parseBoard(task.text);
  const pinouts = new Map(
    task.pinouts.flatMap(({ uri, text }) => {
      const pinout = buildPinout(parsePinout(text).value, uri);
      return pinout ? [[pinout.name.toLowerCase(), pinout] as const] : [];
    }),
  );
  const board = new Board(task.uri, parsed.value, pinouts);
  const stop = () => {
    // How far it is cannot be said; that it still runs can, and lets whoever listens call it off.
    control.progress(0);
    return control.cancelled();
  };
  return { ...makeSnapshot(board, task.text, parsed, [], new Map(task.captures), task.limits), stop };
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
