import type { Analysis } from '../editor/analysis';
import type { Analysed } from './workspace';

/** Waits so many milliseconds; injected, since this room has no clock. */
export type Delay = (milliseconds: number) => Promise<void>;

interface Entry {
  /** Counts what was asked: whatever belongs to an older number is dropped. */
  generation: number;
  running: Promise<Analysed> | undefined;
}

/**
 * Keeps the analyses of open files fresh. Nothing is told empty while slow work runs: first the quick findings with the measured
 * ones of before, then those measured now, then what is reasoned from them; late results are dropped.
 */
export class Scheduler {
  private readonly entries = new Map<string, Entry>();

  /**
   * @param analyse makes an analysis of a file as it stands
   * @param publish tells one; called in order, never for an older text after a newer
   * @param pause milliseconds of quiet after a change before it is analysed
   */
  constructor(
    private readonly analyse: (uri: string) => Promise<Analysed>,
    private readonly publish: (analysis: Analysis) => void | Promise<void>,
    private readonly delay: Delay,
    private readonly pause = 40,
  ) {}

  /** A file has changed, or something it depends on has. */
  touch(uri: string): void {
    const entry = this.entry(uri);
    const generation = ++entry.generation;
    entry.running = undefined;
    void this.delay(this.pause).then(() => {
      if (entry.generation === generation && this.entries.has(uri)) void this.tell(uri, entry, generation);
    });
  }

  /** The analysis of a file as it stands now, for a question that cannot wait for the pause; recordings may be pending. */
  async current(uri: string): Promise<Analysis> {
    const { now } = await this.run(uri, this.entry(uri));
    return now;
  }

  /** As `current`, with every recording measured. */
  async measured(uri: string): Promise<Analysis> {
    const { now, soon } = await this.run(uri, this.entry(uri));
    return soon ?? now;
  }

  /** As `current`, with every recording measured and everything reasoned. */
  async settled(uri: string): Promise<Analysis> {
    const { now, later } = await this.run(uri, this.entry(uri));
    return later ?? now;
  }

  drop(uri: string): void {
    const entry = this.entries.get(uri);
    if (entry) entry.generation++;
    this.entries.delete(uri);
  }

  /** Files kept fresh. */
  get open(): readonly string[] {
    return [...this.entries.keys()];
  }

  private entry(uri: string): Entry {
    let entry = this.entries.get(uri);
    if (!entry) {
      entry = { generation: 0, running: undefined };
      this.entries.set(uri, entry);
    }
    return entry;
  }

  private run(uri: string, entry: Entry): Promise<Analysed> {
    entry.running ??= this.analyse(uri);
    return entry.running;
  }

  private async tell(uri: string, entry: Entry, generation: number): Promise<void> {
    const analysed = await this.run(uri, entry);
    if (entry.generation !== generation) return;
    await this.publish(analysed.now);
    const soon = await analysed.soon;
    if (entry.generation !== generation) return;
    const { later } = analysed;
    if (soon) {
      entry.running = Promise.resolve({ now: soon, later });
      await this.publish(soon);
    }
    const all = await later;
    if (!all || entry.generation !== generation) return;
    entry.running = Promise.resolve({ now: all, later: null });
    await this.publish(all);
  }
}
