import type { Diagnosis } from '../diagnosis/causes/types';
import type { Control } from '../signal/source';
import type { BoardAsTexts, Compute } from './compute';

interface Last {
  readonly key: string;
  readonly diagnosis: Diagnosis;
}

/** Diagnoses made when asked for, each board's last one kept: it is asked for again whenever its page is renewed. */
export class Diagnoses {
  private readonly last = new Map<string, Last>();

  constructor(private readonly compute: Compute) {}

  /** Undefined where it was cancelled. Rejects where the thread died. */
  async of(board: BoardAsTexts, control: Control): Promise<Diagnosis | undefined> {
    const key = JSON.stringify(board);
    const known = this.last.get(board.uri);
    if (known?.key === key) return known.diagnosis;
    const outcome = await this.compute({ kind: 'diagnose', ...board }, control);
    if (!('diagnosis' in outcome)) return undefined;
    this.last.set(board.uri, { key, diagnosis: outcome.diagnosis });
    return outcome.diagnosis;
  }

  forget(uri: string): void {
    this.last.delete(uri);
  }
}
