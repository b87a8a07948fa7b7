/** A page of Markdown as a terminal shows it: headings, examples and what is found in them, without the marks. */
import { marked, type Token, type Tokens } from 'marked';
import colors from 'picocolors';
import { paint } from './formats/text.ts';

const CARETS = /^( *)(\^+) (error|warning|information|hint)(\[[a-z-]+\]) (.*)$/;

/** A word of running text with what paints it. */
interface Word {
  readonly text: string;
  readonly paint: (text: string) => string;
}

/** The page, no wider than `width` columns but for the lines of its examples; ends with a line break. */
export function pageText(markdown: string, width: number): string {
  return `${marked
    .lexer(markdown)
    .map((token) => blockText(token, width))
    .filter((block) => block !== '')
    .join('\n\n')}\n`;
}

function blockText(token: Token, width: number): string {
  switch (token.type) {
    case 'heading':
      return wrapped(wordsOf(token.tokens ?? [], colors.bold), width);
    case 'code':
      return exampleText(token as Tokens.Code, width);
    case 'list':
      return (token as Tokens.List).items
        .map((item) => `  • ${wrapped(wordsOf(item.tokens), width - 4).replaceAll('\n', '\n    ')}`)
        .join('\n');
    case 'table':
      return tableText(token as Tokens.Table, width);
    case 'space':
      return '';
    default:
      return 'tokens' in token && token.tokens !== undefined
        ? wrapped(wordsOf(token.tokens), width)
        : token.raw.trim();
  }
}

/** A table without its lines: columns side by side, of which the last takes the rest of the width. */
function tableText({ header, rows }: Tokens.Table, width: number): string {
  const lines = [header, ...rows].map((cells, i) =>
    cells.map((cell) => wordsOf(cell.tokens, i === 0 ? colors.bold : undefined)),
  );
  const lengthOf = (cell: readonly Word[]) => cell.reduce((sum, { text }) => sum + text.length + 1, -1);
  const widths = header
    .slice(0, -1)
    .map((_, i) => Math.max(...lines.map((cells) => lengthOf(cells[i] ?? []))));
  const indent = widths.reduce((sum, one) => sum + one + 2, 2);
  return lines
    .map((cells) => {
      const before = widths.map((one, i) => {
        const cell = cells[i] ?? [];
        return wrapped(cell, Infinity) + ' '.repeat(one - lengthOf(cell) + 2);
      });
      const last = wrapped(cells.at(-1) ?? [], Math.max(width - indent, 20));
      return `  ${before.join('')}${last.replaceAll('\n', `\n${' '.repeat(indent)}`)}`;
    })
    .join('\n');
}

/** An example, indented, with the name of its file above it where it has one. */
function exampleText({ text, lang }: Tokens.Code, width: number): string {
  const name = /\bfile=(\S+)/.exec(lang ?? '')?.[1];
  const lines = text.split('\n').flatMap((line) => exampleLine(line, width - 4));
  return [...(name === undefined ? [] : [colors.dim(`${name}:`)]), ...lines]
    .map((line) => (line === '' ? '' : `    ${line}`))
    .join('\n');
}

/** A line of an example; what is found stands beside its carets when there is room, else below them. */
function exampleLine(line: string, width: number): readonly string[] {
  const [, indent = '', carets = '', severity, rule = '', message = ''] = CARETS.exec(line) ?? [];
  if (severity === undefined) {
    const comment = /(?:^|\s)#(?=\s)[^"]*$/.exec(line);
    return [
      comment === null ? line : `${line.slice(0, comment.index)}${colors.dim(line.slice(comment.index))}`,
    ];
  }
  const painted = paint[severity as keyof typeof paint];
  if (line.length <= width) return [`${indent}${painted(`${carets} ${severity}`)}${rule} ${message}`];
  const told = [
    { text: severity + rule, paint: () => `${painted(severity)}${rule}` },
    ...words(message, (text) => text),
  ];
  return [`${indent}${painted(carets)}`, ...wrapped(told, width).split('\n')];
}

function wordsOf(tokens: readonly Token[], paint = (text: string): string => text): readonly Word[] {
  const found: Word[] = [];
  // What follows without a blank between belongs to the word before.
  let joined = false;
  const add = (text: string, painted: (text: string) => string, whole = false) => {
    const parts = whole ? [{ text, paint: painted }] : words(text, painted);
    const [first, ...rest] = parts;
    const last = found.at(-1);
    if (first !== undefined && last !== undefined && joined && !/^\s/.test(text)) {
      found[found.length - 1] = {
        text: last.text + first.text,
        paint: () => last.paint(last.text) + first.paint(first.text),
      };
      found.push(...rest);
    } else found.push(...parts);
    if (text !== '') joined = !/\s$/.test(text);
  };
  const visit = (list: readonly Token[], painted: (text: string) => string) => {
    for (const token of list)
      if (token.type === 'codespan') {
        // Without colours the marks are what tells a word of the language from the sentence around it.
        if (colors.isColorSupported) add(token.text, colors.cyan, true);
        else add(`\`${token.text}\``, painted, true);
      } else if (token.type === 'em' && !colors.isColorSupported) add(`"${token.text}"`, painted);
      else if ('tokens' in token && token.tokens !== undefined)
        visit(
          token.tokens,
          token.type === 'strong' ? colors.bold : token.type === 'em' ? colors.italic : painted,
        );
      else if (token.type === 'br') add(' ', painted);
      else add('text' in token ? String(token.text) : token.raw, painted);
  };
  visit(tokens, paint);
  return found;
}

function words(text: string, paint: (text: string) => string): readonly Word[] {
  return text
    .split(/\s+/)
    .filter((word) => word !== '')
    .map((word) => ({ text: word, paint }));
}

function wrapped(list: readonly Word[], width: number): string {
  let column = 0;
  let out = '';
  for (const word of list) {
    const { length } = word.text;
    if (column > 0 && column + 1 + length > width) {
      out += '\n';
      column = 0;
    } else if (column > 0) {
      out += ' ';
      column++;
    }
    out += word.paint(word.text);
    column += length;
  }
  return out;
}
