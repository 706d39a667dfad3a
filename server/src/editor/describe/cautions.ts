import type { Board } from '../../board/board';
import { type Caution, cautionsOf } from '../../board/cautions';
import type { Part } from '../../board/part';
import { bullets, prose } from '../markdown';

/** The cautions that go with a board, stated or inferred, each with what it was inferred from; undefined where there are none. */
export const boardCautions = (board: Board): string | undefined => listed(cautionsOf(board));

/** Those that one part or net calls for by itself. A cell's stands at the cell too when the writer has stated it. */
export function cautionsAt(board: Board, name: string, part?: Part): string | undefined {
  const lithium = part?.kind === 'cell' && part.chemistry?.startsWith('lithium') === true;
  return listed(
    cautionsOf(board).filter(
      (caution) => caution.from?.split(/[ ,]+/).includes(name) || (lithium && caution.name === 'lithium-cell'),
    ),
  );
}

function listed(cautions: readonly Caution[]): string | undefined {
  if (cautions.length === 0) return undefined;
  const lines = cautions.map(
    ({ name, from, text }) => `**${prose(name)}**${from === undefined ? '' : ` (from ${prose(from)})`}: ${prose(text)}`,
  );
  return `**With care**\n\n${bullets(lines)}`;
}
