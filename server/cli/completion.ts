/** `witnessmark completion`: a script with which a shell completes commands, options, their values, rules and files. */
import type { Command, Option } from 'commander';
import { unitNames } from '../../grammar/index.ts';
import { rules } from '../rules/index.ts';
import { chosen } from './choices.ts';
import { formatNames } from './formats/index.ts';
import { describe, type Manual } from './manual.ts';

/** The values of options that take one of a few. */
const choices: Readonly<Record<string, readonly string[]>> = {
  'check --format': formatNames,
  'check --schema': ['json', 'ndjson'],
  'check --fail-on': ['error', 'warning', 'never'],
  'compare --format': ['text', 'md', 'html', 'json'],
  'due --format': ['text', 'html', 'json'],
  'explain --format': ['text', 'md'],
  'export --format': ['ndjson'],
  'export --schema': ['json', 'sql'],
  'report --format': ['html', 'md', 'csv', 'json'],
  'trend --format': ['text', 'html', 'json'],
  'verify --format': ['text', 'json'],
  'worksheet --format': ['text', 'html'],
};

/** What the words of a command are, apart from its options: words of a list, or files with one of these endings. */
interface Words {
  readonly list?: readonly string[];
  readonly endings?: readonly string[];
}

const logs: Words = { endings: ['rebuild'] };
const sources: Words = { endings: ['rebuild', 'limits', 'bench'] };
const wordsOf: Readonly<Record<string, Words>> = {
  check: sources,
  compare: logs,
  completion: { list: ['bash', 'zsh', 'fish'] },
  convert: { list: unitNames },
  due: sources,
  explain: { list: rules.map(({ id }) => id) },
  export: logs,
  format: sources,
  mark: logs,
  report: logs,
  trend: logs,
  verify: logs,
  worksheet: { endings: ['limits'] },
};

interface CompletedOption {
  readonly flag: string;
  readonly tells: string;
  /** Undefined for one that takes no value; `files` for any file, an empty list for what only the user knows. */
  readonly values: readonly string[] | 'files' | undefined;
}

interface CompletedCommand {
  readonly name: string;
  readonly tells: string;
  readonly options: readonly CompletedOption[];
  readonly words: Words;
}

const shells: Readonly<Record<string, (commands: readonly CompletedCommand[]) => string>> = {
  bash: bashScript,
  zsh: zshScript,
  fish: fishScript,
};

/** Adds the command; `addAll` adds all others, which the script is made of. */
export function completionCommand(program: Command, addAll: () => Promise<void>): void {
  const command = program
    .command('completion')
    .description('Writes a script with which a shell completes commands, options, findings, units and files.')
    .argument('<shell>', Object.keys(shells).join(', '))
    .action(async (shell: string) => {
      const script = chosen('completion', shell, shells);
      await addAll();
      process.stdout.write(script(program.commands.map(completed)));
    });
  describe(command, manual);
}

const manual: Manual = {
  exit: {
    0: 'written',
    2: 'there is none for that shell',
  },
  examples: [
    [
      'witnessmark completion bash > ~/.local/share/bash-completion/completions/witnessmark',
      'for bash, where bash-completion looks',
    ],
    ['witnessmark completion zsh > ~/.zfunc/_witnessmark', 'for zsh, with ~/.zfunc in fpath before compinit'],
    ['witnessmark completion fish > ~/.config/fish/completions/witnessmark.fish', 'for fish'],
  ],
  seeAlso: ['help'],
};

function completed(command: Command): CompletedCommand {
  const name = command.name();
  const help = { flag: '--help', tells: 'shows the options and examples', values: undefined };
  return {
    name,
    tells: command.description(),
    options: [...command.options.map((option) => completedOption(name, option)), help],
    words: name === 'help' ? { list: siblingsOf(command) } : (wordsOf[name] ?? {}),
  };
}

function siblingsOf(command: Command): readonly string[] {
  return (command.parent?.commands ?? []).map((one) => one.name());
}

function completedOption(
  command: string,
  { long, short, flags, description, required }: Option,
): CompletedOption {
  const flag = long ?? short ?? flags;
  const values = !required
    ? undefined
    : /<file/.test(flags)
      ? 'files'
      : (choices[`${command} ${flag}`] ?? []);
  return { flag, tells: description, values };
}

/** A word for a shell, in single quotes. */
function quoted(text: string, quote: string): string {
  return `'${text.replaceAll("'", quote)}'`;
}

// Works on bash 3.2, which has no associative arrays, no mapfile and no compopt.
function bashScript(commands: readonly CompletedCommand[]): string {
  const list = (words: readonly string[]) => `$'${words.join('\\n')}'`;
  const values = commands.flatMap(({ name, options }) =>
    options.flatMap((option) =>
      option.values === undefined
        ? []
        : option.values === 'files'
          ? [`    '${name} ${option.flag}') _witnessmark_files ''; return ;;`]
          : [`    '${name} ${option.flag}') list=${list(option.values)} ;;`],
    ),
  );
  const rest = commands.map(({ name, options, words }) => {
    const files = words.endings === undefined ? '' : ` endings='${words.endings.join('|')}'`;
    return `    ${name}) options=${list(options.map(({ flag }) => flag))} list=${list(words.list ?? [])}${files} ;;`;
  });
  return `# Completion for bash: put it where bash-completion looks, or: source <(witnessmark completion bash)

# Folders, and files with one of these endings; any file when none is given.
_witnessmark_files() {
  local file
  compopt -o filenames 2>/dev/null
  while IFS= read -r file; do
    [[ -z $1 || -d $file || $file =~ \\.($1)$ ]] && COMPREPLY+=("$file")
  done < <(compgen -f -- "$cur")
}

_witnessmark() {
  local IFS=$'\\n' cur=\${COMP_WORDS[COMP_CWORD]} prev=\${COMP_WORDS[COMP_CWORD-1]} command=\${COMP_WORDS[1]}
  local list='' options='' endings='' i
  COMPREPLY=()
  if ((COMP_CWORD == 1)); then
    COMPREPLY=($(compgen -W ${list(['--help', '--version', ...commands.map(({ name }) => name)])} -- "$cur"))
    return
  fi
  # In --format=json the = is a word of its own.
  if [[ $cur == '=' ]]; then
    cur=''
  elif [[ $prev == '=' ]]; then
    prev=\${COMP_WORDS[COMP_CWORD-2]}
  fi
  case "$command $prev" in
${values.join('\n')}
    *) prev='' ;;
  esac
  if [[ -n $prev ]]; then
    [[ -n $list ]] && COMPREPLY=($(compgen -W "$list" -- "$cur"))
    return
  fi
  case "$command" in
${rest.join('\n')}
    *) return ;;
  esac
  for ((i = 2; i < COMP_CWORD; i++)); do
    [[ \${COMP_WORDS[i]} == -- ]] && options=''
  done
  if [[ $cur == -* && -n $options ]]; then
    COMPREPLY=($(compgen -W "$options" -- "$cur"))
  elif [[ -n $endings ]]; then
    _witnessmark_files "$endings"
  elif [[ -n $list ]]; then
    COMPREPLY=($(compgen -W "$list" -- "$cur"))
  fi
}

complete -F _witnessmark witnessmark
`;
}

function zshScript(commands: readonly CompletedCommand[]): string {
  const spec = (text: string) => quoted(text, `'\\''`);
  const told = (text: string) => text.replace(/[[\]:\\]/g, '\\$&');
  const described = commands.map(({ name, tells }) => `    ${spec(`${name}:${told(tells)}`)}`);
  const cases = commands.map(({ name, options, words }) => {
    const specs = options.map(({ flag, tells, values }) => {
      const value =
        values === undefined
          ? ''
          : values === 'files'
            ? ':file:_files'
            : values.length === 0
              ? ':value: '
              : `:value:(${values.join(' ')})`;
      return `'*'${spec(`${flag}[${told(tells)}]${value}`)}`;
    });
    const rest =
      words.endings !== undefined
        ? [spec(`*:file:_files -g "*.(${words.endings.join('|')})(-.)"`)]
        : words.list !== undefined
          ? [spec(`*:word:(${words.list.join(' ')})`)]
          : [];
    return `        ${name})\n          _arguments \\\n            ${[...specs, ...rest].join(' \\\n            ')} ;;`;
  });
  return `#compdef witnessmark
# Completion for zsh: save it as _witnessmark in a folder of fpath.

_witnessmark() {
  local curcontext="$curcontext" state line
  local -a commands
  commands=(
${described.join('\n')}
  )
  _arguments -C '--help[shows the commands]' '--version[shows the version]' '1: :->command' '*:: :->rest'
  case $state in
    command) _describe -t commands command commands ;;
    rest)
      case $words[1] in
${cases.join('\n')}
      esac ;;
  esac
}

if [ "$funcstack[1]" = _witnessmark ]; then
  _witnessmark "$@"
else
  compdef _witnessmark witnessmark
fi
`;
}

function fishScript(commands: readonly CompletedCommand[]): string {
  const text = (words: string) => quoted(words.replaceAll('\\', '\\\\'), `\\'`);
  const lines = commands.flatMap(({ name, tells, options, words }) => {
    const after = `complete -c witnessmark -n '__fish_seen_subcommand_from ${name}'`;
    return [
      `complete -c witnessmark -n __fish_use_subcommand -a ${name} -d ${text(tells)}`,
      ...options.map(({ flag, tells, values }) => {
        const value =
          values === undefined
            ? ''
            : values === 'files'
              ? ' -r -F'
              : values.length === 0
                ? ' -x'
                : ` -x -a ${text(values.join(' '))}`;
        return `${after} -l ${flag.replace(/^--/, '')}${value} -d ${text(tells)}`;
      }),
      ...(words.list === undefined ? [] : [`${after} -a ${text(words.list.join(' '))}`]),
      ...(words.endings ?? []).map((ending) => `${after} -k -a '(__fish_complete_suffix .${ending})'`),
    ];
  });
  return `# Completion for fish: save it as witnessmark.fish in ~/.config/fish/completions.
complete -c witnessmark -f
${lines.join('\n')}
`;
}
