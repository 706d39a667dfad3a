import { type ClientCapabilities, type ServerCapabilities, TextDocumentSyncKind } from 'vscode-languageserver';
import { tokenModifiers, tokenTypes } from '../editor/semantic-tokens';
import { measureAgain } from './features/lenses';
import { actionKinds } from './features/mending';

/** What the client at the other end can do, of what makes a difference here. */
export interface Abilities {
  readonly configures: boolean;
  /** It tells of changed settings where it is asked to. */
  readonly tellsSettings: boolean;
  readonly watches: boolean;
  readonly changesFolders: boolean;
  /** It asks for findings, and asks again when told to; else they are sent to it. */
  readonly pulls: boolean;
  readonly refreshesHints: boolean;
  readonly refreshesTokens: boolean;
  readonly refreshesLenses: boolean;
  readonly showsProgress: boolean;
  /** It makes a file as part of an edit. */
  readonly createsFiles: boolean;
  /** The workspace may hold a stranger's files: only what lies in it is read. */
  readonly restricted: boolean;
  /** It shows pictures that Markdown carries in itself. */
  readonly showsPictures: boolean;
  /** Commands it has of its own for the lines above the text, as its initialization options name them. */
  readonly commands: ReadonlySet<string>;
}

export const noAbilities: Abilities = readAbilities({}, undefined);

/** What a client says of itself as it connects, its `initializationOptions` included. */
export function readAbilities(
  { workspace, textDocument, window }: ClientCapabilities,
  options: { readonly commands?: unknown; readonly restricted?: unknown; readonly pictures?: unknown } | undefined,
): Abilities {
  return {
    configures: workspace?.configuration === true,
    tellsSettings: workspace?.didChangeConfiguration?.dynamicRegistration === true,
    watches: workspace?.didChangeWatchedFiles?.dynamicRegistration === true,
    changesFolders: workspace?.workspaceFolders === true,
    pulls: textDocument?.diagnostic !== undefined && workspace?.diagnostics?.refreshSupport === true,
    refreshesHints: workspace?.inlayHint?.refreshSupport === true,
    refreshesTokens: workspace?.semanticTokens?.refreshSupport === true,
    refreshesLenses: workspace?.codeLens?.refreshSupport === true,
    showsProgress: window?.workDoneProgress === true,
    createsFiles:
      workspace?.workspaceEdit?.documentChanges === true &&
      workspace.workspaceEdit.resourceOperations?.includes('create') === true,
    restricted: options?.restricted === true,
    showsPictures: options?.pictures === true,
    commands: new Set(Array.isArray(options?.commands) ? options.commands.map(String) : []),
  };
}

/** What this server offers. */
export const capabilities = (client: Abilities): ServerCapabilities => ({
  textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: true },
  hoverProvider: true,
  completionProvider: { triggerCharacters: ['.', ' ', ':', '[', '{', ',', '-'], resolveProvider: true },
  definitionProvider: true,
  referencesProvider: true,
  documentHighlightProvider: true,
  renameProvider: { prepareProvider: true },
  documentSymbolProvider: true,
  workspaceSymbolProvider: true,
  foldingRangeProvider: true,
  selectionRangeProvider: true,
  documentLinkProvider: {},
  inlayHintProvider: true,
  semanticTokensProvider: {
    legend: { tokenTypes: [...tokenTypes], tokenModifiers: [...tokenModifiers] },
    full: true,
  },
  signatureHelpProvider: { triggerCharacters: [':', ' '] },
  codeLensProvider: {},
  callHierarchyProvider: true,
  documentFormattingProvider: true,
  executeCommandProvider: { commands: [measureAgain] },
  codeActionProvider: { codeActionKinds: actionKinds },
  ...(client.pulls && {
    diagnosticProvider: { identifier: 'buzzout', interFileDependencies: true, workspaceDiagnostics: true },
  }),
  workspace: { workspaceFolders: { supported: true, changeNotifications: true } },
});
