/** The page of a mutation run: how many mutants each file's tests kill, and every one that they do not, with a word. */
const KILLED = new Set(['Killed', 'Timeout']);
const ALIVE = new Set(['Survived', 'NoCoverage']);

interface Position {
  readonly line: number;
  readonly column: number;
}

/** One change of Stryker's, with what became of it; lines and columns count from 1. */
export interface Mutant {
  status: string;
  /** Whether it changes what is made while the file is loaded. */
  readonly static?: boolean;
  readonly mutatorName: string;
  readonly replacement: string;
  readonly location: { readonly start: Position; readonly end: Position };
}

/** A file as it was mutated. */
export interface MutatedFile {
  readonly path: string;
  readonly source: string;
  readonly mutants: readonly Mutant[];
}

/** The page of these files. */
export function pageOf(files: readonly MutatedFile[]): string {
  const sorted = files.toSorted((a, b) => (a.path < b.path ? -1 : 1));
  const folders = new Map<string, MutatedFile[]>();
  for (const file of sorted) {
    const name = file.path.split('/')[1] ?? '';
    folders.set(name, [...(folders.get(name) ?? []), file]);
  }
  const total = [...folders].map(([name, list]) =>
    row(
      `**${name}**`,
      list.flatMap(({ mutants }) => mutants),
    ),
  );
  const made = files.flatMap(({ mutants }) => mutants).filter((mutant) => mutant.static === true).length;
  const sections = [...folders].map(([name, list]) => section(name, list));
  return `# What the tests would notice

\`npm run mutation\` changes quantities, calculations and rules in one small way at a time (a mutant) and runs the tests
that reach the change. A mutant that no test fails by has survived; each is named below. One that the type checker
refuses could not be committed and is not counted (most are questions whether something is there at all, without which
the next line does not compile). Written by \`tests/mutation/run.mjs\`; do not edit.

${made} of them change what is made while a file is loaded, tables for the most part; they are run like the others. Every
count is a careful one: a mutant of one rule is left to its own page and
to the tests that look at all rules, and nothing is asked of the half-written pages or of other programs.

| | mutants | killed | survived | score | refused by the type checker |
|---|---|---|---|---|---|
${total.join('\n')}

${WORDS}

${sections.join('\n\n')}
`;
}

const WORDS = `The word after each survivor is said by its kind:

- *words*: a piece of a sentence or a name that no example happens to show.
- *guard*: a question whose other answer a checked log does not give (a value that is always there by then, an early
  return that only saves time), so either way the result is the same; or an answer that no test asks for.
- *boundary*: differs only where two figures are exactly equal.
- *arithmetic*: another figure that no test tells apart; the first to look at.
- *pattern*: texts that this pattern is never given.
- *left out*: what the statement does is done elsewhere too, or shows in nothing that a test looks at.`;

function section(name: string, files: readonly MutatedFile[]): string {
  const rows = files.map(({ path, mutants }) => row(`\`${path.split('/').slice(2).join('/')}\``, mutants));
  const survivors = files
    .map((file) => ({ ...file, alive: file.mutants.filter(({ status }) => ALIVE.has(status)) }))
    .filter(({ alive }) => alive.length > 0)
    .map(({ path, source, alive }) => `### ${path}\n\n${listOf(source, alive)}`);
  return `## ${name}

| file | mutants | killed | survived | score | refused |
|---|---|---|---|---|---|
${rows.join('\n')}

${survivors.join('\n\n')}`;
}

function row(name: string, mutants: readonly Mutant[]): string {
  const killed = mutants.filter(({ status }) => KILLED.has(status)).length;
  const alive = mutants.filter(({ status }) => ALIVE.has(status)).length;
  const refused = mutants.filter(({ status }) => status === 'CompileError').length;
  const score = killed + alive === 0 ? '–' : `${((100 * killed) / (killed + alive)).toFixed(1)} %`;
  return `| ${name} | ${killed + alive} | ${killed} | ${alive} | ${score} | ${refused} |`;
}

function listOf(source: string, mutants: readonly Mutant[]): string {
  const lines = source.split('\n');
  return mutants
    .toSorted(
      (a, b) =>
        a.location.start.line - b.location.start.line || a.location.start.column - b.location.start.column,
    )
    .map((mutant) => {
      const { start, end } = mutant.location;
      const last = start.line === end.line ? end.column - 1 : undefined;
      const was = (lines[start.line - 1] ?? '').slice(start.column - 1, last);
      return `- ${start.line}: ${code(was)} → ${code(mutant.replacement)}: ${wordOn(mutant, was)}`;
    })
    .join('\n');
}

function code(text: string): string {
  const line = text.replaceAll(/\s+/g, ' ').trim();
  const short = line.length > 60 ? `${line.slice(0, 59)}…` : line;
  return short.includes('`') ? `\`\` ${short} \`\`` : `\`${short}\``;
}

function wordOn({ mutatorName, replacement }: Mutant, was: string): string {
  if (mutatorName === 'StringLiteral') return 'words';
  if (mutatorName === 'Regex') return 'pattern';
  if (mutatorName === 'EqualityOperator' && bound(was) === bound(replacement)) return 'boundary';
  if (['ArithmeticOperator', 'UnaryOperator', 'UpdateOperator', 'AssignmentOperator'].includes(mutatorName))
    return 'arithmetic';
  if (mutatorName === 'MethodExpression' && /^Math\./.test(replacement)) return 'arithmetic';
  if (
    ['BlockStatement', 'ArrayDeclaration', 'ObjectLiteral', 'ArrowFunction', 'MethodExpression'].includes(
      mutatorName,
    )
  )
    return 'left out';
  return 'guard';
}

/** Which side a comparison asks for, whether or not the end belongs to it: `<` and `<=` are one. */
function bound(comparison: string): string {
  return /[<>](?==? )/.exec(comparison)?.[0] ?? comparison;
}
