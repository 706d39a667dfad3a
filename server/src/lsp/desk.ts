import type { Connection, TextDocumentPositionParams } from 'vscode-languageserver';
import type { Analysis, BoardAnalysis, PinoutAnalysis } from '../editor/analysis';
import type { Workspace } from '../workspace/workspace';
import type { Abilities } from './capabilities';
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
  readonly client: Abilities;
  /** Ends once the editor's settings are known: what they may forbid waits for it. */
  configured(): Promise<void>;
  /** Whether a file is a board or a pinout by its name. */
  isOurs(uri: string): boolean;
  isOpen(uri: string): boolean;
  /** Whether the text on the screen has moved on since an analysis of an open file. */
  isStale(analysis: Analysis): boolean;
  /** The analysis of an open file as it stands on the screen; undefined for one that is not open or not ours. */
  analysis(uri: string): Promise<Analysis | undefined>;
  /** As `analysis`, for files that could be taken in. */
  readable(uri: string): Promise<Readable | undefined>;
  /** As `readable`, with every recording measured. */
  measured(uri: string): Promise<Readable | undefined>;
  /** The analysis of any file of ours, open or not, with every recording measured and everything reasoned. */
  settled(uri: string): Promise<Analysis>;
  asked(params: TextDocumentPositionParams): Promise<Asked | undefined>;
  /** Looks at everything open anew: what it depends on has changed. */
  touchAll(): void;
  /** Every board and pinout of the workspace, and open ones outside it; sorted. */
  allFiles(): Promise<readonly string[]>;
  /** Those of all files that could be taken in, the open ones as they stand on the screen. */
  everything(): Promise<Readable[]>;
}
