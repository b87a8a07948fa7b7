/**
 * Reads one statement as the table says: its fixed parts, then its clauses in any order.
 *
 * What cannot be read ends at the next clause word, and the clauses after it are read as ever; what is missing is
 * told last, all of it in one fault.
 */
import { type IToken, isRecognitionException } from 'chevrotain';
import { lexOneName, lexOneText, lexValue, skipToClause, strayEnd, unquotedEnd } from './lex-values.ts';
import { missingUnits } from './missing-units.ts';
import type { AnyValue, Building, StatementParser } from './parser.ts';
import {
  type ClauseSpec,
  type FixedSpec,
  type StatementKind,
  type StatementSpec,
  statementSpec,
  type ValueKind,
} from './statements.ts';
import {
  either,
  expectationOf,
  expectations,
  fault,
  nearestWords,
  quoted,
  replaceFix,
  unexpected,
  unknownClause,
  usersOf,
  writeFix,
} from './syntax-errors.ts';
import type { ClauseNode, OrderNode, StringNode } from './syntax-tree.ts';
import {
  CloseParen,
  Comma,
  emit,
  isBlank,
  isDigit,
  isLetterAt,
  isQuote,
  lexText,
  lineEnd,
  Minus,
  Name,
  Numeral,
  OpenParen,
  PlusMinus,
  runEnd,
  type Scan,
  skipBlanks,
  type Token,
  Unit,
  wordEnd,
} from './tokens.ts';

/** A statement on its way. */
interface Reading {
  readonly parser: StatementParser;
  readonly scan: Scan;
  readonly spec: StatementSpec;
  readonly statement: Building;
  readonly clauses: ClauseNode[];
  /** What is required and was not there. */
  readonly missing: string[];
  /** A word was found that is no clause: what seems to be missing may be misspelt. */
  strayWord: boolean;
}

/** The clauses read so far: a list that grows is larger than it needs to be, and the tree keeps none such. */
const clauseBuffer: ClauseNode[] = [];

/** Reads what follows a statement's keyword, from the parser's scan into `statement`. */
export function readStatement(parser: StatementParser, spec: StatementSpec, statement: Building): void {
  const { scan } = parser;
  clauseBuffer.length = 0;
  const clauses = clauseBuffer;
  const reading: Reading = { parser, scan, spec, statement, clauses, missing: [], strayWord: false };
  for (const fixed of spec.fixed) readFixed(reading, fixed);
  while (skipBlanks(scan)) readClause(reading);
  if (clauses.length > 0) statement.clauses = clauses.slice();
  tellMissing(reading);
}

/** `serial` with a text in quotes. */
function requiredClause(clause: ClauseSpec, keyword: StatementKind): string {
  const { words, value } = clause;
  const said = either(words.map(quoted));
  return value === 'word' || value === 'choice' || value === 'flag'
    ? said
    : `${said} with ${expectationOf(clause, keyword)}`;
}

function isWritten(clauses: Reading['clauses'], wanted: string): boolean {
  return clauses.some(({ name }) => name === wanted);
}

function tellMissing({ scan, spec, statement, clauses, missing, strayWord }: Reading): void {
  if (!strayWord) {
    for (const clause of spec.clauses) {
      if (clause.required === true && !isWritten(clauses, clause.name))
        missing.push(requiredClause(clause, spec.keyword));
    }
  }
  if (missing.length > 0) {
    const { start, end } = statement.keyword;
    scan.faults.push(fault(start, end, `${quoted(spec.keyword)} lacks ${either(missing, 'and')}.`));
  }
  const order = clauses.find(({ name }) => name === 'order');
  const kind = (order?.value as OrderNode | undefined)?.kind;
  if (order === undefined || strayWord || (kind !== 'cross' && kind !== 'centre-out')) return;
  if (clauses.some(({ name }) => name === 'layout')) return;
  const layout = kind === 'cross' ? 'layout circle' : 'layout rows 2';
  scan.faults.push(
    fault(order.start, order.end, `\`order ${kind}\` needs to know how they lie: \`${layout}\`.`, [
      replaceFix(`Add \`${layout}\``, order.end, order.end, ` ${layout}`),
    ]),
  );
}

// The fixed part.

function readFixed(reading: Reading, fixed: FixedSpec): void {
  const { parser, scan, spec, statement, missing } = reading;
  const pending = parser.hasPending();
  if (pending) {
    // An expression leaves the limit after it.
    if (fixed.value !== 'limit-value') return;
  } else {
    const here = skipBlanks(scan) && (fixed.value === 'value' || passColon(scan));
    if (fixed.after !== undefined && here) passToSign(reading);
    const signAt = scan.at;
    const signed = here && fixed.after !== undefined && scan.text.charCodeAt(signAt) === 61;
    if (signed) scan.at++;
    else if (fixed.after !== undefined && !(here && tellMissingSign(reading, fixed))) {
      if (fixed.optional !== true) missing.push(expectationOf(fixed, reading.spec.keyword));
      return;
    }
    const first = scan.count;
    scan.last = 0;
    scan.doubtful = false;
    if (skipBlanks(scan)) lexFixed(reading, fixed);
    if (scan.count === first) {
      if (signed)
        scan.faults.push(fault(signAt, signAt + 1, `\`=\` is followed by ${expectations[fixed.value]}.`));
      else if (fixed.optional === true) {
        if (fixed.value === 'string' && !nearClause(scan)) {
          const text = unquotedText(reading, false);
          if (text !== undefined) assign(statement, statement.text === undefined ? 'text' : 'text2', text);
        }
      } else {
        const text = fixed.value === 'string' ? unquotedText(reading, true) : undefined;
        if (text !== undefined) statement.text = text;
        else missing.push(expectationOf(fixed, reading.spec.keyword));
      }
      return;
    }
  }
  const value = readValue(reading, fixed.value, undefined);
  if (value === undefined) return;
  switch (fixed.name) {
    case 'tolerance':
    case 'quantity':
    case 'limit':
    case 'value':
      missingUnits(scan, value, fixed.name);
      break;
    case 'text':
      if (statement.text !== undefined) {
        assign(statement, 'text2', value);
        return;
      }
      break;
  }
  assign(statement, fixed.name, value);
  if (fixed.value === 'name' && spec.fixed.length === 1 && scan.text.charCodeAt(scan.at) === 91)
    tellNoItems(reading);
}

/** Items where a plain name stands: told, and passed over. */
function tellNoItems({ scan, spec }: Reading): void {
  const start = scan.at;
  const close = scan.text.indexOf(']', start);
  const end = close < 0 || close >= scan.end ? runEnd(scan, start) : close + 1;
  scan.faults.push(fault(start, end, `${quoted(spec.keyword)} takes a name without items.`));
  scan.at = end;
}

/** A colon that separates nothing here: told, and passed over. Whether anything follows. */
function passColon(scan: Scan): boolean {
  const { text, at } = scan;
  if (at >= scan.end || text.charCodeAt(at) !== 58) return at < scan.end;
  scan.faults.push(fault(at, at + 1, 'No `:` stands here.', [replaceFix('Remove the `:`', at, at + 1, '')]));
  scan.at = at + 1;
  return skipBlanks(scan);
}

function assign(statement: Building, name: string, value: AnyValue): void {
  (statement as unknown as Record<string, AnyValue>)[name] = value;
}

/** A word before the `=` that belongs to nothing: told, and passed over. */
function passToSign(reading: Reading): void {
  const { scan, spec } = reading;
  const { text, at } = scan;
  if (!isLetterAt(text, at)) return;
  const end = wordEnd(text, at);
  if (scan.clauses.has(text.slice(at, end))) return;
  const comments = scan.comments.length;
  skipToClause(scan, true);
  if (scan.at < scan.end && text.charCodeAt(scan.at) === 61)
    scan.faults.push(unknownClause(at, end, text.slice(at, end), spec));
  else {
    scan.at = at;
    scan.comments.length = comments;
  }
}

/** A value that plainly wants its `=`: told, and read all the same. */
function tellMissingSign({ scan, spec }: Reading, fixed: FixedSpec): boolean {
  const { text, at } = scan;
  const code = text.charCodeAt(at);
  if (code === 58 && fixed.value === 'value') {
    scan.faults.push(
      fault(at, at + 1, 'A reading follows `=`, not `:`.', [
        replaceFix('Write `=`', at, at + 1, isBlank(text.charCodeAt(at - 1)) ? '=' : ' ='),
      ]),
    );
    scan.at = at + 1;
    return true;
  }
  const plain =
    fixed.value === 'value'
      ? isDigit(code) ||
        isQuote(code) ||
        code === 63 ||
        code === 60 ||
        code === 62 ||
        code === 45 ||
        code === 46
      : fixed.value === 'members' && isLetterAt(text, at);
  if (!plain || spec.fixed.length === 0) return false;
  const end = fixed.value === 'members' ? wordEnd(text, at) : strayEnd(scan, at);
  scan.faults.push(
    fault(at, end, `\`=\` is missing before ${quoted(text.slice(at, end))}.`, [
      replaceFix('Write `=`', at, at, '= '),
    ]),
  );
  return true;
}

function lexFixed({ scan, spec }: Reading, fixed: FixedSpec): void {
  const { text, at } = scan;
  switch (fixed.value) {
    case 'name':
      lexOneName(scan, spec.fixed[1]?.value === 'string' && spec.fixed[1].optional !== true);
      return;
    case 'string':
      lexOneText(scan, scan.clauses.has('?'));
      return;
    case 'limit-value':
      if (isLetterAt(text, at)) return;
      break;
    case 'inspection':
      if (isQuote(text.charCodeAt(at))) lexText(scan);
      else lexOneName(scan, false);
      return;
    case 'tolerance':
      if (isLetterAt(text, at)) return;
      if (isDigit(text.charCodeAt(at))) {
        const end = runEnd(scan, at);
        scan.faults.push(
          fault(at, end, `\`±\` is missing before ${quoted(text.slice(at, end))}.`, [
            replaceFix('Write `±`', at, at, '± '),
          ]),
        );
        emit(scan, PlusMinus, at, at, '');
      }
      break;
  }
  lexValue(scan, fixed.value);
}

/** Whether the word at the scan begins a clause, or would but for a slip. */
function nearClause(scan: Scan): boolean {
  const { text, at } = scan;
  if (at >= scan.end || !isLetterAt(text, at)) return true;
  const word = text.slice(at, wordEnd(text, at));
  return (
    scan.clauses.has(word) ||
    statementSpec(word) !== undefined ||
    usersOf(word).length > 0 ||
    nearestWords(word, scan.clauses.keys()).length > 0
  );
}

/** Words where a text in quotes is due: one fault for all of them, and the text they would be. */
function unquotedText({ scan }: Reading, beforeDate: boolean): StringNode | undefined {
  const { text, at: start } = scan;
  // A number may be one where a clause has a text (`ref 3.1`); before a date it may be the date.
  if (!isLetterAt(text, start) && (beforeDate || !isDigit(text.charCodeAt(start)))) return undefined;
  const end = unquotedEnd(scan, start, beforeDate);
  if (end === start) return undefined;
  const words = text.slice(start, end);
  scan.faults.push(
    fault(start, end, `A text stands in quotes: ${quoted(`"${words}"`)}.`, [
      replaceFix('Put it in quotes', start, end, `"${words}"`),
    ]),
  );
  scan.at = end;
  return { start, end, text: words };
}

// Clauses.

function readClause(reading: Reading): void {
  const { scan } = reading;
  const { text, at: start } = scan;
  const isWord = isLetterAt(text, start);
  const end = isWord ? wordEnd(text, start) : start + 1;
  const word = text.slice(start, end);
  const clause = isWord || word === '?' ? scan.clauses.get(word) : undefined;
  if (clause === undefined) {
    readStray(reading, start, end, isWord);
    return;
  }
  scan.at = end;
  tellRepeated(reading, clause, word, start, end);
  if (clause.value === 'flag' || clause.value === 'word') {
    const value = clause.value === 'word' ? { start, end, text: word } : undefined;
    addClause(reading, clause, start, end, value, end);
  } else readClauseValue(reading, clause, start, end);
}

function addClause(
  { clauses }: Reading,
  clause: ClauseSpec,
  start: number,
  keywordEnd: number,
  value: AnyValue | undefined,
  end: number,
): void {
  clauses.push({ name: clause.name, keyword: { start, end: keywordEnd }, value, start, end } as ClauseNode);
}

/** Reads the value of a clause whose keyword ends at `end`, where the scan stands. */
function readClauseValue(reading: Reading, clause: ClauseSpec, start: number, end: number): void {
  const { parser, scan } = reading;
  const first = scan.count;
  scan.last = 0;
  scan.doubtful = false;
  const here = skipBlanks(scan) && passColon(scan);
  if (here) lexValue(scan, clause.value);
  if (scan.count === first) {
    const text = here && clause.value === 'string' ? unquotedText(reading, false) : undefined;
    if (text === undefined) tellNoValue(reading, clause, start, end);
    addClause(reading, clause, start, end, text, text?.end ?? end);
    return;
  }
  const value = readValue(reading, clause.value, clause);
  if (value !== undefined) missingUnits(scan, value, clause.name);
  addClause(reading, clause, start, end, value, parser.endAfter(first) ?? end);
}

/** A clause word that is followed by no value of its kind. */
function tellNoValue({ scan, spec }: Reading, clause: ClauseSpec, start: number, end: number): void {
  const { text, at } = scan;
  const expected =
    clause.choices === undefined ? expectationOf(clause, spec.keyword) : either(clause.choices.map(quoted));
  if (at < scan.end) {
    const stop = isLetterAt(text, at) ? wordEnd(text, at) : strayEnd(scan, at);
    const found = text.slice(at, stop);
    if (!scan.clauses.has(found)) {
      scan.faults.push(fault(at, stop, `${quoted(found)} stands where ${expected} is expected.`));
      scan.at = stop;
      skipToClause(scan);
      return;
    }
  }
  scan.faults.push(fault(start, end, `${quoted(text.slice(start, end))} is followed by ${expected}.`));
}

function tellRepeated(
  { scan, clauses }: Reading,
  clause: ClauseSpec,
  word: string,
  start: number,
  end: number,
): void {
  for (const other of clauses) {
    if (other.name !== clause.name) continue;
    const otherWord = scan.text.slice(other.keyword.start, other.keyword.end);
    if (clause.several === true && otherWord !== word) continue;
    scan.faults.push(
      fault(
        start,
        end,
        otherWord === word || otherWord === ''
          ? `${quoted(word)} is written twice; once is enough.`
          : `Either ${quoted(otherWord)} or ${quoted(word)}, not both.`,
      ),
    );
    return;
  }
}

/** Something where a clause could begin that begins none. */
function readStray(reading: Reading, start: number, end: number, isWord: boolean): void {
  const { scan, spec } = reading;
  const { text } = scan;
  const stop = isWord ? end : strayEnd(scan, start);
  const found = text.slice(start, stop);
  const forgotten = forgottenClause(reading, found, isWord, text.charCodeAt(start));
  if (forgotten !== undefined) {
    const [word = ''] = forgotten.words;
    scan.faults.push(
      fault(start, stop, `${quoted(word)} is missing before ${quoted(found)}.`, [
        replaceFix(`Write ${quoted(word)}`, start, start, `${word} `),
      ]),
    );
    readClauseValue(reading, forgotten, start, start);
    return;
  }
  const to =
    spec.keyword === 'torque' && !isWritten(reading.clauses, 'to') ? scan.clauses.get('to') : undefined;
  if ((found[0] === '=' || found[0] === ':') && to !== undefined) {
    scan.faults.push(
      fault(start, start + 1, `A torque follows \`to\`, not ${quoted(found[0])}.`, [
        writeFix(start, start + 1, isBlank(text.charCodeAt(start - 1)) ? 'to' : ' to'),
      ]),
    );
    scan.at = start + 1;
    readClauseValue(reading, to, start, start + 1);
    return;
  }
  if (found[0] === ':') {
    passColon(scan);
    return;
  }
  if (text.charCodeAt(start) === 35) {
    tellComment(scan, start);
    return;
  }
  if (isWord) reading.strayWord = true;
  if (afterUnknownUnit(scan)) {
    // The word before was perhaps a misspelt clause, and this is its value.
    scan.at = stop;
    skipToClause(scan);
    return;
  }
  scan.faults.push(
    isSecondTarget(reading, found, isWord)
      ? fault(start, stop, `${quoted(spec.keyword)} names one thing: another stands on a line of its own.`)
      : isWord
        ? unknownClause(start, stop, found, spec)
        : unexpected(start, stop, found, spec),
  );
  scan.at = stop;
  skipToClause(scan);
}

/** Whether a line that speaks of one thing goes on with a comma, or with a word that is no clause of any. */
function isSecondTarget(
  { spec, statement, clauses, scan }: Reading,
  found: string,
  isWord: boolean,
): boolean {
  if (spec.place !== 'entry' || statement.target === undefined || clauses.length > 0) return false;
  if (spec.fixed.length > 1) return false;
  return (
    found[0] === ',' ||
    (isWord && nearestWords(found, scan.clauses.keys()).length === 0 && usersOf(found).length === 0)
  );
}

function afterUnknownUnit({ tokens, count }: Scan): boolean {
  const last = tokens[count - 1];
  return count > 0 && last !== undefined && last.tokenTypeIdx === Unit.tokenTypeIdx && last.text === '';
}

/** A `#` that begins no comment, as it stands; the line ends there all the same. */
function tellComment(scan: Scan, start: number): void {
  const { text } = scan;
  const end = lineEnd(text, start);
  const before = isBlank(text.charCodeAt(start - 1)) ? '' : ' ';
  const after = isDigit(text.charCodeAt(start + 1)) ? ' ' : '';
  scan.faults.push(
    fault(start, start + 1, 'A comment begins with `#` after a blank, and not straight before a digit.', [
      replaceFix('Set the comment apart', start, start + 1, `${before}#${after}`),
    ]),
  );
  scan.comments.push({ start, end });
  scan.at = end;
}

/** The clause whose word was forgotten before a value that can only be its own. */
function forgottenClause(
  { spec, clauses }: Reading,
  found: string,
  isWord: boolean,
  code: number,
): ClauseSpec | undefined {
  const name = spec.keyword === 'fastener' ? 'torque' : 'to';
  const clause = spec.clauses.find((one) => one.name === name);
  if (clause === undefined || clauses.some((one) => one.name === name)) return undefined;
  if (clause.value === 'targets') {
    const words = spec.clauses.flatMap((one) => one.words);
    return isWord && nearestWords(found, words).length === 0 ? clause : undefined;
  }
  return isDigit(code) || code === 63 || code === 46 ? clause : undefined;
}

// Values.

/** Parses the value that was lexed. Undefined, and a fault, when it cannot be read. */
function readValue(reading: Reading, kind: ValueKind, clause: ClauseSpec | undefined): AnyValue | undefined {
  const { parser, scan } = reading;
  let value: AnyValue | undefined;
  try {
    value = parser.readKind(kind, clause);
  } catch (error) {
    if (!isRecognitionException(error as Error)) throw error;
    tellMismatch(parser, error as Error & { token: IToken }, kind);
    parser.dropPending();
    skipToClause(scan, clause === undefined && reading.spec.fixed.some(({ after }) => after === '='));
    return undefined;
  }
  if (kind !== 'expression' && parser.hasPending()) {
    tellLeftOver(reading, kind);
    parser.dropPending();
    skipToClause(scan);
  }
  return scan.doubtful ? undefined : value;
}

/** Tells of a token that a rule did not expect. `kind` is what the whole value should be. */
export function tellMismatch(
  parser: StatementParser,
  error: Error & { token: IToken },
  kind: ValueKind | undefined,
): void {
  const { scan } = parser;
  const { text } = scan;
  const expected = error.message;
  const found = error.token as Token;
  const before = parser.lastToken();
  if (expected === CloseParen.LABEL) {
    const open = openParen(scan, found);
    if (open !== undefined) {
      scan.faults.push(
        fault(open.startOffset, open.end, 'This parenthesis is not closed: `)` is missing.', [
          replaceFix('Close the parenthesis', before.end, before.end, ')'),
        ]),
      );
      return;
    }
  }
  // A bracket that was never closed has an end without a letter.
  if (found === scan.endToken || found.end === found.startOffset) {
    const { startOffset: start, end } = before;
    if (isTold(scan, start, end)) return;
    scan.faults.push(fault(start, end, `After ${quoted(text.slice(start, end))}, ${expected} is missing.`));
    return;
  }
  const { startOffset: start, end } = found;
  const written = text.slice(start, end);
  if ((kind === 'value' || kind === 'limit-value') && found.tokenTypeIdx === Name.tokenTypeIdx) {
    scan.faults.push(
      fault(start, end, `A word as a value stands in quotes: ${quoted(`"${written}"`)}.`, [
        replaceFix('Put it in quotes', start, end, `"${written}"`),
      ]),
    );
    return;
  }
  if (isTold(scan, start, end)) return;
  scan.faults.push(fault(start, end, `${quoted(written)} stands where ${expected} is expected.`));
}

/** Whether a fault of just these letters was told already, as by who read a time. */
function isTold({ faults }: Scan, start: number, end: number): boolean {
  return faults.some((one) => one.start === start && one.end === end);
}

/** The parenthesis that is still open before a token. */
function openParen(scan: Scan, before: Token): Token | undefined {
  let depth = 0;
  const last = before === scan.endToken ? scan.count - 1 : scan.tokens.indexOf(before) - 1;
  for (let index = last; index >= 0; index--) {
    const token = scan.tokens[index];
    if (token?.tokenTypeIdx === CloseParen.tokenTypeIdx) depth++;
    else if (token?.tokenTypeIdx === OpenParen.tokenTypeIdx && depth-- === 0) return token;
  }
  return undefined;
}

/** Tells of tokens after a value that is complete. */
function tellLeftOver({ parser, scan, spec }: Reading, kind: ValueKind): void {
  const token = parser.next();
  const { startOffset: start, end } = token;
  const found = scan.text.slice(start, end);
  const last = parser.lastToken().end;
  const type = token.tokenTypeIdx;
  if (type === Comma.tokenTypeIdx) {
    scan.faults.push(fault(start, end, 'There is one value here: `,` was not expected.'));
    return;
  }
  if (type === Minus.tokenTypeIdx && kind === 'limit-value') {
    const next = scan.tokens[scan.tokens.indexOf(token) + 1];
    scan.faults.push(
      fault(start, end, 'A range is written with two points: `..`.', [
        replaceFix('Write `..`', last, next?.startOffset ?? end, '..'),
      ]),
    );
    scan.doubtful = true;
    return;
  }
  const isList = kind === 'quantities' || kind === 'spreads' || kind === 'adapter';
  if (kind === 'members' || (isList && type === Numeral.tokenTypeIdx)) {
    scan.faults.push(
      fault(
        start,
        end,
        kind === 'members'
          ? 'The parts of a stack are separated by commas.'
          : 'Quantities are separated by commas.',
        [replaceFix('Insert a comma', last, last, ',')],
      ),
    );
    return;
  }
  if (!isTold(scan, start, end)) scan.faults.push(unexpected(start, end, found, spec));
}
