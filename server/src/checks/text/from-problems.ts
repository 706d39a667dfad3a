import type { Problem } from '../../dialect/type';
import type { Check, Page, Snapshot } from '../check';

/** A check that passes on what reading the text, or resolving its names, has found under the check's name. */
export const fromProblems = (name: string, page: Page): Check => ({
  name,
  reads: 'text',
  page,
  run: (snapshot: Snapshot) =>
    [...snapshot.problems, ...snapshot.board.problems.filter((problem) => !misread(snapshot, problem))]
      .filter((problem) => problem.check === name)
      .map((problem) => ({
        span: problem.span,
        message: problem.message,
        ...(problem.severity && { severity: problem.severity }),
        ...(problem.related && { related: problem.related }),
        fixes: (problem.fixes ?? []).map((fix) => ({
          title: fix.title,
          safe: fix.safe,
          edits: fix.edits.map((edit) => ({ file: snapshot.board.file, span: edit.span, text: edit.text })),
        })),
      })),
});

/** A value that YAML cuts or misreads is one finding: what its remains would mean is not said. */
const misread = (snapshot: Snapshot, { span }: Problem): boolean =>
  snapshot.problems.some(
    (other) => other.check === 'syntax' && other.span.start < span.end && span.start < other.span.end,
  );
