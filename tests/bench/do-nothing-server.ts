/**
 * A language server that knows nothing: it keeps the text in step with the editor, as every server must, and answers
 * every change with no diagnostics. What the protocol alone costs.
 */
import {
  type Connection,
  createConnection,
  ProposedFeatures,
  TextDocumentSyncKind,
  TextDocuments,
} from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';

const connection: Connection = createConnection(ProposedFeatures.all);
connection.onInitialize(() => ({
  capabilities: {
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
    hoverProvider: true,
    completionProvider: {},
  },
}));
const documents = new TextDocuments(TextDocument);
documents.onDidChangeContent(({ document }) => {
  // A server that is to say anything reads the text.
  const { length } = document.getText();
  if (length >= 0)
    void connection.sendDiagnostics({ uri: document.uri, version: document.version, diagnostics: [] });
});
connection.onHover(() => null);
connection.onCompletion(() => []);
documents.listen(connection);
connection.listen();
