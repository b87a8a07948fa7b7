/** The names that a file can speak of: its own declarations and those of every file it uses. */
import type {
  AssemblyDeclaration,
  Declaration,
  FastenerDeclaration,
  FileDeclarations,
  InspectionDeclaration,
  JointDeclaration,
  LimitDeclaration,
  MachineDeclaration,
  PartDeclaration,
  PersonDeclaration,
  SealantDeclaration,
  StackDeclaration,
  ToolDeclaration,
} from './declarations.ts';

export interface Duplicate {
  readonly declaration: Declaration;
  readonly first: Declaration;
  /** The line that brings in the second, where neither of the two stands in the file that is checked. */
  readonly use?: Declaration;
}

export interface Scope {
  /** The file itself first, then what it uses, each once. */
  readonly files: readonly FileDeclarations[];
  /** Limits by name; several lines of one name differ in their members or in the grade they hold for. */
  readonly limits: ReadonlyMap<string, readonly LimitDeclaration[]>;
  readonly fasteners: ReadonlyMap<string, FastenerDeclaration>;
  readonly parts: ReadonlyMap<string, PartDeclaration>;
  readonly joints: ReadonlyMap<string, JointDeclaration>;
  readonly stacks: ReadonlyMap<string, StackDeclaration>;
  readonly inspections: ReadonlyMap<string, InspectionDeclaration>;
  readonly assemblies: ReadonlyMap<string, AssemblyDeclaration>;
  readonly people: ReadonlyMap<string, PersonDeclaration>;
  readonly tools: ReadonlyMap<string, ToolDeclaration>;
  readonly sealants: ReadonlyMap<string, SealantDeclaration>;
  /** The first declaration of each name of the shared name space. */
  readonly shared: ReadonlyMap<string, Declaration>;
  readonly duplicates: readonly Duplicate[];
  /** The machine of the file itself. */
  readonly machine: MachineDeclaration | undefined;
  /** The assemblies that the log must account for; undefined when it does not say. */
  readonly covers: ReadonlySet<string> | undefined;
}

/** Whether two limits of one name speak of the same members and grade. */
function sameSubject(a: LimitDeclaration, b: LimitDeclaration): boolean {
  const gradeOf = (limit: LimitDeclaration) =>
    limit.grade === undefined ? '' : `${limit.grade.part.name} ${limit.grade.grade}`;
  if (gradeOf(a) !== gradeOf(b)) return false;
  return a.space.items.some((item) => b.space.index.has(item));
}

/** Merges the declarations of a file and of those it uses. The first declaration of a name stands. */
export function buildScope(files: readonly FileDeclarations[]): Scope {
  const limits = new Map<string, LimitDeclaration[]>();
  const fasteners = new Map<string, FastenerDeclaration>();
  const parts = new Map<string, PartDeclaration>();
  const joints = new Map<string, JointDeclaration>();
  const stacks = new Map<string, StackDeclaration>();
  const inspections = new Map<string, InspectionDeclaration>();
  const assemblies = new Map<string, AssemblyDeclaration>();
  const people = new Map<string, PersonDeclaration>();
  const tools = new Map<string, ToolDeclaration>();
  const sealants = new Map<string, SealantDeclaration>();
  const shared = new Map<string, Declaration>();
  const duplicates: Duplicate[] = [];
  let machine: MachineDeclaration | undefined;
  let covers: Set<string> | undefined;

  const add = <D extends Declaration>(map: Map<string, D>, declaration: D) => {
    const first = map.get(declaration.name);
    if (first === undefined) map.set(declaration.name, declaration);
    else duplicates.push({ declaration, first });
  };
  const addShared = <D extends Declaration>(map: Map<string, D>, declaration: D) => {
    const first = shared.get(declaration.name);
    if (first === undefined) {
      shared.set(declaration.name, declaration);
      map.set(declaration.name, declaration);
    } else duplicates.push({ declaration, first });
  };

  for (const [position, file] of files.entries()) {
    for (const declaration of file.declarations) {
      switch (declaration.kind) {
        case 'limit': {
          const first = shared.get(declaration.name);
          const others = limits.get(declaration.name);
          if (first === undefined) {
            shared.set(declaration.name, declaration);
            limits.set(declaration.name, [declaration]);
          } else if (others === undefined) duplicates.push({ declaration, first });
          else {
            const same = others.find((other) => sameSubject(other, declaration));
            if (same === undefined) others.push(declaration);
            else duplicates.push({ declaration, first: same });
          }
          break;
        }
        case 'fastener':
          addShared(fasteners, declaration);
          break;
        case 'part':
          addShared(parts, declaration);
          break;
        case 'joint':
          addShared(joints, declaration);
          break;
        case 'stack':
          addShared(stacks, declaration);
          break;
        case 'inspection':
          addShared(inspections, declaration);
          break;
        case 'assembly':
          addShared(assemblies, declaration);
          break;
        case 'person':
          add(people, declaration);
          break;
        case 'tool':
          add(tools, declaration);
          break;
        case 'sealant':
          add(sealants, declaration);
          break;
        case 'machine':
          if (position === 0) machine ??= declaration;
          break;
        case 'covers':
          if (position === 0) {
            covers ??= new Set();
            for (const name of declaration.names) covers.add(name.text);
          }
          break;
        default:
          break;
      }
    }
  }
  return {
    files,
    limits,
    fasteners,
    parts,
    joints,
    stacks,
    inspections,
    assemblies,
    people,
    tools,
    sealants,
    shared,
    duplicates,
    machine,
    covers,
  };
}
