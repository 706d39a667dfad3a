import { nearest } from '../dialect/nearest';
import type { Problem } from '../dialect/type';
import type { Span } from '../text/span';

/** The board before any rework. */
export const asFound = 'as-found';

/** Notes a state nobody made. */
export function knownState(name: string, span: Span, states: readonly string[], problems: Problem[]): void {
  if (states.includes(name)) return;
  const near = nearest(name, states);
  problems.push({
    check: 'unknown-reference',
    span,
    message: `No rework is called ${name}: there is ${states.join(', ')}.`,
    ...(near !== undefined && { fixes: [{ title: `Write ${near}`, edits: [{ span, text: near }], safe: false }] }),
  });
}
