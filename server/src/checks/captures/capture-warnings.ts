import type { Capture } from '../../board/measured';
import type { Warning } from '../../signal/figures';
import type { Check, Draft, Page } from '../check';

/** A check that passes on what measuring a recording has noticed about the recording itself. */
export const aboutRecording = (
  name: string,
  what: readonly Warning['what'][],
  page: Page,
  matters: (capture: Capture, warning: Warning) => boolean = () => true,
): Check => ({
  name,
  reads: 'figures',
  page,
  run: (snapshot) =>
    snapshot.board.captures.flatMap((capture): Draft[] => {
      const state = snapshot.captures.get(capture.name);
      if (state?.is !== 'ready') return [];
      const found = state.figures.warnings.filter(
        (warning) => what.includes(warning.what) && matters(capture, warning),
      );
      if (found.length === 0) return [];
      const text = found.map((warning) => warning.text).join('; ');
      return [
        {
          span: capture.file?.span ?? capture.keySpan,
          message: `${text.charAt(0).toUpperCase()}${text.slice(1)}.`.replace(/\.\.$/, '.'),
          evidence: [`capture ${capture.name}`],
        },
      ];
    }),
});
