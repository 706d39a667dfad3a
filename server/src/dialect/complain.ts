import type { Span } from '../text/span';
import type { Node, Pair } from './node';
import type { Problem } from './type';

/** A problem with the stretch it speaks for, where that is more than its own span: broken syntax in there silences it. */
interface Scoped {
  readonly problem: Problem;
  readonly scope: Span;
}

/** Gathers what is wrong while a tree is read: each thing once, and nothing about stretches whose syntax is broken. */
export class Complaints {
  private readonly scoped: Scoped[] = [];
  private readonly told = new Set<string>();

  constructor(
    readonly text: string,
    private readonly broken: readonly Span[],
  ) {}

  add(problem: Problem, scope: Span = problem.span): void {
    // A value that is repeated is read at each place it stands for.
    const mark = `${problem.check} ${problem.span.start} ${problem.span.end} ${problem.message}`;
    if (this.told.has(mark)) return;
    this.told.add(mark);
    this.scoped.push({ problem, scope });
  }

  /** About a node: a repeat is mended where it was written, so it gets no fix. */
  about(node: Node, check: string, message: string, fixes: Problem['fixes'] = []): void {
    if (node.kind === 'scalar' && node.misread) return;
    this.add({ check, span: node.span, message, ...(fixes.length > 0 && !node.repeat && { fixes }) });
  }

  /** A fix that writes another text in place of a node. */
  replace(node: Node, text: string, title = `Write \`${text}\``, safe = false): NonNullable<Problem['fixes']> {
    return [{ title, edits: [{ span: node.span, text }], safe }];
  }

  slice(span: Span): string {
    return this.text.slice(span.start, span.end);
  }

  /** All that holds, by place. */
  problems(): Problem[] {
    const stretches = joined(this.broken);
    return this.scoped
      .filter(({ scope }) => !overlaps(stretches, scope))
      .map(({ problem }) => problem)
      .sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
  }
}

/** Where something stands that has no node of its own: right behind the key. */
export const behind = (pair: Pair): Span => ({ start: pair.span.end, end: pair.span.end });

function joined(spans: readonly Span[]): Span[] {
  const result: { start: number; end: number }[] = [];
  for (const span of [...spans].sort((a, b) => a.start - b.start)) {
    const last = result.at(-1);
    if (last && span.start <= last.end) last.end = Math.max(last.end, span.end);
    else result.push({ ...span });
  }
  return result;
}

function overlaps(stretches: readonly Span[], { start, end }: Span): boolean {
  let low = 0;
  let high = stretches.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (stretches[middle]!.end < start) low = middle + 1;
    else high = middle;
  }
  const found = stretches[low];
  if (!found) return false;
  return start === end ? found.start <= start : found.start < end && found.end > start;
}
