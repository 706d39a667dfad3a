import { type DataTransfer, DocumentDropEdit, Position, type TextDocument, TextEdit, Uri, WorkspaceEdit } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { type NewCapturesParams, type NewCapturesResult, newCaptures } from '../../server/src/messages';

const recording = /\.(wave?|csv)$/i;

/** Recordings dragged into a board (with shift, as editors want it) get their entries there; anything else is not ours. */
export async function layIn(
  client: BaseLanguageClient | undefined,
  document: TextDocument,
  dropped: DataTransfer,
): Promise<DocumentDropEdit | undefined> {
  const uris = (await dropped.get('text/uri-list')?.asString())?.split(/\r?\n/) ?? [];
  const paths = uris
    .filter((line) => line !== '' && !line.startsWith('#'))
    .flatMap((line) => pathFrom(document.uri, Uri.parse(line)) ?? []);
  if (paths.length === 0 || !client?.isRunning()) return undefined;
  const params: NewCapturesParams = { uri: client.code2ProtocolConverter.asUri(document.uri), paths };
  const { edits } = await client.sendRequest<NewCapturesResult>(newCaptures, params);
  if (edits.length === 0) return undefined;
  const all = new WorkspaceEdit();
  all.set(
    document.uri,
    edits.map(({ line, character, text }) => TextEdit.insert(new Position(line, character), text)),
  );
  const edit = new DocumentDropEdit('');
  edit.additionalEdit = all;
  return edit;
}

/** The path of a recording as a board writes it: relative to the board, with slashes; undefined where no path leads there. */
export function pathFrom(board: Uri, file: Uri): string | undefined {
  if (!recording.test(file.path) || file.scheme !== board.scheme || file.authority !== board.authority)
    return undefined;
  const from = board.path.split('/').slice(0, -1);
  const to = file.path.split('/');
  let shared = 0;
  while (shared < from.length && shared < to.length - 1 && from[shared] === to[shared]) shared++;
  return [...from.slice(shared).map(() => '..'), ...to.slice(shared)].join('/');
}
