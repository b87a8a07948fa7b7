/** The names that a search over all the files finds: declarations, steps, and the files themselves. */

import { type Block, type StatementKind, type StatementNode, statementSpec } from '../../grammar/index.ts';
import { fileName } from '../rebuild/index.ts';
import type { Files, Place } from './files.ts';

export interface Symbol extends Place {
  readonly name: string;
  readonly kind: StatementKind;
  /** The title of the file that it stands in. */
  readonly container: string;
}

/** Every declaration, step and title whose name has the letters of `query` in that order, upper or lower case. */
export function symbolsMatching(files: Files, query: string): readonly Symbol[] {
  const wanted = [...query.toLowerCase().replace(/\s+/g, '')];
  const found: Symbol[] = [];
  for (const path of files.paths()) {
    let container = fileName(path);
    for (const block of files.file(path)?.blocks ?? []) {
      const symbol = symbolOf(path, block, container);
      if (symbol === undefined) continue;
      if (isTitle(symbol.kind)) container = symbol.name;
      if (hasInOrder(symbol.name, wanted)) found.push(symbol);
    }
  }
  return found;
}

const isTitle = (kind: StatementKind) => kind === 'log' || kind === 'limits' || kind === 'bench';

function symbolOf(path: string, block: Block, container: string): Symbol | undefined {
  const { statement } = block;
  if (statement === undefined || statement.kind === 'unknown') return undefined;
  const named = nameNodeOf(statement);
  if (named === undefined || named.text === '') return undefined;
  return {
    name: named.text,
    kind: statement.kind,
    container: isTitle(statement.kind) ? '' : container,
    path,
    start: block.start + named.start,
    end: block.start + named.end,
  };
}

/** What a search knows a statement by. */
function nameNodeOf(statement: StatementNode) {
  if (statement.kind === 'step' || isTitle(statement.kind as StatementKind)) return statement.text;
  const fixed = statementSpec(statement.kind)?.fixed[0];
  if (fixed?.refers !== 'new') return undefined;
  return statement.target?.name ?? statement.name;
}

function hasInOrder(name: string, letters: readonly string[]): boolean {
  const text = name.toLowerCase();
  let at = 0;
  for (const letter of letters) {
    at = text.indexOf(letter, at);
    if (at < 0) return false;
    at += letter.length;
  }
  return true;
}
