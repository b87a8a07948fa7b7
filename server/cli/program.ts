/** The command line as a whole: its commands, of which only the one that is asked for is loaded, and its help. */
import { Command } from 'commander';
import { didYouMean } from './choices.ts';
import { colours, describe, foundFiles, type Manual } from './manual.ts';
import { Trouble } from './trouble.ts';

declare const __VERSION__: string;

/** Takes the exit status of a command; -1 where the process goes on. */
export type Finish = (status: number) => void;

/** The manual of the tool as a whole. */
const manual: Manual = {
  about: [
    'witnessmark help COMMAND tells all about a command.',
    "The maker's current manual and the local rules come first; licensed people sign what the law says they sign.",
  ],
  exit: {
    0: 'done, and nothing to be told',
    1: 'done, and there is something: findings, differences, what is overdue, a broken mark',
    2: 'something could not be done: a file that cannot be read, a wrong option',
  },
  files: {
    '*.rebuild': 'a log: one rebuild of one machine',
    '*.limits': 'a table of limits: what the manual says for one type of machine',
    '*.bench': 'a register: people, tools with their calibration, sealants',
    ...foundFiles,
  },
  environment: {
    ...colours,
    WITNESSMARK_DEBUG: 'when it is 1, a fault of the tool itself shows where in the tool it happened',
  },
  examples: [
    ['witnessmark check', 'every log, table and register below this folder'],
    ['witnessmark check logs/0117.rebuild', 'one log with the files that it uses'],
    ['witnessmark convert "88 ft·lbf" N·m', 'one conversion'],
    ['witnessmark explain torque-skipped', 'what a finding means and how to mend it'],
  ],
  seeAlso: ['check', 'explain', 'report'],
};

/** The program without its commands. */
export function createProgram(): Command {
  const program = new Command('witnessmark')
    .description('Checks rebuild logs: units, limits, torques, time and what is still open.')
    .version(__VERSION__)
    .helpCommand(false)
    .helpOption('-h, --help', 'tells all about it')
    .configureHelp({ visibleCommands: ({ commands }) => inOrder(commands) })
    .exitOverride();
  return describe(program, manual);
}

/** Loads and adds each command. */
const adders: Readonly<Record<string, (program: Command, finish: Finish) => Promise<void>>> = {
  check: async (program, finish) => (await import('./check.ts')).checkCommand(program, finish),
  compare: async (program, finish) => (await import('./compare.ts')).compareCommand(program, finish),
  format: async (program, finish) => (await import('./format.ts')).formatCommand(program, finish),
  convert: async (program) => (await import('./convert.ts')).convertCommand(program),
  explain: async (program) => (await import('./explain.ts')).explainCommand(program),
  due: async (program, finish) => (await import('./due.ts')).dueCommand(program, finish),
  report: async (program) => (await import('./report.ts')).reportCommand(program),
  trend: async (program, finish) => (await import('./trend.ts')).trendCommand(program, finish),
  worksheet: async (program) => (await import('./worksheet.ts')).worksheetCommand(program),
  export: async (program, finish) => (await import('./export.ts')).exportCommand(program, finish),
  mark: async (program, finish) => (await import('./mark.ts')).markCommand(program, finish),
  verify: async (program, finish) => (await import('./verify.ts')).verifyCommand(program, finish),
  completion: async (program, finish) =>
    (await import('./completion.ts')).completionCommand(program, () => addOthers(program, finish)),
  server: async (program, finish) => serverCommand(program, finish),
  help: async (program, finish) => helpCommand(program, finish),
};

/** In the order of the table, whichever was added first. */
function inOrder(commands: readonly Command[]): Command[] {
  const order = Object.keys(adders);
  return [...commands].sort((a, b) => order.indexOf(a.name()) - order.indexOf(b.name()));
}

/** Adds the command of that name; all of them, for the help and for the nearest name, when there is none. */
export async function addCommands(program: Command, finish: Finish, name: string | undefined): Promise<void> {
  if (name !== undefined && Object.hasOwn(adders, name)) return adders[name]?.(program, finish);
  await addOthers(program, finish);
}

/** Adds those that are not there yet. */
async function addOthers(program: Command, finish: Finish): Promise<void> {
  const known = new Set(program.commands.map((command) => command.name()));
  for (const [name, add] of Object.entries(adders)) if (!known.has(name)) await add(program, finish);
}

function serverCommand(program: Command, finish: Finish): void {
  const command = program
    .command('server')
    .description('Runs the language server, for any editor.')
    .option('--stdio', 'speak over standard input and output (there is no other way)')
    .action(() => {
      finish(-1);
      (require('./server.cjs') as { startServer(): void }).startServer();
    });
  describe(command, {
    about: [
      'It speaks the Language Server Protocol. README.md of the package has recipes for editors beside VS Code, whose extension starts it by itself.',
    ],
    exit: { 0: 'the editor said shutdown, then exit', 1: 'the editor went without a word' },
    files: foundFiles,
    examples: [['witnessmark server --stdio', 'what an editor is told to start']],
    seeAlso: ['check'],
  });
}

function helpCommand(program: Command, finish: Finish): void {
  const command = program
    .command('help')
    .description('Tells all about a command; without one, which there are.')
    .argument('[command]', 'the command')
    .action(async (name: string | undefined) => {
      await addOthers(program, finish);
      if (name === undefined) {
        program.outputHelp();
        return;
      }
      const asked = program.commands.find((one) => one.name() === name);
      if (asked === undefined)
        throw new Trouble(`there is no command ${name}.${didYouMean(name, Object.keys(adders))}`);
      asked.outputHelp();
    });
  describe(command, {
    about: ['The same as witnessmark COMMAND --help.'],
    exit: { 0: 'told', 2: 'there is no such command' },
    examples: [
      ['witnessmark help', 'the commands'],
      ['witnessmark help check', 'one of them'],
    ],
    seeAlso: ['explain'],
  });
}
