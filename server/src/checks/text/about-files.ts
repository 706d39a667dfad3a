import type { Check, Draft, Page, Snapshot } from '../check';
import { fromProblems } from './from-problems';

/** A check on files the board names: pinouts that the workspace looked for, and recordings that it tried to measure. */
export const aboutFiles = (name: string, page: Page): Check => {
  const text = fromProblems(name, page);
  return {
    ...text,
    reads: 'figures',
    run: (snapshot, told) => [...text.run(snapshot, told), ...recordings(name, snapshot)],
  };
};

function recordings(name: string, { board, captures }: Snapshot): Draft[] {
  return board.captures.flatMap((capture): Draft[] => {
    const state = captures.get(capture.name);
    if (state?.is !== 'failed' || state.check !== name || !capture.file) return [];
    const channel = capture.channels.find((candidate) => candidate.key === state.channel);
    return [
      { span: channel?.keySpan ?? capture.file.span, message: state.message, evidence: [`capture ${capture.name}`] },
    ];
  });
}
