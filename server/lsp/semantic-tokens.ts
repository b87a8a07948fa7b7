/** `textDocument/semanticTokens`: whole, the difference to what was sent last, and a stretch. */
import type { ClientCapabilities, Range, SemanticTokensEdit } from 'vscode-languageserver';
import { type Block, blockAt, type SourceFile } from '../../grammar/index.ts';
import { tokensOf, tokenTypes } from '../features/index.ts';
import { pathOf } from './convert.ts';
import { lengthIn } from './positions.ts';
import type { Request, Session } from './session.ts';

/** The words of a block as five numbers each: line from the block's first, character, length, type, modifiers. */
type Words = readonly number[];

const declaration = 1;

function readsTokens(client: ClientCapabilities): boolean {
  return client.textDocument?.semanticTokens !== undefined;
}

export const semanticTokens: Request = {
  capabilities: (client) =>
    readsTokens(client)
      ? {
          semanticTokensProvider: {
            legend: { tokenTypes: [...tokenTypes], tokenModifiers: ['declaration'] },
            full: { delta: true },
            range: true,
          },
        }
      : {},
  attach(session) {
    const { connection, open } = session;
    const kept = new WeakMap<Block, Words>();
    /** What each open document was last told. */
    const sent = new Map<string, { readonly id: string; readonly data: number[] }>();
    let answers = 0;

    const wordsOf = (block: Block): Words => {
      let words = kept.get(block);
      if (words === undefined) {
        words = countWords(block, session);
        kept.set(block, words);
      }
      return words;
    };

    function send(path: string, data: number[]): string {
      const id = String(++answers);
      for (const one of sent.keys()) if (!open.has(one)) sent.delete(one);
      sent.set(path, { id, data });
      return id;
    }

    connection.languages.semanticTokens.on(({ textDocument: { uri } }) => {
      const file = session.file(uri);
      if (file === undefined) return { data: [] };
      const data = encode(file.blocks, wordsOf);
      return { resultId: send(pathOf(uri), data), data };
    });

    connection.languages.semanticTokens.onDelta(({ textDocument: { uri }, previousResultId }) => {
      const file = session.file(uri);
      if (file === undefined) return { data: [] };
      const path = pathOf(uri);
      const last = sent.get(path);
      const data = encode(file.blocks, wordsOf);
      const resultId = send(path, data);
      if (last?.id !== previousResultId) return { resultId, data };
      return { resultId, edits: difference(last.data, data) };
    });

    connection.languages.semanticTokens.onRange(({ textDocument: { uri }, range }) => {
      const file = session.file(uri);
      return { data: file === undefined ? [] : encode(blocksIn(file, range, session), wordsOf) };
    });
  },
};

/** Whole blocks: a little more than was asked for is allowed. */
function blocksIn(file: SourceFile, range: Range, session: Session): readonly Block[] {
  const first = blockAt(file, session.offset(file, range.start));
  const last = blockAt(file, session.offset(file, range.end));
  if (first === undefined || last === undefined) return [];
  return file.blocks.filter((block) => block.start >= first.start && block.start <= last.start);
}

function countWords(block: Block, { encoding }: Session): Words {
  const words: number[] = [];
  let line = 0;
  let lineStart = 0;
  let at = 0;
  for (const { start, end, type, declares } of tokensOf(block)) {
    for (; at < start; at++) {
      const code = block.text.charCodeAt(at);
      if (code !== 10 && (code !== 13 || block.text.charCodeAt(at + 1) === 10)) continue;
      line++;
      lineStart = at + 1;
    }
    words.push(
      line,
      lengthIn(encoding, block.text.slice(lineStart, start)),
      lengthIn(encoding, block.text.slice(start, end)),
      tokenTypes.indexOf(type),
      declares ? declaration : 0,
    );
  }
  return words;
}

/** The protocol's numbers: each word's line and character count from the word before it. */
function encode(blocks: readonly Block[], wordsOf: (block: Block) => Words): number[] {
  const data: number[] = [];
  let line = 0;
  let character = 0;
  for (const block of blocks) {
    const words = wordsOf(block);
    for (let i = 0; i < words.length; i += 5) {
      const here = block.line + (words[i] ?? 0);
      const column = words[i + 1] ?? 0;
      data.push(here - line, here === line ? column - character : column);
      data.push(words[i + 2] ?? 0, words[i + 3] ?? 0, words[i + 4] ?? 0);
      line = here;
      character = column;
    }
  }
  return data;
}

/** The one stretch in which two answers differ; none where they are the same. */
function difference(before: readonly number[], after: readonly number[]): SemanticTokensEdit[] {
  const shorter = Math.min(before.length, after.length);
  let start = 0;
  while (start < shorter && before[start] === after[start]) start++;
  let end = 0;
  while (end < shorter - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  const deleteCount = before.length - end - start;
  const data = after.slice(start, after.length - end);
  return deleteCount === 0 && data.length === 0 ? [] : [{ start, deleteCount, data }];
}
