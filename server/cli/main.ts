/** The command `witnessmark`: picks a command, loads it, and tells trouble in one sentence. */
import { CommanderError } from 'commander';
import { addCommands, createProgram } from './program.ts';
import { Trouble } from './trouble.ts';

/** What is wrong with the words of the command, in the tool's own voice and on one line. */
function wrongUse(text: string): string {
  const [first = '', nearest = ''] = text
    .replace(/^error: /, '')
    .trim()
    .split('\n');
  const hint = nearest === '' ? '' : ` ${nearest.replace(/^\((.*)\)$/, '$1')}`;
  return `witnessmark: ${first.replace(/\.$/, '')}; add --help for the options and examples.${hint}\n`;
}

const program = createProgram().configureOutput({
  outputError: (text, write) => write(wrongUse(text)),
});

let status = 0;
const finish = (code: number) => {
  status = code;
};

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // The reader of a pipe has gone: nothing is left to say.
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

async function main(): Promise<void> {
  await addCommands(program, finish, process.argv[2]);
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
