import type { BoardAnalysis } from '../editor/analysis';
import { kindOf } from '../workspace/files';
import { Workspace } from '../workspace/workspace';
import { type Options, type Surroundings, Usage } from './verb';

/**
 * The one board a verb is about, with its recordings measured: a path, or `-` for standard input. Undefined, and told on the error
 * stream, where it cannot be read.
 */
export async function oneBoard({ rest }: Options, around: Surroundings): Promise<BoardAnalysis | undefined> {
  const [path, ...more] = rest;
  if (path === undefined || more.length > 0) throw new Usage('name one board');
  const uri = path === '-' ? `${around.folder}standard-input.board.yaml` : around.toUri(path);
  const workspace = new Workspace(around.files, around.compute);
  if (path === '-') workspace.texts.set(uri, new TextDecoder().decode(await around.standardInput()), 1);
  else if (kindOf(uri) !== 'board') {
    around.err(`buzzout: ${path} is no *.board.yaml\n`);
    return undefined;
  }
  const analysis = await workspace.settled(uri);
  if (analysis.kind === 'board') return analysis;
  around.err(`buzzout: ${analysis.findings[0]?.message ?? `${path} cannot be read`}\n`);
  return undefined;
}
