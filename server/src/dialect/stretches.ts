import type { Span } from '../text/span';

/** Stretches of a text, any number of them, asked in logarithmic time. */
export class Stretches {
  private readonly joined: { start: number; end: number }[] = [];

  constructor(spans: readonly Span[]) {
    for (const span of [...spans].sort((a, b) => a.start - b.start)) {
      const last = this.joined.at(-1);
      if (last && span.start <= last.end) last.end = Math.max(last.end, span.end);
      else this.joined.push({ ...span });
    }
  }

  /** Whether a span shares a character with one of them; an empty span, whether it touches one. */
  meet({ start, end }: Span): boolean {
    const found = this.from(start);
    if (!found) return false;
    return start === end ? found.start <= start : found.start < end && found.end > start;
  }

  /** Whether an offset lies in one of them or right behind it. */
  touch(offset: number): boolean {
    return this.meet({ start: offset, end: offset });
  }

  /** The first one that ends at an offset or behind it. */
  private from(offset: number): Span | undefined {
    let low = 0;
    let high = this.joined.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.joined[middle]!.end < offset) low = middle + 1;
      else high = middle;
    }
    return this.joined[low];
  }
}
