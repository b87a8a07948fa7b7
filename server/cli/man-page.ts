/** A command's manual page, for man: from the same options and manual as its help. Pure ASCII, as every man reads it. */
import type { Command } from 'commander';
import { manualOf } from './manual.ts';

/** The page of a command, or of the whole program. */
export function manPage(command: Command, version: string): string {
  const help = command.createHelp();
  const { about = [], exit, files = {}, environment = {}, examples, seeAlso } = manualOf(command);
  const name = pageName(command);
  const section = (title: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : [`.SH ${title}`, ...lines];
  const list = (entries: Readonly<Record<string, string>>) =>
    Object.entries(entries).flatMap(([term, tells]) => item(bold(term), tells));
  const [does = ''] = command.description().split(/\.(?: |$)/);
  const lines = [
    `.TH ${name.toUpperCase()} 1 "" "Witnessmark ${version}" "Witnessmark"`,
    // Commands and options are neither hyphenated nor stretched.
    '.nh',
    '.ad l',
    ...section('NAME', [`${roff(name)} \\- ${roff(decapitalised(does))}`]),
    ...section('SYNOPSIS', [synopsis(command)]),
    ...section('DESCRIPTION', paragraphs([command.description(), ...about])),
    ...section(
      'ARGUMENTS',
      command.registeredArguments.flatMap((one) => item(italic(one.name()), one.description)),
    ),
    ...section(
      'COMMANDS',
      command.commands.flatMap((one) => item(bold(one.name()), one.description())),
    ),
    ...section(
      'OPTIONS',
      help
        .visibleOptions(command)
        .flatMap((one) => item(optionTerm(help.optionTerm(one)), help.optionDescription(one))),
    ),
    ...section('EXIT STATUS', list(exit)),
    ...section('FILES', list(files)),
    ...section('ENVIRONMENT', list(environment)),
    ...section(
      'EXAMPLES',
      examples.flatMap(([line, tells]) => ['.TP', `.B ${quoted(line)}`, roff(tells)]),
    ),
    ...section('SEE ALSO', [
      ['witnessmark', ...seeAlso.map((one) => `witnessmark-${one}`)]
        .filter((one) => one !== name)
        .map((one) => `\\fB${roff(one)}\\fR(1)`)
        .join(', '),
    ]),
  ];
  return `${lines.join('\n')}\n`;
}

/** `witnessmark`, `witnessmark-check`. */
export function pageName(command: Command): string {
  return command.parent === null ? command.name() : `${command.parent.name()}-${command.name()}`;
}

function synopsis(command: Command): string {
  const path = command.parent === null ? command.name() : `${command.parent.name()} ${command.name()}`;
  return `${bold(path)} ${roff(command.usage())}`;
}

function paragraphs(texts: readonly string[]): readonly string[] {
  return texts.flatMap((text, i) => (i === 0 ? [roff(text)] : ['.PP', roff(text)]));
}

function item(term: string, tells: string): readonly string[] {
  return ['.TP', term, roff(tells)];
}

/** `--format <format[=file]>`: the flag stands out, the value slants. */
function optionTerm(term: string): string {
  const [, flags = term, value] = /^(.*?)(?: (<.*>))?$/.exec(term) ?? [];
  return value === undefined ? bold(flags) : `${bold(flags)} ${italic(value)}`;
}

const bold = (text: string) => `\\fB${roff(text)}\\fR`;
const italic = (text: string) => `\\fI${roff(text)}\\fR`;
const decapitalised = (text: string) => text.slice(0, 1).toLowerCase() + text.slice(1);

/** Text for a line of its own; hyphens stay such as a command line has, and a line never begins with a request. */
function roff(text: string): string {
  return text
    .replaceAll('\\', '\\e')
    .replace(/^[.']/, '\\&$&')
    .replaceAll('-', '\\-')
    .replace(/[^\t -~]/gu, (letter) => {
      const code = (letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0');
      return `\\[u${code}]`;
    });
}

/** An argument of a request. */
function quoted(text: string): string {
  return `"${roff(text).replaceAll('"', '\\(dq')}"`;
}
