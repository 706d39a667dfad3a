import {
  type CompletionItem,
  CompletionItemKind,
  InsertTextFormat,
  MarkupKind,
  type Position,
} from 'vscode-languageserver';
import type { BoardAnalysis, PinoutAnalysis } from '../../editor/analysis';
import { completion, type CompletionItem as Item, type Surroundings } from '../../editor/completion';
import { quantityHelp } from '../../editor/quantity-help';
import { toRange } from '../convert';
import type { Desk } from '../desk';
import { steered } from '../progress';

/** What may be written here: completion of keys, words and references, and the forms of the quantity being typed. */
export function registerCompletion(desk: Desk): void {
  desk.connection.onCompletion(async (params) => {
    const at = await desk.asked(params);
    if (!at) return null;
    const around = await surroundings(desk, at.analysis);
    return completion(at.analysis, at.offset, around).map((item) => toItem(item, at.analysis, params.position));
  });

  // Heads of recordings are read only when one is looked at: a folder may hold hundreds.
  desk.connection.onCompletionResolve(async (item, token) => {
    const data: Partial<RecordingAt> | undefined = item.data;
    if (typeof data?.board !== 'string' || typeof data.path !== 'string') return item;
    const found = await desk.workspace.glance(data.board, data.path, steered(token));
    return found ? { ...item, detail: lengthText(found) } : item;
  });

  desk.connection.onSignatureHelp(async (params) => {
    const at = await desk.asked(params);
    const help = at && quantityHelp(at.analysis, at.offset);
    return help
      ? {
          signatures: help.forms.map(({ label, documentation }) => ({
            label,
            documentation: { kind: MarkupKind.Markdown, value: documentation },
          })),
          activeSignature: help.active,
        }
      : null;
  });
}

/** What an offered recording carries until it is looked at. */
interface RecordingAt {
  readonly board: string;
  /** Relative to the board. */
  readonly path: string;
}

/** "12.0 s, 48000 Hz". */
const lengthText = ({ duration, rate }: { readonly duration: number; readonly rate: number }) =>
  `${duration.toFixed(1)} s, ${Math.round(rate)} Hz`;

/** Recordings beside a board, and the channels of those that have been measured. */
async function surroundings(desk: Desk, analysis: BoardAnalysis | PinoutAnalysis): Promise<Surroundings> {
  if (analysis.kind !== 'board') return {};
  const figures = new Map(
    analysis.board.captures.flatMap((capture) => {
      const state = analysis.snapshot.captures.get(capture.name);
      return capture.file && state?.is === 'ready' ? [[capture.file.path, state.figures] as const] : [];
    }),
  );
  const paths = await desk.workspace.recordingsNear(analysis.uri);
  return {
    captureFiles: paths.map((path) => {
      const known = figures.get(path);
      return { path, ...(known && { detail: lengthText(known) }) };
    }),
    channels: (path) => figures.get(path)?.channels.map((channel) => channel.name),
  };
}

const kinds: Record<Item['kind'], CompletionItemKind> = {
  key: CompletionItemKind.Property,
  word: CompletionItemKind.EnumMember,
  pin: CompletionItemKind.Field,
  net: CompletionItemKind.Variable,
  part: CompletionItemKind.Module,
  pinout: CompletionItemKind.Struct,
  mode: CompletionItemKind.EnumMember,
  state: CompletionItemKind.Event,
  check: CompletionItemKind.Event,
  file: CompletionItemKind.File,
  unit: CompletionItemKind.Unit,
  name: CompletionItemKind.Text,
};

function toItem(item: Item, analysis: BoardAnalysis | PinoutAnalysis, position: Position): CompletionItem {
  const range = toRange(analysis.lines, item.span);
  const unread: RecordingAt = { board: analysis.uri, path: item.label };
  // The protocol wants one line, with the cursor in it.
  const sound = range.start.line === position.line && range.end.line === position.line;
  return {
    label: item.label,
    kind: kinds[item.kind],
    sortText: item.sortText,
    textEdit: { range: sound ? range : { start: position, end: position }, newText: item.insertText },
    insertTextFormat: item.snippet ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    ...(item.filterText !== undefined && { filterText: item.filterText }),
    ...(item.detail !== undefined && { detail: item.detail }),
    ...(item.documentation !== undefined && {
      documentation: { kind: MarkupKind.Markdown, value: item.documentation },
    }),
    ...(item.kind === 'file' && item.detail === undefined && { data: unread }),
    ...(item.again && { command: { title: 'Suggest again', command: 'editor.action.triggerSuggest' } }),
  };
}
