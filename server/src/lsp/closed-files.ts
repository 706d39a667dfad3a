import type { Analysed, Workspace } from '../workspace/workspace';

/** Files that are not open: analysed when a question wants them, and kept until something has changed. */
export class ClosedFiles {
  private readonly kept = new Map<string, Promise<Analysed>>();
  private wake: () => void = () => {};
  /** Kept once something changes. */
  private turn: Promise<void> = this.wait();

  constructor(private readonly workspace: Workspace) {}

  analyse(uri: string): Promise<Analysed> {
    let known = this.kept.get(uri);
    if (!known) {
      known = this.workspace.analyse(uri);
      this.kept.set(uri, known);
    }
    return known;
  }

  /** What is kept may no longer hold: a file, a folder, a setting, or a document it reads has changed. */
  changed(): void {
    this.kept.clear();
    const wake = this.wake;
    this.turn = this.wait();
    wake();
  }

  /** Kept by the next `changed`. */
  get nextChange(): Promise<void> {
    return this.turn;
  }

  private wait(): Promise<void> {
    return new Promise((resolve) => {
      this.wake = resolve;
    });
  }
}
