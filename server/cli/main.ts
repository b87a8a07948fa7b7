/** The command `witnessmark`: picks a command, loads it, and tells trouble in one sentence. */
import { Command, CommanderError } from 'commander';
import { Trouble } from './trouble.ts';

declare const __VERSION__: string;

/** What is wrong with the words of the command, in the tool's own voice and on one line. */
function wrongUse(text: string): string {
  const [first = '', nearest = ''] = text
    .replace(/^error: /, '')
    .trim()
    .split('\n');
  const hint = nearest === '' ? '' : ` ${nearest.replace(/^\((.*)\)$/, '$1')}`;
  return `witnessmark: ${first.replace(/\.$/, '')}; add --help for the options and examples.${hint}\n`;
}

const program = new Command('witnessmark')
  .description('Checks rebuild logs: units, limits, torques, time and what is still open.')
  .version(__VERSION__)
  .configureOutput({ outputError: (text, write) => write(wrongUse(text)) })
  .exitOverride()
  .addHelpText(
    'after',
    `
Examples:
  witnessmark check                     check every log, table and register below this folder
  witnessmark check logs/0117.rebuild   check one log with the files that it uses
  witnessmark convert "88 ft·lbf" N·m   one conversion
  witnessmark explain torque-skipped    what a finding means and how to mend it

The maker's current manual and the local rules come first; licensed people sign what the law says they sign.`,
  );

let status = 0;
const finish = (code: number) => {
  status = code;
};

/** Each command is loaded only when it is asked for: most of a short run is starting. */
const commands: Readonly<Record<string, () => Promise<void>>> = {
  check: async () => (await import('./check.ts')).checkCommand(program, finish),
  compare: async () => (await import('./compare.ts')).compareCommand(program, finish),
  format: async () => (await import('./format.ts')).formatCommand(program, finish),
  convert: async () => (await import('./convert.ts')).convertCommand(program),
  explain: async () => (await import('./explain.ts')).explainCommand(program),
  due: async () => (await import('./due.ts')).dueCommand(program, finish),
  report: async () => (await import('./report.ts')).reportCommand(program),
  trend: async () => (await import('./trend.ts')).trendCommand(program, finish),
  worksheet: async () => (await import('./worksheet.ts')).worksheetCommand(program),
  export: async () => (await import('./export.ts')).exportCommand(program, finish),
  mark: async () => (await import('./mark.ts')).markCommand(program, finish),
  verify: async () => (await import('./verify.ts')).verifyCommand(program, finish),
  completion: async () =>
    (await import('./completion.ts')).completionCommand(program, () => addOthers('completion')),
  server: async () => serverCommand(),
};

function serverCommand(): void {
  program
    .command('server')
    .description('Runs the language server, for any editor.')
    .option('--stdio', 'speak over standard input and output')
    .action(() => {
      status = -1;
      (require('./server.cjs') as { startServer(): void }).startServer();
    });
}

async function addOthers(than: string): Promise<void> {
  for (const [name, add] of Object.entries(commands)) if (name !== than) await add();
}

/** Adds the command that the first word names; all of them, for the help and for the nearest name, when none does. */
async function addCommands(word: string | undefined): Promise<void> {
  if (word !== undefined && Object.hasOwn(commands, word)) return commands[word]?.();
  for (const add of Object.values(commands)) await add();
}

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // The reader of a pipe has gone: nothing is left to say.
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

async function main(): Promise<void> {
  await addCommands(process.argv[2]);
  await program.parseAsync();
  if (status >= 0) process.exitCode = status;
}

main().catch((error: unknown) => {
  if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
  else {
    const sentence =
      error instanceof Trouble ? error.message : `Something went wrong inside the tool: ${String(error)}`;
    process.stderr.write(`witnessmark: ${sentence}\n`);
    if (process.env.WITNESSMARK_DEBUG === '1' && error instanceof Error)
      process.stderr.write(`${error.stack}\n`);
    process.exitCode = 2;
  }
});
