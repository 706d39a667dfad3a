import type { Diagnostic } from 'vscode-languageserver';
import type { Analysis } from '../editor/analysis';
import { diagnostics } from '../editor/diagnostics';
import { type LinesOf, toDiagnostic } from './convert';
import type { Typing } from './typing';

/** The findings of one analysis, under an id that stays while they do. */
export interface Report {
  readonly id: string;
  readonly items: readonly Diagnostic[];
}

/** Findings as the protocol has them, each file's last ones remembered: the same findings keep their id. */
export class Reports {
  private readonly last = new Map<string, { readonly id: string; readonly json: string }>();
  /** By file, the id that the client holds. */
  private readonly held = new Map<string, string>();
  private next = 1;

  /** @param typing knows the words being typed: that they lead nowhere yet is not told */
  constructor(
    private readonly linesOf: LinesOf,
    private readonly typing: Typing,
  ) {}

  async make(analysis: Analysis): Promise<Report> {
    const own: LinesOf = async (uri) => (uri === analysis.uri ? analysis.lines : this.linesOf(uri));
    const told = diagnostics(analysis).filter(
      ({ code, span }) => code !== 'unknown-reference' || !this.typing.hides(analysis, span),
    );
    const items = await Promise.all(told.map((one) => toDiagnostic(one, analysis.lines, own)));
    const json = JSON.stringify(items);
    const last = this.last.get(analysis.uri);
    if (last?.json === json) return { id: last.id, items };
    const id = String(this.next++);
    this.last.set(analysis.uri, { id, json });
    return { id, items };
  }

  /** The client has been given a file's findings. */
  give(uri: string, id: string): void {
    this.held.set(uri, id);
  }

  /** Whether the client holds other findings of a file than these. */
  isNews(uri: string, id: string): boolean {
    return this.held.get(uri) !== id;
  }

  forget(uri: string): void {
    this.last.delete(uri);
    this.held.delete(uri);
  }
}
