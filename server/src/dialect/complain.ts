import type { Span } from '../text/span';
import type { Node, Pair } from './node';
import { Stretches } from './stretches';
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
    const broken = new Stretches(this.broken);
    return this.scoped
      .filter(({ scope }) => !broken.meet(scope))
      .map(({ problem }) => problem)
      .sort((a, b) => a.span.start - b.span.start || a.span.end - b.span.end);
  }
}

/** Where something stands that has no node of its own: right behind the key. */
export const behind = (pair: Pair): Span => ({ start: pair.span.end, end: pair.span.end });
