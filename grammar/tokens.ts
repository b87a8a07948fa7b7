/** The tokens of the language, and the scan that makes them: where it stands, what is a blank, a word, a comment. */
import { createToken, EOF, type IToken, type TokenType } from 'chevrotain';
import { type ClauseSpec, type StatementSpec, statements } from './statements.ts';
import { fault, writeFix } from './syntax-errors.ts';
import type { Span, SyntaxFault } from './syntax-tree.ts';

const token = (name: string, label: string) => createToken({ name, label });

export const Name = token('Name', 'a name');
export const Text = token('Text', 'a text in quotes');
export const Numeral = token('Numeral', 'a number');
export const Unit = token('Unit', 'a unit');
export const Qualifier = token('Qualifier', '`TIR` or another qualifier');
export const IsoClass = token('IsoClass', 'an ISO class');
export const Placeholder = token('Placeholder', '`?`');
export const Integer = token('Integer', 'a whole number');
export const Run = token('Run', '`..`');
export const Slash = token('Slash', '`/`');
export const Comma = token('Comma', '`,`');
export const OpenParen = token('OpenParen', '`(`');
export const CloseParen = token('CloseParen', '`)`');
export const OpenBracket = token('OpenBracket', '`[`');
export const CloseBracket = token('CloseBracket', '`]`');
export const At = token('At', '`@`');
export const AtMost = token('AtMost', '`<=`');
export const AtLeast = token('AtLeast', '`>=`');
export const PlusMinus = token('PlusMinus', '`±`');
export const Deviation = token('Deviation', 'a deviation such as `+0.02`');
export const Plus = token('Plus', '`+`');
export const Minus = token('Minus', '`-`');
export const Star = token('Star', '`*`');
export const FunctionWord = token('FunctionWord', 'a function');
export const DateToken = token('Date', 'a date');
export const Time = token('Time', 'a time');
export const Whole = token('Whole', '`all`');
/** A thread, a class, a mark, a word of a closed list: one token that says it all. */
export const Code = token('Code', 'a word');
export const Stray = token('Stray', 'nothing of the kind');

export const vocabulary: TokenType[] = [
  Name,
  Text,
  Numeral,
  Unit,
  Qualifier,
  IsoClass,
  Placeholder,
  Integer,
  Run,
  Slash,
  Comma,
  OpenParen,
  CloseParen,
  OpenBracket,
  CloseBracket,
  At,
  AtMost,
  AtLeast,
  PlusMinus,
  Deviation,
  Plus,
  Minus,
  Star,
  FunctionWord,
  DateToken,
  Time,
  Whole,
  Code,
  Stray,
];

/** A token: `text` is what it stands for in plain form, `value` a number's value. */
export interface Token extends IToken {
  /** Exclusive. */
  end: number;
  text: string;
  value: number;
}

function emptyToken(type: TokenType): Token {
  return {
    image: '',
    startOffset: 0,
    endOffset: 0,
    tokenTypeIdx: type.tokenTypeIdx ?? 0,
    tokenType: type,
    end: 0,
    text: '',
    value: 0,
  };
}

/** One statement being read: its text up to the end of its last continuation line, and what was found so far. */
export interface Scan {
  text: string;
  at: number;
  /** Where the statement's text ends; rows and trailing lines are not part of it. */
  end: number;
  /** The words that begin a clause of this statement. */
  clauses: ReadonlyMap<string, ClauseSpec>;
  /** Token objects, used again from statement to statement; `count` are in use. */
  readonly tokens: Token[];
  count: number;
  /** The type of the last token of this value, 0 at its start. */
  last: number;
  /** Used again from statement to statement. */
  readonly faults: SyntaxFault[];
  readonly comments: Span[];
  /** What stands in this value cannot be told: it is left out of the tree. */
  doubtful: boolean;
  readonly endToken: Token;
}

const noClauses: ReadonlyMap<string, ClauseSpec> = new Map();

export function newScan(): Scan {
  return {
    text: '',
    at: 0,
    end: 0,
    clauses: noClauses,
    tokens: [],
    count: 0,
    last: 0,
    faults: [],
    comments: [],
    doubtful: false,
    endToken: emptyToken(EOF),
  };
}

interface Entry {
  readonly spec: StatementSpec;
  readonly clauses: ReadonlyMap<string, ClauseSpec>;
}

/** By keyword: each statement with the words that begin its clauses. */
const entries: ReadonlyMap<string, Entry> = new Map(
  Object.values(statements).map((spec) => [
    spec.keyword,
    {
      spec,
      clauses: new Map(spec.clauses.flatMap((clause) => clause.words.map((word) => [word, clause] as const))),
    },
  ]),
);

/** Points the scan at the text of a statement, after its keyword; undefined when no statement has that keyword. */
export function beginScan(
  scan: Scan,
  text: string,
  keyword: string,
  at: number,
  end: number,
): StatementSpec | undefined {
  const entry = entries.get(keyword);
  scan.text = text;
  scan.at = at;
  scan.end = end;
  scan.clauses = entry?.clauses ?? noClauses;
  scan.count = 0;
  scan.last = 0;
  scan.doubtful = false;
  return entry?.spec;
}

export function emit(scan: Scan, type: TokenType, start: number, end: number, text: string, value = 0): void {
  let one = scan.tokens[scan.count];
  if (one === undefined) {
    one = emptyToken(type);
    scan.tokens.push(one);
  }
  const index = type.tokenTypeIdx ?? 0;
  one.tokenTypeIdx = index;
  one.tokenType = type;
  one.startOffset = start;
  one.end = end;
  one.text = text;
  one.value = value;
  scan.count++;
  scan.last = index;
  scan.at = end;
}

export function is(scan: Scan, type: TokenType): boolean {
  return scan.last === type.tokenTypeIdx;
}

// Characters. Everything but ASCII takes the slow way.

const letterBit = 1;
const digitBit = 2;
const wordBit = 4;
const blankBit = 8;
const kinds = new Uint8Array(128);
for (let c = 97; c <= 122; c++) kinds[c] = letterBit | wordBit;
for (let c = 65; c <= 90; c++) kinds[c] = letterBit | wordBit;
for (let c = 48; c <= 57; c++) kinds[c] = digitBit | wordBit;
kinds[45] = wordBit;
kinds[95] = wordBit;
for (const c of [9, 11, 12, 32]) kinds[c] = blankBit;

export function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}

export function isBlank(code: number): boolean {
  return code < 128 ? (kinds[code] ?? 0) === blankBit : code >= 0xa0 && isWideBlank(code);
}

function isWideBlank(code: number): boolean {
  return (
    code === 0xa0 ||
    code === 0x1680 ||
    (code >= 0x2000 && code <= 0x200b) ||
    code === 0x2028 ||
    code === 0x2029 ||
    code === 0x202f ||
    code === 0x205f ||
    code === 0x2060 ||
    code === 0x3000 ||
    code === 0xfeff
  );
}

export function isLineBreak(code: number): boolean {
  return code === 10 || code === 13;
}

const letterPattern = /\p{L}/uy;
const wordRest = /[\p{L}\p{M}\p{N}_-]*/uy;

/** Whether a word may begin at `at`. */
export function isLetterAt(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  if (code < 128) return ((kinds[code] ?? 0) & letterBit) !== 0;
  if (Number.isNaN(code)) return false;
  letterPattern.lastIndex = at;
  return letterPattern.test(text);
}

/** Where the word (letters, digits, `-`, `_`) that stands at `at` ends. */
export function wordEnd(text: string, at: number): number {
  let end = at;
  for (;;) {
    const code = text.charCodeAt(end);
    if (code < 128) {
      if (((kinds[code] ?? 0) & wordBit) === 0) return end;
      end++;
    } else if (Number.isNaN(code)) return end;
    else {
      wordRest.lastIndex = end;
      wordRest.test(text);
      const next = wordRest.lastIndex;
      if (next === end) return end;
      end = next;
    }
  }
}

/** Where a run of anything but blanks ends, for messages. */
export function runEnd(scan: Scan, at: number): number {
  let end = at;
  while (end < scan.end) {
    const code = scan.text.charCodeAt(end);
    if (isBlank(code) || isLineBreak(code)) break;
    end++;
  }
  return end;
}

/** Where the line that holds `at` ends, before its line break. */
export function lineEnd(text: string, at: number): number {
  for (let end = at; ; end++) {
    const code = text.charCodeAt(end);
    if (code === 10 || code === 13 || Number.isNaN(code)) return end;
  }
}

/** The place after blanks on this line. */
export function afterBlanks(text: string, at: number): number {
  while (isBlank(text.charCodeAt(at))) at++;
  return at;
}

/** Whether a comment begins at `at`: a `#` at a line's start or after a blank, and not straight before a digit. */
export function isCommentAt(text: string, at: number): boolean {
  if (text.charCodeAt(at) !== 35 || isDigit(text.charCodeAt(at + 1))) return false;
  if (at === 0) return true;
  const before = text.charCodeAt(at - 1);
  return isBlank(before) || isLineBreak(before);
}

/** Where a line break ends that begins at `at`; `at` when there is none. */
export function afterLineBreak(text: string, at: number): number {
  const code = text.charCodeAt(at);
  if (code === 10) return at + 1;
  if (code === 13) return text.charCodeAt(at + 1) === 10 ? at + 2 : at + 1;
  return at;
}

/** How long the sign of a continuation line is that stands at `at`: 3 for `...`, 1 for `…`, 0 for none. */
export function continuationSign(text: string, at: number): number {
  if (text.startsWith('...', at)) return 3;
  return text.charCodeAt(at) === 0x2026 ? 1 : 0;
}

/** Moves over blanks, comments and the beginnings of continuation lines. False at the statement's end. */
export function skipBlanks(scan: Scan): boolean {
  const { text, end } = scan;
  let at = scan.at;
  while (at < end) {
    const code = text.charCodeAt(at);
    if (code === 32) at++;
    else if (code > 35 && code < 128) break;
    else if (isBlank(code)) at++;
    else if (code === 35 && isCommentAt(text, at)) {
      const stop = lineEnd(text, at);
      scan.comments.push({ start: at, end: stop });
      at = stop;
    } else if (isLineBreak(code)) {
      at = afterBlanks(text, afterLineBreak(text, at));
      const sign = continuationSign(text, at);
      if (sign === 1)
        scan.faults.push(
          fault(at, at + 1, 'A continuation line begins with three points: `...`.', [
            writeFix(at, at + 1, '...'),
          ]),
        );
      at += sign;
    } else break;
  }
  scan.at = at;
  return at < end;
}

/** A word as it stands in the tree: names compare in normalization form C. */
export function nameText(text: string, start: number, end: number): string {
  const word = text.slice(start, end);
  for (let i = 0; i < word.length; i++) if (word.charCodeAt(i) > 127) return word.normalize('NFC');
  return word;
}

/** Whether the word between `at` and `end` begins a clause of this statement. */
export function isClauseWord(scan: Scan, at: number, end: number): boolean {
  return scan.clauses.has(scan.text.slice(at, end));
}

/**
 * Whether a name stands at the scan, where one is expected. A clause word is a name there only when what follows
 * could not belong to its clause: `joint sealant sealant grey-rtv` names a joint, `with by AQ` lacks a tool.
 */
export function isNameHere(scan: Scan, textFollows = false): boolean {
  const { text, at } = scan;
  if (!isLetterAt(text, at)) return false;
  const end = wordEnd(text, at);
  if (!isClauseWord(scan, at, end)) return true;
  const next = afterBlanks(text, end);
  if (next >= scan.end || isLineBreak(text.charCodeAt(next)) || isCommentAt(text, next)) return true;
  const code = text.charCodeAt(next);
  if (code === 91 || code === 64 || code === 61 || code === 44) return true;
  if (isQuote(code)) return textFollows;
  return isLetterAt(text, next) && isClauseWord(scan, next, wordEnd(text, next));
}

/** `"`, `“`, `„`, `”`. */
export function isQuote(code: number): boolean {
  return code === 34 || (code >= 0x201c && code <= 0x201f);
}

/** Whether a quote closes the text that `open` began: `"…"`, `“…”`, `„…“` or `„…”`. */
export function closesQuote(open: number, code: number): boolean {
  return open === 34 ? code === 34 : code === 0x201d || (open === 0x201e && code === 0x201c);
}

/** Reads one name; a slip in it is told and mended. */
export function lexName(scan: Scan): void {
  const { text, at: start } = scan;
  const end = wordEnd(text, start);
  if (text.charCodeAt(end) === 46 && isDigit(text.charCodeAt(end + 1))) lexPointedName(scan, start, end);
  else if (text.charCodeAt(end - 1) === 45) {
    let stop = end;
    while (stop > start + 1 && text.charCodeAt(stop - 1) === 45) stop--;
    const mended = nameText(text, start, stop);
    scan.faults.push(
      fault(start, end, `A name does not end in \`-\`: \`${mended}\`.`, [writeFix(start, end, mended)]),
    );
    emit(scan, Name, start, end, mended);
  } else emit(scan, Name, start, end, nameText(text, start, end));
}

/** A name that holds a point, or a thread where a name should stand. */
function lexPointedName(scan: Scan, start: number, pointAt: number): void {
  const { text } = scan;
  const end = wordEnd(text, pointAt + 1);
  const written = text.slice(start, end);
  if (/^M\d+x\d/.test(written)) {
    scan.faults.push(fault(start, end, `\`${written}\` is a thread, never a name.`));
    scan.doubtful = true;
    emit(scan, Name, start, end, written);
    return;
  }
  const mended = nameText(written.replace('.', '-'), 0, written.length);
  scan.faults.push(
    fault(start, end, 'A name is made of letters, digits, `-` and `_`: it holds no point.', [
      writeFix(start, end, mended),
    ]),
  );
  emit(scan, Name, start, end, mended);
}

/** Reads a string; false, and a fault at its opening quote, when it is not closed on its line. */
export function lexText(scan: Scan): boolean {
  const { text, at: start } = scan;
  const open = text.charCodeAt(start);
  for (let at = start + 1; at < scan.end; at++) {
    const code = text.charCodeAt(at);
    if (code === 92) at++;
    else if (isLineBreak(code)) break;
    else if (code === 34 && open === 34 && opensAnother(scan, start, at)) break;
    else if (closesQuote(open, code)) {
      emit(scan, Text, start, at + 1, unescaped(text.slice(start + 1, at)));
      return true;
    }
  }
  return lexUnclosedText(scan, open);
}

/**
 * Whether a quote that could close a text rather opens another: a blank before it, a letter straight after it. The
 * first text was not closed then.
 */
function opensAnother(scan: Scan, start: number, at: number): boolean {
  const { text } = scan;
  if (at < start + 2 || !isBlank(text.charCodeAt(at - 1))) return false;
  return isLetterAt(text, at + 1) || isDigit(text.charCodeAt(at + 1));
}

function unescaped(text: string): string {
  return text.includes('\\') ? text.replace(/\\(["\\“”„])/g, '$1') : text;
}

/** What an opening typographic quote without its partner holds: up to a straight one, or else to the line's end. */
function lexUnclosedText(scan: Scan, open: number): boolean {
  const { text, at: start } = scan;
  const stop = Math.min(scan.end, lineEnd(text, start));
  const straight = text.indexOf('"', start + 1);
  if (open !== 34 && straight >= 0 && straight < stop) {
    scan.faults.push(
      fault(start, straight + 1, 'The quotes of a text go together: `"…"` or `“…”`.', [
        writeFix(start, straight + 1, `"${text.slice(start + 1, straight)}"`),
      ]),
    );
    emit(scan, Text, start, straight + 1, unescaped(text.slice(start + 1, straight)));
    return true;
  }
  const last = unclosedEnd(scan, start, stop);
  const close = open === 34 ? '"' : '”';
  scan.faults.push(
    fault(start, start + 1, 'This text is not closed: a text ends on its line with a quote.', [
      {
        title: `Close it after \`${lastWord(text, start, last)}\``,
        edits: [{ start: last, end: last, text: close }],
      },
    ]),
  );
  scan.doubtful = true;
  emit(scan, Text, start, last, text.slice(start + 1, last));
  return false;
}

/** Where a text without its closing quote ends: before the clause whose own text follows, or with the line. */
function unclosedEnd(scan: Scan, start: number, stop: number): number {
  const { text } = scan;
  let last = stop;
  for (let at = start + 1; at < stop; at++) {
    if (text.charCodeAt(at) !== 34 || !isBlank(text.charCodeAt(at - 1))) continue;
    let wordStop = at;
    while (isBlank(text.charCodeAt(wordStop - 1))) wordStop--;
    let word = wordStop;
    while (word > start + 1 && !isBlank(text.charCodeAt(word - 1))) word--;
    last = isClauseWord(scan, word, wordStop) ? word : wordStop;
    break;
  }
  while (last > start + 1 && isBlank(text.charCodeAt(last - 1))) last--;
  return last;
}

function lastWord(text: string, start: number, end: number): string {
  return (
    text
      .slice(start + 1, end)
      .split(/\s/u)
      .at(-1) ?? ''
  );
}
