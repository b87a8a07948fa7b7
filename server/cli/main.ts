/** The command `witnessmark`: picks a command, loads it, and tells trouble in one sentence. */
import { Command, CommanderError } from 'commander';
import { checkCommand } from './check.ts';
import { convertCommand } from './convert.ts';
import { explainCommand } from './explain.ts';
import { formatCommand } from './format.ts';
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
checkCommand(program, (code) => {
  status = code;
});
formatCommand(program, (code) => {
  status = code;
});
convertCommand(program);
explainCommand(program);
program
  .command('server')
  .description('Runs the language server, for any editor.')
  .option('--stdio', 'speak over standard input and output')
  .action(() => {
    status = -1;
    (require('./server.cjs') as { startServer(): void }).startServer();
  });

process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  // The reader of a pipe has gone: nothing is left to say.
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

try {
  program.parse();
  if (status >= 0) process.exitCode = status;
} catch (error) {
  if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
  else {
    const sentence =
      error instanceof Trouble ? error.message : `Something went wrong inside the tool: ${String(error)}`;
    process.stderr.write(`witnessmark: ${sentence}\n`);
    if (process.env.WITNESSMARK_DEBUG === '1' && error instanceof Error)
      process.stderr.write(`${error.stack}\n`);
    process.exitCode = 2;
  }
}
