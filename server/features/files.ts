/** What a feature may ask of the files around the one it answers for; the workspace is one of these. */
import type { SourceFile } from '../../grammar/index.ts';
import type { FileDeclarations, UseDeclaration } from '../rebuild/index.ts';

export interface Files {
  paths(): readonly string[];
  file(path: string): SourceFile | undefined;
  /** The file itself first, then every file that uses it, also by way of others. */
  dependents(path: string): readonly string[];
  /** The declarations that a file can speak of: its own first, then of what it uses, each file once. */
  reach(path: string): readonly FileDeclarations[];
  /** The `use` lines of a file, each with the path that it leads to. */
  uses(path: string): readonly { readonly declaration: UseDeclaration; readonly path: string }[];
  /** Where a path leads that is written in a file. */
  resolve(from: string, written: string): string;
}

/** A stretch of one of the files. */
export interface Place {
  readonly path: string;
  /** Offsets in the file. */
  readonly start: number;
  readonly end: number;
}
