/**
 * A language server that knows nothing: it keeps the text in step with the editor, as every server must, and answers
 * every change with no diagnostics, or with those that it is given at the start, the same each time. What the protocol
 * alone costs.
 */
import {
  type Connection,
  createConnection,
  type Diagnostic,
  ProposedFeatures,
  TextDocumentSyncKind,
  TextDocuments,
} from 'vscode-languageserver/node';
import { TextDocument } from 'vscode-languageserver-textdocument';

const connection: Connection = createConnection(ProposedFeatures.all);
let diagnostics: readonly Diagnostic[] = [];
connection.onInitialize(({ initializationOptions }) => {
  diagnostics = initializationOptions?.diagnostics ?? [];
  return {
    capabilities: {
      textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental },
      hoverProvider: true,
      completionProvider: {},
    },
  };
});
const documents = new TextDocuments(TextDocument);
documents.onDidChangeContent(({ document }) => {
  // A server that is to say anything reads the text.
  const { length } = document.getText();
  if (length >= 0)
    void connection.sendDiagnostics({
      uri: document.uri,
      version: document.version,
      diagnostics: [...diagnostics],
    });
});
connection.onHover(() => null);
connection.onCompletion(() => []);
documents.listen(connection);
connection.listen();
