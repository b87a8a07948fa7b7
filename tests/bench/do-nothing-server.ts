/** A language server that answers every change with no diagnostics: what the protocol alone costs. */
import { createConnection, ProposedFeatures, TextDocumentSyncKind } from 'vscode-languageserver/node';

const connection = createConnection(ProposedFeatures.all);
connection.onInitialize(() => ({
  capabilities: { textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental } },
}));
const answer = ({ textDocument: { uri, version } }: { textDocument: { uri: string; version: number } }) =>
  void connection.sendDiagnostics({ uri, version, diagnostics: [] });
connection.onDidOpenTextDocument(answer);
connection.onDidChangeTextDocument(answer);
connection.listen();
