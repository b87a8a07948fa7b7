/** The server's own requests, as both programs name them. */
export * from '../server/lsp/methods.ts';
