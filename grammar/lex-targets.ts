/** Reads what a line is about: names, items in brackets, places after `@`. */
import { fault, writeFix } from './syntax-errors.ts';
import {
  At,
  afterBlanks,
  CloseBracket,
  CloseParen,
  Comma,
  emit,
  Integer,
  is,
  isBlank,
  isClauseWord,
  isCommentAt,
  isDigit,
  isLetterAt,
  isLineBreak,
  isNameHere,
  isQuote,
  lexName,
  Name,
  nameText,
  OpenBracket,
  OpenParen,
  Run,
  runEnd,
  type Scan,
  Slash,
  Stray,
  skipBlanks,
  Whole,
  wordEnd,
} from './tokens.ts';

/** Reads one target: a name, perhaps with items and a place. Nothing when no name stands here. */
export function lexTarget(scan: Scan, textFollows = false): void {
  if (!skipBlanks(scan)) return;
  if (!isNameHere(scan, textFollows)) {
    lexNoName(scan);
    return;
  }
  lexName(scan);
  lexTail(scan);
}

function lexTail(scan: Scan): void {
  const { text } = scan;
  let next = afterBlanks(text, scan.at);
  if (text.charCodeAt(next) === 91) {
    scan.at = next;
    lexBrackets(scan);
    next = afterBlanks(text, scan.at);
  } else if (
    next > scan.at &&
    (scan.clauses.has('in')
      ? lexItemsBeforeSign(scan, next)
      : isDigit(text.charCodeAt(next)) && lexBareItems(scan, next))
  )
    next = afterBlanks(text, scan.at);
  if (text.charCodeAt(next) === 64) {
    scan.at = next;
    lexPlace(scan);
  }
}

/** Whole numbers and runs of them, `1-8` too, without brackets. */
const bareItems =
  /\d+(?:[ \t]*(?:\.\.|[-–])[ \t]*\d+)?(?:(?:[ \t]*,)?[ \t]*\d+(?:[ \t]*(?:\.\.|[-–])[ \t]*\d+)?)*/y;

/**
 * Reads `head 1..8` as `head[1..8]`, in an entry that has no value of its own there: a clause word or the end of the
 * line must follow, and of a torque its `to` or `angle`, since `torque head 24` may be its value.
 */
function lexBareItems(scan: Scan, start: number): boolean {
  const { text, at: from, clauses } = scan;
  if (!clauses.has('because') || clauses.has('in') || clauses.has('until')) return false;
  bareItems.lastIndex = start;
  const written = bareItems.exec(text)?.[0] ?? '';
  const end = start + written.length;
  const next = afterBlanks(text, end);
  const word = text.slice(next, wordEnd(text, next));
  const ends = next >= scan.end || isLineBreak(text.charCodeAt(next)) || isCommentAt(text, next);
  const follows = clauses.has('retorque')
    ? word === 'to' || word === 'angle'
    : ends || (next > end && clauses.has(word));
  if (!follows) return false;
  const items = written.replace(/[ \t]*(?:\.\.|[-–])[ \t]*/g, '..');
  const name = scan.tokens[scan.count - 1]?.text ?? '';
  scan.faults.push(
    fault(start, end, `Members stand in brackets: \`${name}[${items}]\`.`, [
      { title: `Write \`[${items}]\``, edits: [{ start: from, end, text: `[${items}]` }] },
    ]),
  );
  emit(scan, OpenBracket, start, start, '');
  for (const item of written.matchAll(/\d+|\.\.|[-–]/g)) {
    const at = start + item.index;
    if (/\d/.test(item[0])) emit(scan, Integer, at, at + item[0].length, item[0], Number(item[0]));
    else emit(scan, Run, at, at + item[0].length, '..');
  }
  emit(scan, CloseBracket, end, end, '');
  return true;
}

/** Words and numbers up to the `=` (or the `:` in its stead) or the place of a reading. */
const itemsBeforeSign =
  /[\p{L}\d(][\p{L}\p{M}\d/_.,()–-]*(?:[ \t]+[\p{L}\d(][\p{L}\p{M}\d/_.,()–-]*)*(?=[ \t]*[=:@])/uy;

/** Reads `gap 3 = 0.35 mm` as `gap[3] = 0.35 mm`. */
function lexItemsBeforeSign(scan: Scan, start: number): boolean {
  const { text, at: from, clauses } = scan;
  itemsBeforeSign.lastIndex = start;
  const written = itemsBeforeSign.exec(text)?.[0];
  if (written === undefined || written.split(/\s+/).some((word) => clauses.has(word))) return false;
  const end = start + written.length;
  const name = scan.tokens[scan.count - 1]?.text ?? '';
  const items = written.replace(/(\d)[ \t]*(?:\.\.|[-–])[ \t]*(?=\d)/g, '$1..');
  scan.faults.push(
    fault(start, end, `Members stand in brackets: \`${name}[${items}]\`.`, [
      { title: `Write \`[${items}]\``, edits: [{ start: from, end, text: `[${items}]` }] },
    ]),
  );
  const told = scan.faults.length;
  emit(scan, OpenBracket, start, start, '');
  lexPaths(scan, 'unclosed');
  // What the fix mends as well is not told twice.
  scan.faults.length = told;
  emit(scan, CloseBracket, end, end, '');
  scan.at = end;
  return true;
}

/** Where a name was wanted: a digit first, or something else that is no clause word. */
export function lexNoName(scan: Scan): void {
  const { text, at } = scan;
  if (isLetterAt(text, at)) return;
  if (isDigit(text.charCodeAt(at))) {
    const end = wordEnd(text, at);
    const digits = /^\d+/.exec(text.slice(at, end))?.[0] ?? '';
    const rest = text.slice(at + digits.length, end);
    if (rest !== '' && isLetterAt(rest, 0)) {
      scan.faults.push(digitFirst(at, end, rest + digits));
      emit(scan, Name, at, end, rest + digits);
      lexTail(scan);
      return;
    }
  }
  const code = text.charCodeAt(at);
  if (isQuote(code) || code === 61) return;
  if (code === 63) {
    scan.faults.push(fault(at, at + 1, '`?` stands for a value not yet known, never for a name.'));
    scan.doubtful = true;
    emit(scan, Name, at, at + 1, '?');
    return;
  }
  emit(scan, Stray, at, runEnd(scan, at), '');
}

function digitFirst(start: number, end: number, mended: string) {
  return fault(start, end, `A name begins with a letter: \`${mended}\`.`, [writeFix(start, end, mended)]);
}

/** Reads targets by blanks or commas, up to the next clause word. */
export function lexTargets(scan: Scan): void {
  while (skipBlanks(scan)) {
    const { text, at } = scan;
    if (text.charCodeAt(at) === 44) {
      emit(scan, Comma, at, at + 1, '');
      continue;
    }
    const afterComma = is(scan, Comma);
    if (scan.last !== 0 && !afterComma) {
      if (!isLetterAt(text, at) || isClauseWord(scan, at, wordEnd(text, at))) return;
    }
    const { count } = scan;
    lexTarget(scan);
    if (scan.count === count) return;
  }
}

/** Reads names by blanks or commas, up to the next clause word. */
export function lexNames(scan: Scan): void {
  while (skipBlanks(scan)) {
    const { text, at } = scan;
    if (text.charCodeAt(at) === 44) {
      emit(scan, Comma, at, at + 1, '');
      continue;
    }
    if (isLetterAt(text, at)) {
      const first = scan.last === 0;
      if (first ? !isNameHere(scan) : isClauseWord(scan, at, wordEnd(text, at))) return;
      lexName(scan);
      continue;
    }
    if (scan.last === 0 || is(scan, Comma) || isDigit(text.charCodeAt(at))) {
      const { count } = scan;
      lexNoName(scan);
      if (scan.count > count) continue;
    }
    return;
  }
}

/** Reads `[items]`. Without its `]` it ends before the first clause word. */
export function lexBrackets(scan: Scan): void {
  const open = scan.at;
  const closed = isClosed(scan, open);
  emit(scan, OpenBracket, open, open + 1, '');
  lexPaths(scan, closed ? 'brackets' : 'unclosed');
  const { text, at } = scan;
  if (closed && at < scan.end && text.charCodeAt(at) === 93) {
    emit(scan, CloseBracket, at, at + 1, '');
    return;
  }
  if (closed) return;
  const end = scan.tokens[scan.count - 1]?.end ?? open + 1;
  scan.faults.push(
    fault(open, open + 1, 'This bracket is not closed: `]` is missing.', [
      { title: 'Close the bracket', edits: [{ start: end, end, text: ']' }] },
    ]),
  );
  emit(scan, CloseBracket, end, end, '');
  scan.at = at;
}

function isClosed(scan: Scan, open: number): boolean {
  const { text } = scan;
  for (let at = open + 1; at < scan.end; at++) {
    const code = text.charCodeAt(at);
    if (code === 93) return true;
    if (code === 91 || code === 61 || isLineBreak(code) || isQuote(code)) return false;
    if (code === 35 && isCommentAt(text, at)) return false;
  }
  return false;
}

/** Reads `@ path`. */
export function lexPlace(scan: Scan): void {
  emit(scan, At, scan.at, scan.at + 1, '');
  if (!skipBlanks(scan)) return;
  lexPaths(scan, 'place');
  if (!scan.clauses.has('in')) return;
  // Of a reading, `=` or a clause follows the place: `@ top thrust` lacks its slash.
  for (;;) {
    const { text, at } = scan;
    const next = afterBlanks(text, at);
    if (next === at || !isLetterAt(text, next) || isClauseWord(scan, next, wordEnd(text, next))) return;
    const rest = /[ \t]*=/y;
    rest.lastIndex = wordEnd(text, next);
    if (!rest.test(text)) return;
    scan.faults.push(
      fault(next, wordEnd(text, next), 'The segments of a place are joined by `/`.', [
        writeFix(at, next, '/'),
      ]),
    );
    emit(scan, Slash, at, next, '');
    lexPaths(scan, 'place');
  }
}

/** Reads item paths by blanks or commas, up to the next clause word. */
export function lexItems(scan: Scan): void {
  lexPaths(scan, 'list');
}

/** Reads one path that stands alone, such as a table's heading. */
export function lexPath(scan: Scan): void {
  lexPaths(scan, 'place');
}

type PathsIn = 'brackets' | 'unclosed' | 'place' | 'list';

/** Reads paths: all of a bracket's, the one of a place, or those of a list. */
function lexPaths(scan: Scan, where: PathsIn): void {
  const { text } = scan;
  let depth = 0;
  while (skipBlanks(scan)) {
    const { at } = scan;
    const code = text.charCodeAt(at);
    if (isDigit(code)) lexItemNumber(scan);
    else if (isLetterAt(text, at)) {
      const end = wordEnd(text, at);
      if (
        where !== 'brackets' &&
        !is(scan, Slash) &&
        !is(scan, At) &&
        !(depth > 0 && where !== 'unclosed') &&
        text.charCodeAt(end) !== 47 &&
        isClauseWord(scan, at, end)
      )
        return;
      lexItemWord(scan, end, where, depth > 0);
    } else if (code === 47) lexJoint(scan, Slash, 1, where);
    else if (code === 46 && text.charCodeAt(at + 1) === 46) lexRun(scan, where);
    else if (code === 40) {
      if (++depth === 1) emit(scan, OpenParen, at, at + 1, '');
      else {
        if (depth === 2)
          scan.faults.push(fault(at, at + 1, 'A set holds names, numbers and runs; sets do not nest.'));
        scan.doubtful = true;
        scan.at = at + 1;
      }
    } else if (code === 41) {
      depth--;
      if (depth <= 0) {
        depth = 0;
        emit(scan, CloseParen, at, at + 1, '');
      } else scan.at = at + 1;
    } else if (code === 44) {
      if (where === 'place' && depth === 0) return;
      emit(scan, Comma, at, at + 1, '');
    } else if (!lexItemSign(scan, code, where)) return;
    if (where === 'place' && depth === 0 && placeEnds(scan)) return;
  }
}

/** A place ends at a blank outside its parentheses, unless a slash shows that it goes on. */
function placeEnds(scan: Scan): boolean {
  const { text, at } = scan;
  if (is(scan, Slash) || is(scan, Run)) return !isPathStart(text, afterBlanks(text, at));
  const code = text.charCodeAt(at);
  if (code === 47 || code === 46) return false;
  return text.charCodeAt(afterBlanks(text, at)) !== 47;
}

function isPathStart(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return isDigit(code) || code === 40 || isLetterAt(text, at);
}

function lexItemNumber(scan: Scan): void {
  const { text, at } = scan;
  let end = at + 1;
  while (isDigit(text.charCodeAt(end))) end++;
  if (isLetterAt(text, end)) {
    const stop = wordEnd(text, end);
    const mended = text.slice(end, stop) + text.slice(at, end);
    scan.faults.push(digitFirst(at, stop, mended));
    emit(scan, Name, at, stop, nameText(mended, 0, mended.length));
    return;
  }
  const code = text.charCodeAt(end);
  if (code === 46 && isDigit(text.charCodeAt(end + 1))) {
    let stop = end + 1;
    while (isDigit(text.charCodeAt(stop))) stop++;
    scan.faults.push(
      fault(at, stop, 'An item is a whole number or a name; a run is written `1..10`.', [
        writeFix(at, stop, `${text.slice(at, end)}..${text.slice(end + 1, stop)}`),
      ]),
    );
    scan.doubtful = true;
    emit(scan, Integer, at, stop, text.slice(at, end), Number(text.slice(at, end)));
    return;
  }
  const digits = text.slice(at, end);
  if (digits.length > 1 && digits.startsWith('0')) {
    const mended = String(Number(digits));
    scan.faults.push(
      fault(at, end, `An item's number has no leading zero: \`${mended}\`.`, [writeFix(at, end, mended)]),
    );
  } else if (digits.length > 9) {
    scan.faults.push(fault(at, end, 'That is no number of an item.'));
    scan.doubtful = true;
  }
  emit(scan, Integer, at, end, digits, Number(digits));
}

function lexItemWord(scan: Scan, end: number, where: PathsIn, inSet: boolean): void {
  const { text, at } = scan;
  const word = text.slice(at, end);
  if (word !== 'all' && word !== 'ordered') {
    lexName(scan);
    return;
  }
  const before = text.charCodeAt(at - 1);
  const after = text.charCodeAt(end);
  const alone = (where === 'brackets' || where === 'unclosed') && before !== 47 && after !== 47 && !inSet;
  if (!alone) {
    scan.faults.push(
      fault(
        at,
        end,
        where === 'brackets' || where === 'unclosed'
          ? `\`${word}\` stands alone in its brackets: \`[${word}]\`.`
          : `\`${word}\` is not the name of an item.`,
      ),
    );
    scan.doubtful = true;
    emit(scan, Name, at, end, word);
    return;
  }
  emit(scan, Whole, at, end, word);
}

/** Reads a sign that joins two parts of a path and takes no blanks. */
function lexJoint(scan: Scan, type: typeof Slash, length: number, where: PathsIn): void {
  const { text, at } = scan;
  const before = text.charCodeAt(at - 1);
  const after = text.charCodeAt(at + length);
  const sign = type === Slash ? '/' : '..';
  if (isBlank(before) || (isBlank(after) && isPathStart(text, afterBlanks(text, at + length)))) {
    let start = at;
    while (isBlank(text.charCodeAt(start - 1))) start--;
    const end = afterBlanks(text, at + length);
    if (where !== 'list' || isPathStart(text, end))
      scan.faults.push(
        fault(
          at,
          at + length,
          `There are no blanks around \`${sign}\` in ${where === 'place' ? 'a place' : 'items'}.`,
          [writeFix(start, end, sign)],
        ),
      );
  }
  emit(scan, type, at, at + length, sign);
}

function lexRun(scan: Scan, where: PathsIn): void {
  const { text, at } = scan;
  let length = 2;
  while (text.charCodeAt(at + length) === 46) length++;
  if (length > 2)
    scan.faults.push(
      fault(at, at + length, 'A run is written with two points: `1..10`.', [writeFix(at, at + length, '..')]),
    );
  lexJoint(scan, Run, length, where);
}

/** Reads what does not belong in a path, where its meaning is plain; false where the paths end. */
function lexItemSign(scan: Scan, code: number, where: PathsIn): boolean {
  const { text, at } = scan;
  if (code === 93) return false;
  const dash = code === 45 || code === 0x2013 || code === 0x2014 || code === 0x2212;
  if (dash && is(scan, Integer) && isDigit(text.charCodeAt(afterBlanks(text, at + 1)))) {
    let start = at;
    while (isBlank(text.charCodeAt(start - 1))) start--;
    scan.faults.push(
      fault(at, at + 1, 'A run is written with two points: `1..10`.', [
        writeFix(start, afterBlanks(text, at + 1), '..'),
      ]),
    );
    emit(scan, Run, at, at + 1, '..');
    return true;
  }
  if (code === 0x2026) {
    scan.faults.push(
      fault(at, at + 1, 'A run is written with two points: `1..10`.', [writeFix(at, at + 1, '..')]),
    );
    emit(scan, Run, at, at + 1, '..');
    return true;
  }
  if (code === 35 && isDigit(text.charCodeAt(at + 1)) && where !== 'list') {
    scan.faults.push(
      fault(at, at + 1, 'Items are named without `#`.', [
        { title: 'Remove the `#`', edits: [{ start: at, end: at + 1, text: '' }] },
      ]),
    );
    scan.at = at + 1;
    return true;
  }
  if (where === 'place' || where === 'list' || where === 'unclosed') return false;
  let end = at + 1;
  while (end < scan.end) {
    const next = text.charCodeAt(end);
    if (next === 93 || next === 44 || next === 47 || next === 40 || next === 41) break;
    if (isBlank(next) || isLineBreak(next) || isDigit(next) || isLetterAt(text, end)) break;
    end++;
  }
  emit(scan, Stray, at, end, '');
  return true;
}
