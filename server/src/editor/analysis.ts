import type { Board } from '../board/board';
import type { Pinout } from '../board/pinout';
import type { Snapshot } from '../checks/check';
import type { BoardFile } from '../dialect/board-file';
import { checkNames } from '../dialect/check-names';
import type { Parsed } from '../dialect/parse';
import type { PinoutFile } from '../dialect/pinout-file';
import type { Problem } from '../dialect/type';
import { compareFindings, type Finding } from '../text/finding';
import type { Lines } from '../text/lines';

/** What is known of one version of a file: plain and immutable, what the editor's features and the command line read. */
interface Common {
  readonly uri: string;
  /** The editor's version of the text; 0 for a file that is not open. */
  readonly version: number;
  readonly text: string;
  readonly lines: Lines;
  readonly findings: readonly Finding[];
  /** False while recordings are still measured or causes worked out: findings from them are then those of before. */
  readonly settled: boolean;
}

export interface BoardAnalysis extends Common {
  readonly kind: 'board';
  readonly parsed: Parsed<BoardFile>;
  readonly board: Board;
  readonly snapshot: Snapshot;
}

export interface PinoutAnalysis extends Common {
  readonly kind: 'pinout';
  readonly parsed: Parsed<PinoutFile>;
  readonly pinout: Pinout | undefined;
}

/** A file that could not be taken in at all: it has findings and nothing else. */
export interface FailedAnalysis extends Common {
  readonly kind: 'failed';
}

export type Analysis = BoardAnalysis | PinoutAnalysis | FailedAnalysis;

/** Problems of a file as findings, for files that no check runs on. */
export const problemFindings = (uri: string, problems: readonly Problem[]): Finding[] =>
  problems
    .map(
      (problem): Finding => ({
        check: problem.check,
        severity: problem.severity ?? checkNames.get(problem.check)?.severity ?? 'error',
        place: { file: uri, span: problem.span },
        message: problem.message,
        at: [],
        evidence: [],
        figures: {},
        related: (problem.related ?? []).map((place) => ({
          place: { file: uri, span: place.span },
          message: place.message,
        })),
        fixes: (problem.fixes ?? []).map((fix) => ({
          title: fix.title,
          safe: fix.safe,
          edits: fix.edits.map((edit) => ({ file: uri, span: edit.span, text: edit.text })),
        })),
      }),
    )
    .sort(compareFindings);
