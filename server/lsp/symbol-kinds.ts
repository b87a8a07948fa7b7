/** The kinds that editors know for what stands in our files: each gets a picture of its own in their lists. */
import { SymbolKind } from 'vscode-languageserver';
import type { StatementKind } from '../../grammar/index.ts';

const kinds: Partial<Record<StatementKind, SymbolKind>> = {
  log: SymbolKind.File,
  limits: SymbolKind.File,
  bench: SymbolKind.File,
  use: SymbolKind.Package,
  assembly: SymbolKind.Module,
  step: SymbolKind.Event,
  limit: SymbolKind.Property,
  fastener: SymbolKind.Array,
  part: SymbolKind.Object,
  stack: SymbolKind.Struct,
  joint: SymbolKind.Interface,
  inspection: SymbolKind.Boolean,
  person: SymbolKind.Key,
  tool: SymbolKind.Constant,
  sealant: SymbolKind.Variable,
};

export function symbolKindOf(kind: StatementKind): SymbolKind {
  return kinds[kind] ?? SymbolKind.Field;
}
