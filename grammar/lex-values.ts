/** Reads the tokens of any value by its kind, and over what cannot be read to the next clause. */
import { lexClass, lexMark, lexThread, lexUnit } from './lex-codes.ts';
import { lexQuantities } from './lex-quantities.ts';
import { lexItems, lexNames, lexNoName, lexTarget, lexTargets } from './lex-targets.ts';
import { lexWhen } from './lex-times.ts';
import type { ValueKind } from './statements.ts';
import { fault, writeFix } from './syntax-errors.ts';
import {
  afterBlanks,
  emit,
  Integer,
  isCommentAt,
  isDigit,
  isLetterAt,
  isLineBreak,
  isNameHere,
  isQuote,
  lexName,
  lexText,
  Placeholder,
  runEnd,
  type Scan,
  Stray,
  skipBlanks,
  wordEnd,
} from './tokens.ts';
import { readUnit } from './unit-spellings.ts';

/** Lexes a value of that kind at the scan; nothing where a clause word or the end stands instead. */
export function lexValue(scan: Scan, kind: ValueKind): void {
  switch (kind) {
    case 'quantity':
      lexQuantities(scan, { about: 'one' });
      return;
    case 'spread':
    case 'limit-value':
      lexQuantities(scan, { about: 'spread' });
      return;
    case 'value':
    case 'tolerance':
      lexQuantities(scan);
      return;
    case 'quantities':
    case 'spreads':
    case 'adapter':
      lexQuantities(scan, { list: true });
      return;
    case 'until':
      lexQuantities(scan, { dates: true });
      return;
    case 'expression':
      lexQuantities(scan, { expression: true });
      return;
    case 'name':
    case 'choice':
      lexOneName(scan, false);
      return;
    case 'names':
      lexNames(scan);
      return;
    case 'string':
      lexOneText(scan, false);
      return;
    case 'strings':
      while (skipBlanks(scan) && isQuote(scan.text.charCodeAt(scan.at))) lexText(scan);
      return;
    case 'when':
      lexWhen(scan);
      return;
    case 'target':
      lexTarget(scan);
      return;
    case 'targets':
    case 'members':
      lexTargets(scan);
      return;
    case 'target-grade':
      lexTarget(scan);
      if (skipBlanks(scan)) lexGrade(scan);
      return;
    case 'grade':
      lexGrade(scan);
      return;
    case 'unit':
      lexUnit(scan);
      return;
    case 'thread':
      lexThread(scan);
      return;
    case 'class':
      lexClass(scan);
      return;
    case 'mark':
      lexMark(scan);
      return;
    case 'integer':
      lexInteger(scan);
      return;
    case 'order':
      lexItems(scan);
      return;
    case 'layout':
      lexOneName(scan, false);
      if (skipBlanks(scan)) lexInteger(scan);
      return;
    case 'inspection':
    case 'flag':
    case 'word':
    case 'note':
      return;
  }
}

export function lexOneName(scan: Scan, textFollows: boolean): void {
  if (isNameHere(scan, textFollows)) lexName(scan);
  else lexNoName(scan);
}

/** A text in quotes or `?`, unless `?` is a clause here. */
export function lexOneText(scan: Scan, placeholderIsClause: boolean): void {
  const code = scan.text.charCodeAt(scan.at);
  if (isQuote(code)) lexText(scan);
  else if (code === 63 && !placeholderIsClause) emit(scan, Placeholder, scan.at, scan.at + 1, '?');
}

/** A grade: a name, a whole number, a text in quotes or `?`. */
export function lexGrade(scan: Scan): void {
  const { text, at } = scan;
  const code = text.charCodeAt(at);
  if (isQuote(code)) lexText(scan);
  else if (code === 63) emit(scan, Placeholder, at, at + 1, '?');
  else if (isLetterAt(text, at)) {
    if (isNameHere(scan)) lexName(scan);
  } else if (isDigit(code)) {
    const end = runEnd(scan, at);
    const written = text.slice(at, end);
    if (!/^\d+$/.test(written)) {
      scan.faults.push(
        fault(at, end, 'A grade is a name or a whole number; any other stands in quotes.', [
          writeFix(at, end, `"${written.replaceAll('"', '')}"`),
        ]),
      );
    }
    emit(scan, Integer, at, end, written, Number(written));
  }
}

export function lexInteger(scan: Scan): void {
  const { text, at } = scan;
  let end = at;
  while (isDigit(text.charCodeAt(end))) end++;
  if (end > at) emit(scan, Integer, at, end, text.slice(at, end), Number(text.slice(at, end)));
  else if (!isLetterAt(text, at) && !isQuote(text.charCodeAt(at)))
    emit(scan, Stray, at, runEnd(scan, at), '');
}

/** Moves on to the next clause word of this statement (or to `=`, where one may follow), or to the end. */
export function skipToClause(scan: Scan, orSign = false): void {
  const { text } = scan;
  while (skipBlanks(scan)) {
    const { at } = scan;
    const code = text.charCodeAt(at);
    if (orSign && code === 61) return;
    if (isLetterAt(text, at)) {
      const end = wordEnd(text, at);
      if (scan.clauses.has(text.slice(at, end))) return;
      scan.at = end;
    } else if (isQuote(code)) {
      const close = closingQuote(scan, at);
      scan.at = close < 0 ? at + 1 : close + 1;
    } else if (isDigit(code)) {
      // The unit of a number may be spelled like a clause.
      let end = at;
      while (isDigit(text.charCodeAt(end)) || text[end] === '.') end++;
      const unit = readUnit(text, afterBlanks(text, end));
      scan.at = unit === undefined || unit.end > scan.end ? end : unit.end;
    } else scan.at = at + 1;
  }
}

export function closingQuote(scan: Scan, open: number): number {
  for (let at = open + 1; at < scan.end; at++) {
    const code = scan.text.charCodeAt(at);
    if (code === 92) at++;
    else if (isQuote(code)) return at;
    else if (code === 10 || code === 13) return -1;
  }
  return -1;
}

/** Where something that is no word ends: a whole text in quotes, else up to the next blank. */
export function strayEnd(scan: Scan, start: number): number {
  if (isQuote(scan.text.charCodeAt(start))) {
    const close = closingQuote(scan, start);
    if (close >= 0) return close + 1;
  }
  return Math.max(runEnd(scan, start), start + 1);
}

/** Where words that lack their quotes end: before a clause word, a quote, a comment or the end, perhaps a date. */
export function unquotedEnd(scan: Scan, start: number, beforeDate: boolean): number {
  const { text } = scan;
  let end = start;
  let at = start;
  while (at < scan.end) {
    const code = text.charCodeAt(at);
    if (isQuote(code) || isLineBreak(code)) break;
    if (isLetterAt(text, at)) {
      const stop = wordEnd(text, at);
      if (scan.clauses.has(text.slice(at, stop))) break;
      end = stop;
      at = stop;
      continue;
    }
    if (beforeDate && isDigit(code) && dateLike.test(text.slice(at, at + 6))) break;
    const next = afterBlanks(text, at);
    if (next > at) {
      if (isCommentAt(text, next)) break;
      at = next;
    } else {
      at++;
      end = at;
    }
  }
  return end;
}

const dateLike = /^(?:\d{4}-\d|\d{1,2}[:/.]\d)/;
