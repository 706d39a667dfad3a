import type { Span } from '../text/span';
import type { Delay } from '../workspace/scheduler';

/** Milliseconds after the last key in which a word counts as being typed, and the most letters one edit types. Common practice, no source. */
const rest = 1500;
const longest = 40;

/**
 * Where the cursor stands after an edit that types or deletes within a line: the offset behind what was put in. Undefined where
 * nothing changed, or where what was put in has a line end or is more than is typed or completed at once.
 */
export function typedAt(before: string, after: string): number | undefined {
  if (before === after) return undefined;
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (start < shorter && before[start] === after[start]) start++;
  let kept = 0;
  while (kept < shorter - start && before[before.length - 1 - kept] === after[after.length - 1 - kept]) kept++;
  const end = after.length - kept;
  return end - start > longest || /[\r\n]/.test(after.slice(start, end)) ? undefined : end;
}

interface Spot {
  readonly offset: number;
  readonly version: number;
  /** Something was kept back because of it. */
  hid: boolean;
}

/** The word that is being typed in each open file: half of it names nothing yet, and that is no fault. */
export class Typing {
  private readonly texts = new Map<string, string>();
  private readonly spots = new Map<string, Spot>();

  /** @param again is told a file whose word has been left alone, where something was kept back */
  constructor(
    private readonly delay: Delay,
    private readonly again: (uri: string) => void,
  ) {}

  /** A file has been opened or changed. */
  changed(uri: string, text: string, version: number): void {
    const before = this.texts.get(uri);
    this.texts.set(uri, text);
    this.spots.delete(uri);
    const offset = before === undefined ? undefined : typedAt(before, text);
    if (offset === undefined) return;
    const spot: Spot = { offset, version, hid: false };
    this.spots.set(uri, spot);
    void this.delay(rest).then(() => {
      if (this.spots.get(uri) !== spot) return;
      this.spots.delete(uri);
      if (spot.hid) this.again(uri);
    });
  }

  /** Whether a stretch of a file's version is the word being typed; what is told about it is to be kept back. */
  hides({ uri, version }: { readonly uri: string; readonly version: number }, { start, end }: Span): boolean {
    const spot = this.spots.get(uri);
    if (spot?.version !== version || spot.offset < start || end < spot.offset) return false;
    spot.hid = true;
    return true;
  }

  /** A file has been saved: what stands there is meant. */
  left(uri: string): void {
    this.spots.delete(uri);
  }

  forget(uri: string): void {
    this.texts.delete(uri);
    this.spots.delete(uri);
  }
}
