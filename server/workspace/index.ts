/** Which files there are, who uses whom, and what must be checked again after an edit. */
import { parse, type SourceFile, type TextChange } from '../../grammar/index.ts';
import type { UnitSystem } from '../quantities/index.ts';
import {
  bind,
  buildScope,
  declarationBlocks,
  declarationsOf,
  type FileDeclarations,
  type Finding,
  fileName,
  type Import,
  type Rebuild,
  type Scope,
  type State,
  sameMembers,
  type UseDeclaration,
} from '../rebuild/index.ts';
import { type Run, runRules } from '../rules/index.ts';
import {
  type Configuration,
  configurationsAbove,
  isConfiguration,
  readConfiguration,
  type Settings,
} from './configuration.ts';
import { directoryOf, normalisePath, resolveUsed } from './paths.ts';

export { configurationsAbove, isConfiguration, type Settings } from './configuration.ts';
export { isExcluded } from './excluded.ts';
export { normalisePath, resolvePath, resolveUsed } from './paths.ts';

/** Everything about one file. */
export interface Checked {
  readonly path: string;
  readonly file: SourceFile;
  readonly rebuild: Rebuild;
  /** Null for a table of limits and a register. */
  readonly state: State | null;
  readonly findings: readonly Finding[];
  /** The system of units that the team reads in, if its configuration says so. */
  readonly units: UnitSystem | undefined;
}

export interface Workspace {
  /** Sets (or replaces) a file's text. `change`, one merged stretch, saves looking for the difference. */
  set(path: string, text: string, change?: TextChange): void;
  remove(path: string): void;
  /** Drops a file that no other uses; it is wanted again when one does. A host that checks many saves memory by it. */
  forget(path: string): void;
  /**
   * Tells the digests (64 hexadecimal digits) of the photographs that a log pins, by the file as written; null where it
   * cannot be read. A host that does not read them says nothing, and then nothing is said of them.
   */
  setPhotographs(path: string, digests: Rebuild['photographs']): void;
  /** Files that a `use` names and that are neither set nor known to be absent: the host reads them. */
  wanted(): readonly string[];
  /** Says that a wanted file cannot be read, and the names of those in its folder, where the host knows them. */
  markAbsent(path: string, nearby?: readonly string[]): void;
  paths(): readonly string[];
  file(path: string): SourceFile | undefined;
  /** Everything about one file; kept until it, or something that it uses, changes. */
  check(path: string): Checked | undefined;
  /** Files whose check may change when this one changes, itself first. */
  dependents(path: string): readonly string[];
  /** The declarations that a file can speak of: its own first, then of what it uses, each file once. */
  reach(path: string): readonly FileDeclarations[];
  /** The `use` lines of a file, each with the path that it leads to. */
  uses(path: string): readonly Use[];
  /** Where a path leads that is written in a file. */
  resolve(from: string, written: string): string;
  /** What the nearest `witnessmark.json` that is set says of a file, over what the workspace was made with. */
  settings(path: string): Settings;
}

/** A `use` line and where it leads, whether or not there is such a file. */
export interface Use {
  readonly declaration: UseDeclaration;
  readonly path: string;
}

interface Document {
  readonly path: string;
  file: SourceFile;
  declarations: FileDeclarations;
  /** The files it names, in order. */
  uses: readonly string[];
  checked: Checked | undefined;
  run: Run | undefined;
  scope: Scope | undefined;
  imports: readonly Import[];
  /** The settings that it was checked by. */
  settings: Settings | undefined;
  photographs: Rebuild['photographs'] | undefined;
}

/** Makes an empty workspace. Nothing in it touches a disk: the host sets texts and says what is absent. */
export function createWorkspace(defaults: Settings = {}): Workspace {
  const documents = new Map<string, Document>();
  const configurations = new Map<string, { readonly read: Configuration; readonly settings: Settings }>();
  /** Those that cannot be read, with what the host knows to be in their folders. */
  const absent = new Map<string, readonly string[]>();

  /** The files whose `use` leads to each path; found again when one is changed. */
  let users: ReadonlyMap<string, readonly string[]> | undefined;

  function findUsers(): ReadonlyMap<string, readonly string[]> {
    const found = new Map<string, string[]>();
    for (const { path, uses } of documents.values())
      for (const used of uses) {
        const others = found.get(used);
        if (others === undefined) found.set(used, [path]);
        else others.push(path);
      }
    return found;
  }

  /** The declarations that a file can speak of: its own first, then of what it uses, each file once. */
  function reach(document: Document): readonly FileDeclarations[] {
    const reached = new Map<string, FileDeclarations>([[document.path, document.declarations]]);
    const visit = (from: Document) => {
      for (const path of from.uses) {
        if (reached.has(path)) continue;
        const used = documents.get(path);
        if (used === undefined) continue;
        reached.set(path, used.declarations);
        visit(used);
      }
    };
    visit(document);
    return [...reached.values()];
  }

  function importsOf(document: Document): readonly Import[] {
    return document.declarations.uses.map((declaration, i) => {
      const path = document.uses[i] ?? declaration.file;
      const used = documents.get(path);
      const loop = loopThrough(document.path, path);
      return {
        declaration,
        path,
        status: used !== undefined ? 'read' : absent.has(path) ? 'missing' : 'waiting',
        loop,
        nearby: used === undefined ? namesBeside(path) : [],
        declarations: used?.declarations,
        file: used?.file,
        rebuild:
          used?.declarations.kind === 'rebuild' && loop === undefined ? check(used).rebuild : undefined,
      } satisfies Import;
    });
  }

  /** The names of the files in the folder of a missing one, as far as they are known. */
  function namesBeside(path: string): readonly string[] {
    const folder = directoryOf(path);
    const set = [...documents.keys()].filter((one) => directoryOf(one) === folder).map(fileName);
    return [...new Set([...(absent.get(path) ?? []), ...set])].sort();
  }

  /** The files from `start` through `first` back to `start`, if there is such a loop. */
  function loopThrough(start: string, first: string): readonly string[] | undefined {
    const trail: string[] = [start];
    const seen = new Set<string>();
    const visit = (path: string): boolean => {
      trail.push(path);
      if (path === start) return true;
      if (!seen.has(path)) {
        seen.add(path);
        for (const next of documents.get(path)?.uses ?? []) if (visit(next)) return true;
      }
      trail.pop();
      return false;
    };
    return visit(first) ? trail : undefined;
  }

  function sameImports(a: readonly Import[], b: readonly Import[]): boolean {
    return (
      a.length === b.length &&
      a.every((one, i) => {
        const other = b[i];
        return (
          other !== undefined &&
          one.declaration === other.declaration &&
          one.path === other.path &&
          one.status === other.status &&
          one.declarations === other.declarations &&
          one.file === other.file &&
          one.rebuild === other.rebuild &&
          sameMembers(one.nearby, other.nearby) &&
          one.loop?.join('\n') === other.loop?.join('\n')
        );
      })
    );
  }

  function settingsOf(path: string): Settings {
    if (configurations.size === 0) return defaults;
    const nearest = configurationsAbove(path).find((one) => configurations.has(one));
    return (nearest === undefined ? undefined : configurations.get(nearest)?.settings) ?? defaults;
  }

  /** A configuration as a file with findings: it declares nothing, and nothing happens in it. */
  function checkConfiguration(path: string, { file }: Configuration): Checked {
    const own: FileDeclarations = { path, kind: 'bench', blocks: [], declarations: [], uses: [] };
    const rebuild = bind(file, own, { scope: buildScope([own]), imports: [] });
    return { path, file, rebuild, state: null, findings: runRules(rebuild).findings, units: undefined };
  }

  function check(document: Document): Checked {
    const settings = settingsOf(document.path);
    const reached = reach(document);
    const imports = importsOf(document);
    const scope =
      document.scope !== undefined && sameMembers(document.scope.files, reached)
        ? document.scope
        : buildScope(reached);
    const kept = sameImports(document.imports, imports) ? document.imports : imports;
    const last = document.checked;
    if (
      last !== undefined &&
      last.file === document.file &&
      scope === document.scope &&
      kept === document.imports &&
      settings === document.settings &&
      (document.photographs === undefined || document.photographs === last.rebuild.photographs)
    )
      return last;
    const { photographs } = document;
    const bound = { scope, imports: kept, ...(photographs === undefined ? {} : { photographs }) };
    const rebuild = bind(document.file, document.declarations, bound, last?.rebuild);
    const run = runRules(rebuild, document.run, settings.severities, settings.guard);
    document.scope = scope;
    document.imports = kept;
    document.run = run;
    document.settings = settings;
    document.checked = {
      path: document.path,
      file: document.file,
      rebuild,
      state: rebuild.state,
      findings: run.findings,
      units: settings.units,
    };
    return document.checked;
  }

  return {
    set(given, text, change) {
      const path = normalisePath(given);
      absent.delete(path);
      if (isConfiguration(path)) {
        if (configurations.get(path)?.read.file.text === text) return;
        const read = readConfiguration(text);
        configurations.set(path, { read, settings: { ...defaults, ...read.settings, from: path } });
        return;
      }
      const old = documents.get(path);
      if (old !== undefined && change === undefined && old.file.text === text) return;
      const file = parse(text, old?.file, change);
      const found = declarationBlocks(
        file,
        old === undefined ? undefined : { file: old.file, found: old.declarations.blocks },
      );
      const declarations = declarationsOf(path, found, old?.declarations);
      const uses =
        old !== undefined && old.declarations === declarations
          ? old.uses
          : declarations.uses.map((use) => resolveUsed(path, use.file));
      if (old === undefined) {
        users = undefined;
        documents.set(path, {
          path,
          file,
          declarations,
          uses,
          checked: undefined,
          run: undefined,
          scope: undefined,
          imports: [],
          settings: undefined,
          photographs: undefined,
        });
      } else {
        old.file = file;
        old.declarations = declarations;
        if (uses !== old.uses) users = undefined;
        old.uses = uses;
      }
    },
    remove(given) {
      const path = normalisePath(given);
      configurations.delete(path);
      if (documents.delete(path)) users = undefined;
      absent.set(path, []);
    },
    forget(given) {
      const path = normalisePath(given);
      users ??= findUsers();
      if (!users.has(path) && documents.delete(path)) users = undefined;
    },
    wanted() {
      const wanted = new Set<string>();
      for (const document of documents.values())
        for (const path of document.uses) if (!documents.has(path) && !absent.has(path)) wanted.add(path);
      return [...wanted];
    },
    setPhotographs(path, digests) {
      const document = documents.get(normalisePath(path));
      const before = document?.photographs?.size ?? 0;
      if (document !== undefined && before + digests.size > 0) document.photographs = digests;
    },
    markAbsent(path, nearby = []) {
      absent.set(normalisePath(path), nearby);
    },
    paths: () => [...documents.keys()],
    file(given) {
      const known = documents.get(given)?.file;
      if (known !== undefined) return known;
      const path = normalisePath(given);
      return documents.get(path)?.file ?? configurations.get(path)?.read.file;
    },
    check(given) {
      const path = normalisePath(given);
      const document = documents.get(path);
      if (document !== undefined) return check(document);
      const configuration = configurations.get(path);
      return configuration === undefined ? undefined : checkConfiguration(path, configuration.read);
    },
    dependents(given) {
      if (isConfiguration(given)) {
        const path = normalisePath(given);
        return [path, ...[...documents.keys()].filter((one) => configurationsAbove(one).includes(path))];
      }
      users ??= findUsers();
      // A set goes on over what is added to it meanwhile.
      const found = new Set([normalisePath(given)]);
      for (const path of found) for (const user of users.get(path) ?? []) found.add(user);
      return [...found];
    },
    reach(path) {
      const document = documents.get(normalisePath(path));
      return document === undefined ? [] : reach(document);
    },
    resolve: resolveUsed,
    settings: (path) => settingsOf(normalisePath(path)),
    uses(path) {
      const document = documents.get(normalisePath(path));
      if (document === undefined) return [];
      return document.declarations.uses.map((declaration, i) => ({
        declaration,
        path: document.uses[i] ?? declaration.file,
      }));
    },
  };
}
