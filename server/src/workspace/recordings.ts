import type { Board } from '../board/board';
import type { CaptureState } from '../checks/check';
import type { Control } from '../signal/source';
import type { Compute } from './compute';
import { type FileStat, type Files, resolveUri, wholeLimit } from './files';
import { type Following, unfollowed } from './follow';
import { measureRequest } from './requests';

/** How many measured recordings are kept. */
const kept = 400;

const never = new Promise<CaptureState>(() => {});

interface Job {
  promise: Promise<CaptureState>;
  state: CaptureState | undefined;
  /** Captures, by board and name, that want it. */
  readonly wanted: Set<string>;
  /** Nobody wanted it any more, and it was told so: it will not come to its end. */
  givenUp: boolean;
}

/** Recordings measured once for each content and way of asking; the rest of the time their figures are at hand. */
export class Recordings {
  private readonly jobs = new Map<string, Job>();
  /** The job a capture wants now, by board and capture name. */
  private readonly wants = new Map<string, Job>();
  /** The last figures of a capture, by board and capture name: they stand in while new ones are worked out. */
  private readonly last = new Map<string, CaptureState>();

  constructor(
    private readonly files: Files,
    private readonly compute: Compute,
    private readonly follow: Following = unfollowed,
  ) {}

  /**
   * The states of a board's captures now, without waiting, and a promise of all of them; where new figures are still pending, those
   * of before stand in.
   */
  async states(board: Board): Promise<{
    readonly now: ReadonlyMap<string, CaptureState>;
    readonly settled: boolean;
    readonly later: Promise<ReadonlyMap<string, CaptureState>>;
  }> {
    const now = new Map<string, CaptureState>();
    const waiting: Promise<void>[] = [];
    const later = new Map<string, CaptureState>();
    for (const capture of board.captures) {
      if (!capture.file || capture.stimulusBroken) continue;
      const name = capture.name;
      const uri = resolveUri(board.file, capture.file.path);
      const stat = await this.look(uri, capture.file.path);
      if ('is' in stat) {
        now.set(name, stat);
        later.set(name, stat);
        continue;
      }
      const request = measureRequest(board, capture);
      const lastKey = `${board.file} ${name}`;
      const job = this.job(uri, stat.size, stat.version, request, capture.file.path, lastKey);
      if (job.state) {
        now.set(name, job.state);
        later.set(name, job.state);
        this.last.set(lastKey, job.state);
        continue;
      }
      now.set(name, this.last.get(lastKey) ?? { is: 'pending' });
      waiting.push(
        job.promise.then((state) => {
          later.set(name, state);
          if (!job.givenUp) this.last.set(lastKey, state);
        }),
      );
    }
    return { now, settled: waiting.length === 0, later: Promise.all(waiting).then(() => later) };
  }

  /** Those that were stopped are begun anew when next asked for. */
  forgetStopped(): void {
    for (const [key, job] of this.jobs) if (job.state?.is === 'pending') this.jobs.delete(key);
  }

  /** A capture wants this job from now on: what it wanted before, perhaps asked by half a word, is not measured to its end. */
  private want(capture: string, job: Job): Job {
    const before = this.wants.get(capture);
    if (before !== job) before?.wanted.delete(capture);
    job.wanted.add(capture);
    this.wants.set(capture, job);
    return job;
  }

  private job(
    uri: string,
    size: number,
    version: string,
    request: ReturnType<typeof measureRequest>,
    path: string,
    capture: string,
  ): Job {
    const asked = request.channels?.length === 0 ? { ...request, channels: undefined } : request;
    const key = `${uri} ${version} ${JSON.stringify(asked)}`;
    const known = this.jobs.get(key);
    if (known && !known.givenUp) {
      // Used again: to the end of the queue of those to be forgotten.
      this.jobs.delete(key);
      this.jobs.set(key, known);
      return this.want(capture, known);
    }
    const follow = this.follow(path, 'measuring');
    const job: Job = { promise: never, state: undefined, wanted: new Set(), givenUp: false };
    const control: Control = {
      cancelled: () => {
        job.givenUp ||= job.wanted.size === 0;
        return job.givenUp || follow.cancelled();
      },
      progress: (fraction) => follow.progress(fraction),
    };
    this.want(capture, job);
    const { channels, ...rest } = asked;
    job.promise = this.compute(
      { kind: 'measure', uri, size, request: channels ? { ...rest, channels } : rest },
      control,
    ).then(
      (outcome): CaptureState =>
        'figures' in outcome
          ? { is: 'ready', figures: outcome.figures }
          : outcome.cancelled
            ? // Stopped by the user, it is not begun again before the file or what is asked of it changes.
              { is: 'pending', ...(!job.givenUp && { stopped: true as const }) }
            : {
                is: 'failed',
                // A channel the file has not is a slip on the board, not a fault of the file.
                check: outcome.absent === undefined ? 'file-unreadable' : 'unknown-reference',
                message: `${path}: ${outcome.error}.`.replace(/\.\.$/, '.'),
                ...(outcome.absent !== undefined && { channel: String(outcome.absent) }),
              },
      (error: unknown): CaptureState => ({
        is: 'failed',
        check: 'file-unreadable',
        message: `${path} cannot be measured: ${error instanceof Error ? error.message : String(error)}.`,
      }),
    );
    void job.promise.then((state) => {
      job.state = state;
      follow.over();
    });
    this.jobs.set(key, job);
    for (const old of this.jobs.keys()) {
      if (this.jobs.size <= kept) break;
      this.jobs.delete(old);
    }
    return job;
  }

  /** What is known of a recording's file, or why it cannot be measured. */
  private async look(uri: string, path: string): Promise<FileStat | Extract<CaptureState, { is: 'failed' }>> {
    const failed = (check: 'missing-file' | 'file-unreadable' | 'file-too-large', message: string) =>
      ({ is: 'failed', check, message }) as const;
    try {
      const stat = await this.files.stat(uri);
      if (!stat) return failed('missing-file', `There is no file ${path} beside this board.`);
      if (stat.kind === 'folder') return failed('file-unreadable', `${path} is a folder, not a recording.`);
      if (this.files.ranges || stat.size <= wholeLimit) return stat;
      const size = Math.round(stat.size / 1e6);
      return failed(
        'file-too-large',
        `${path} has ${size} MB; here recordings up to ${wholeLimit >> 20} MB can be read.`,
      );
    } catch (error) {
      return failed('file-unreadable', `${path} cannot be read: ${(error as Error).message}.`);
    }
  }
}
