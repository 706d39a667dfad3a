import { CodeLensRefreshRequest, type Connection } from 'vscode-languageserver';
import type { Abilities } from './capabilities';

/** Asks the client to ask again, once for all that changes in the same turn. */
export interface Refresher {
  /** For findings. */
  findings(): void;
  /** For what stands among the words: hints, colours, lines above recordings. */
  shown(): void;
}

/** Asks a client for what it said it can be asked for. */
export function refresher(connection: Connection, client: () => Abilities): Refresher {
  const once = (ask: () => Promise<unknown>[]) => {
    let waiting = false;
    return () => {
      if (waiting) return;
      waiting = true;
      queueMicrotask(() => {
        waiting = false;
        // A client that does not answer is none of our trouble.
        for (const asked of ask()) asked.catch(() => {});
      });
    };
  };
  return {
    findings: once(() => [Promise.resolve(connection.languages.diagnostics.refresh())]),
    shown: once(() => {
      const { refreshesHints, refreshesTokens, refreshesLenses } = client();
      return [
        ...(refreshesHints ? [Promise.resolve(connection.languages.inlayHint.refresh())] : []),
        ...(refreshesTokens ? [Promise.resolve(connection.languages.semanticTokens.refresh())] : []),
        ...(refreshesLenses ? [connection.sendRequest(CodeLensRefreshRequest.type)] : []),
      ];
    }),
  };
}
