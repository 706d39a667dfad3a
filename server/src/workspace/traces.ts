import type { Board } from '../board/board';
import type { Capture } from '../board/measured';
import { partWorthDrawing, type Trace, type TraceOutcome } from '../drawing/trace';
import type { RecordingFigures } from '../signal/figures';
import type { Control } from '../signal/source';
import type { Compute, TraceTask } from './compute';
import { type Files, resolveUri } from './files';
import { measureRequest } from './requests';

/** How many are kept: the captures of a bench evening, looked at again and again. A trace has some 10 kB. */
const kept = 60;

/** What is drawn of measured recordings, read once for each content and way of asking. */
export class Traces {
  private readonly known = new Map<string, Promise<TraceOutcome>>();

  constructor(
    private readonly files: Files,
    private readonly compute: Compute,
  ) {}

  /** What is drawn of a capture; undefined where it cannot be read or drawn, or was cancelled. Never rejects. */
  async of(board: Board, capture: Capture, figures: RecordingFigures, control: Control): Promise<Trace | undefined> {
    if (!capture.file) return undefined;
    const uri = resolveUri(board.file, capture.file.path);
    const stat = await this.files.stat(uri).catch(() => undefined);
    if (stat?.kind !== 'file') return undefined;
    const { format, channels } = measureRequest(board, capture);
    const part = partWorthDrawing(figures);
    const request = { format, ...(channels?.length && { channels }), ...(part && { part }) };
    const key = `${uri} ${stat.version} ${JSON.stringify(request)}`;
    for (;;) {
      const outcome = await this.read(key, { kind: 'trace', uri, size: stat.size, request }, control);
      // Somebody else who wanted it too may have called it off.
      if (!('cancelled' in outcome) || control.cancelled()) return 'trace' in outcome ? outcome.trace : undefined;
    }
  }

  private read(key: string, task: TraceTask, control: Control): Promise<TraceOutcome> {
    const before = this.known.get(key);
    // Asked for again: to the end of the queue of those to be forgotten.
    this.known.delete(key);
    const reading = before ?? this.compute(task, control).catch((error: Error) => ({ error: error.message }));
    this.known.set(key, reading);
    for (const old of this.known.keys()) {
      if (this.known.size <= kept) break;
      this.known.delete(old);
    }
    // What came to nothing is not kept: a thread may have died, a file may come back.
    void reading.then((outcome) => {
      if ('error' in outcome && this.known.get(key) === reading) this.known.delete(key);
    });
    return reading;
  }
}
