import type { Connection, TextDocumentPositionParams } from 'vscode-languageserver';
import type { Analysis, BoardAnalysis, PinoutAnalysis } from '../editor/analysis';
import type { Workspace } from '../workspace/workspace';
import type { LinesOf } from './convert';

export type Readable = BoardAnalysis | PinoutAnalysis;

/** What a question about a place is answered from. */
export interface Asked {
  readonly analysis: Readable;
  readonly offset: number;
}

/** What a feature's handler is given. */
export interface Desk {
  readonly connection: Connection;
  readonly workspace: Workspace;
  readonly linesOf: LinesOf;
  /** The analysis of a file as it stands on the screen; undefined for a file that is not ours. */
  analysis(uri: string): Promise<Analysis | undefined>;
  /** As `analysis`, for files that could be taken in. */
  readable(uri: string): Promise<Readable | undefined>;
  asked(params: TextDocumentPositionParams): Promise<Asked | undefined>;
  /** Every board and pinout of the workspace, the open ones as they stand on the screen. */
  everything(): Promise<Readable[]>;
}
