import type { Acceptance } from '../board/board';
import type { Finding } from '../text/finding';

/** Whether an acceptance names a finding: its check and, where it gives points, one of them (a part stands for all its pins); a reason is required. */
export const matches = (entry: Acceptance, finding: Finding): boolean =>
  entry.check === finding.check &&
  entry.because !== undefined &&
  entry.because !== '' &&
  (entry.at.length === 0 ||
    entry.at.some((named) => finding.at.some((point) => point === named || point.startsWith(`${named}.`))));
