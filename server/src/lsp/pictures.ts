import type { CancellationToken } from 'vscode-languageserver';
import type { Capture } from '../board/measured';
import type { BoardAnalysis } from '../editor/analysis';
import { noTraces, type Traces } from '../editor/describe/plot';
import { captureAt } from '../editor/hover';
import type { Control } from '../signal/source';
import type { Delay } from '../workspace/scheduler';
import type { Asked, Desk } from './desk';
import { steered } from './progress';

/** Milliseconds for which a hover waits for its picture: a long recording has it when it is next asked for. */
const patience = 1500;

/** What is drawn of the recording at a place. */
export async function tracesAt(
  desk: Desk,
  { analysis, offset }: Asked,
  token: CancellationToken,
  delay: Delay,
): Promise<Traces> {
  const capture = analysis.kind === 'board' ? captureAt(analysis, offset) : undefined;
  if (!capture || analysis.kind !== 'board') return noTraces;
  const drawn = tracesOf(desk, analysis, capture, steered(token));
  return Promise.race([drawn, delay(patience).then(() => noTraces)]);
}

/** A measured recording as it is drawn; nothing of one that is not measured, and for a client that shows no pictures. */
export async function tracesOf(
  { client, workspace }: Desk,
  { board, snapshot }: BoardAnalysis,
  capture: Capture,
  control: Control,
): Promise<Traces> {
  const state = client.showsPictures ? snapshot.captures.get(capture.name) : undefined;
  const trace = state?.is === 'ready' ? await workspace.traces.of(board, capture, state.figures, control) : undefined;
  return trace ? new Map([[capture.name, trace]]) : noTraces;
}
