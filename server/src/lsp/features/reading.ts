import { FoldingRangeKind, InlayHintKind, MarkupKind, SemanticTokensBuilder } from 'vscode-languageserver';
import { folds } from '../../editor/folding';
import { hover } from '../../editor/hover';
import { inlayHints } from '../../editor/inlay-hints';
import { documentLinks } from '../../editor/links';
import { selections } from '../../editor/selection';
import { semanticTokens, tokenModifiers, tokenTypes } from '../../editor/semantic-tokens';
import { resolveUri } from '../../workspace/files';
import type { Delay } from '../../workspace/scheduler';
import { toRange } from '../convert';
import type { Desk } from '../desk';
import { tracesAt } from '../pictures';

/** What the editor shows of a file without changing it: hover, hints, colours by role, folds, links. */
export function registerReading(desk: Desk, delay: Delay): void {
  const { connection } = desk;

  connection.onHover(async (params, token) => {
    const at = await desk.asked(params);
    if (!at) return null;
    const found = hover(at.analysis, at.offset, await tracesAt(desk, at, token, delay));
    if (!found) return null;
    return {
      contents: { kind: MarkupKind.Markdown, value: found.markdown },
      range: toRange(at.analysis.lines, found.span),
    };
  });

  connection.languages.inlayHint.on(async ({ textDocument, range }) => {
    const analysis = await desk.readable(textDocument.uri);
    if (!analysis) return null;
    const { hints } = desk.workspace.settings;
    const shown = new Set((Object.keys(hints) as (keyof typeof hints)[]).filter((kind) => hints[kind]));
    return inlayHints(analysis, analysis.lines.span(range), shown).map((hint) => ({
      position: analysis.lines.position(hint.offset),
      label: hint.label,
      paddingLeft: true,
      ...(hint.kind === 'role' && { kind: InlayHintKind.Type }),
      ...(hint.tooltip !== undefined && { tooltip: hint.tooltip }),
      ...(hint.edit && { textEdits: [{ range: toRange(analysis.lines, hint.edit.span), newText: hint.edit.text }] }),
    }));
  });

  connection.languages.semanticTokens.on(async ({ textDocument }) => {
    const analysis = await desk.readable(textDocument.uri);
    const builder = new SemanticTokensBuilder();
    for (const token of analysis ? semanticTokens(analysis) : []) {
      const { line, character } = analysis!.lines.position(token.span.start);
      const modifiers = token.modifiers.reduce((bits, modifier) => bits | (1 << tokenModifiers.indexOf(modifier)), 0);
      builder.push(line, character, token.span.end - token.span.start, tokenTypes.indexOf(token.type), modifiers);
    }
    return builder.build();
  });

  connection.onFoldingRanges(async ({ textDocument }) => {
    const analysis = await desk.readable(textDocument.uri);
    return analysis
      ? folds(analysis).map((fold) => ({
          startLine: fold.startLine,
          endLine: fold.endLine,
          ...(fold.kind === 'comment' && { kind: FoldingRangeKind.Comment }),
        }))
      : null;
  });

  connection.onSelectionRanges(async ({ textDocument, positions }) => {
    const analysis = await desk.readable(textDocument.uri);
    if (!analysis) return null;
    return positions.map((position) => {
      const spans = selections(analysis, analysis.lines.offset(position));
      type Nested = { range: ReturnType<typeof toRange>; parent?: Nested };
      return spans.reduceRight<Nested | undefined>(
        (parent, span) => ({ range: toRange(analysis.lines, span), ...(parent && { parent }) }),
        undefined,
      )!;
    });
  });

  connection.onDocumentLinks(async ({ textDocument }) => {
    const analysis = await desk.readable(textDocument.uri);
    return analysis
      ? documentLinks(analysis).map((link) => ({
          range: toRange(analysis.lines, link.span),
          target: link.file ?? resolveUri(analysis.uri, link.path!),
          tooltip: link.tooltip,
        }))
      : null;
  });
}
