/** Reads numbers, units and the signs between them: quantities, spreads, readings, and expressions over readings. */
import { lexBrackets, lexPlace } from './lex-targets.ts';
import { lexDate } from './lex-times.ts';
import { decimalComma, fault, isUnit, replaceFix, unknownUnit, writeFix } from './syntax-errors.ts';
import {
  AtLeast,
  AtMost,
  afterBlanks,
  CloseBracket,
  CloseParen,
  Comma,
  Deviation,
  emit,
  FunctionWord,
  IsoClass,
  is,
  isBlank,
  isClauseWord,
  isDigit,
  isLetterAt,
  isNameHere,
  isQuote,
  lexName,
  lexText,
  Minus,
  Name,
  Numeral,
  OpenParen,
  Placeholder,
  Plus,
  PlusMinus,
  Qualifier,
  Run,
  runEnd,
  type Scan,
  Slash,
  Star,
  Stray,
  skipBlanks,
  Text,
  Unit,
  wordEnd,
} from './tokens.ts';
import { readUnit } from './unit-spellings.ts';

const qualifiers: ReadonlySet<string> = new Set(['TIR', 'FIM', 'BTDC', 'ATDC', 'BBDC', 'ABDC']);
const functions: ReadonlySet<string> = new Set(['min', 'max', 'mean', 'range', 'taper', 'out-of-round']);
const isoClass =
  /(?:[A-HJ-NP-VX-Z]|CD|EF|FG|JS|Z[ABC]|[a-hj-np-vx-z]|cd|ef|fg|js|z[abc])\d{1,2}(?![\p{L}\p{N}_])/uy;
const vulgar: ReadonlyMap<string, string> = new Map([
  ['¼', '1/4'],
  ['½', '1/2'],
  ['¾', '3/4'],
  ['⅐', '1/7'],
  ['⅑', '1/9'],
  ['⅒', '1/10'],
  ['⅓', '1/3'],
  ['⅔', '2/3'],
  ['⅕', '1/5'],
  ['⅖', '2/5'],
  ['⅗', '3/5'],
  ['⅘', '4/5'],
  ['⅙', '1/6'],
  ['⅚', '5/6'],
  ['⅛', '1/8'],
  ['⅜', '3/8'],
  ['⅝', '5/8'],
  ['⅞', '7/8'],
]);
const plainNumber = String.raw`(?:\d+(?:\.\d+)?|\.\d+)`;
const signedNumber = String.raw`(?:[+−-]${plainNumber}|0(?:\.0+)?(?![\d.]))`;
const deviationPair = new RegExp(String.raw`${signedNumber}\s*\/\s*${signedNumber}`, 'y');
const commaNumber = /\d+(?:,\d+)+(?:\.\d+)?/y;
/** `1.200,5`, as it is written where the comma is the decimal sign. */
const pointedNumber = /\d{1,3}(?:\.\d{3})+,\d+/y;
const exponent = /[eE][+-]?\d+(?![\p{L}\p{N}_])/uy;
/** Revolutions as they stand on many a plate: `1/min`, `min⁻¹`, `U/min`. */
const perMinute = /(?:1\/min|min(?:-1|⁻¹)|U\/min)(?![\p{L}\p{N}])/uy;
/** The rest of a number in groups of three. */
const thousands = /(?:[ \u00a0\u2009\u202f'’]\d{3})+(?:\.\d+)?(?![\d/:,-]|\.(?!\.))/y;
const fractionAfterBlank = /\d+\/\d+(?![\d/])/y;

/** How a value made of quantities is read. */
export interface QuantityReading {
  /** Names, functions and operators may stand in it. */
  readonly expression?: boolean;
  /** Commas separate quantities. */
  readonly list?: boolean;
  /** A date may stand in it. */
  readonly dates?: boolean;
  /** What a `±` means that nothing stands before: nothing to say of one quantity, about 0 of a spread. */
  readonly about?: 'one' | 'spread';
}

const plain: QuantityReading = {};

/** More parentheses or terms than any limit has; beyond, a tree would be too deep to walk. */
const mostOpen = 40;
const mostTokens = 1000;

/** Reads up to the next clause word, or to something that no quantity holds. */
export function lexQuantities(scan: Scan, reading: QuantityReading = plain): void {
  const { text } = scan;
  const expression = reading.expression === true;
  const first = scan.count;
  while (skipBlanks(scan)) {
    const { at } = scan;
    if (scan.count - first > mostTokens) {
      tellTooLong(scan);
      return;
    }
    const code = text.charCodeAt(at);
    if (isDigit(code)) {
      if (reading.dates === true && scan.last === 0 && lexDate(scan)) continue;
      if (code === 48 && afterOperand(scan) && lexDeviations(scan)) continue;
      lexNumber(scan, at, reading);
    } else if (isLetterAt(text, at)) {
      if (!(expression ? lexTermWord(scan) : lexWord(scan))) return;
    } else if (!lexSign(scan, code, reading)) return;
  }
}

function tellTooLong(scan: Scan): void {
  const { at } = scan;
  scan.faults.push(fault(at, runEnd(scan, at), 'This is too long to be one value.'));
  scan.doubtful = true;
}

/** How many parentheses of the statement are open; each that is closed counts against one. */
function openCount({ tokens, count }: Scan): number {
  let open = 0;
  for (let index = Math.max(0, count - mostTokens); index < count; index++) {
    const type = tokens[index]?.tokenTypeIdx;
    if (type === OpenParen.tokenTypeIdx) open++;
    else if (type === CloseParen.tokenTypeIdx) open--;
  }
  return open;
}

/** Whether the last token ends a quantity or a name, so that an operator may follow. */
function afterOperand(scan: Scan): boolean {
  return (
    is(scan, Numeral) ||
    is(scan, Unit) ||
    is(scan, Qualifier) ||
    is(scan, CloseParen) ||
    is(scan, Placeholder) ||
    is(scan, Name) ||
    is(scan, CloseBracket)
  );
}

/** Reads everything but a digit or a letter; false, and nothing read, where the value ends. */
function lexSign(scan: Scan, code: number, reading: QuantityReading): boolean {
  const { text, at } = scan;
  const next = text.charCodeAt(at + 1);
  switch (code) {
    case 46: // .
      if (next === 46) {
        emit(scan, Run, at, at + 2, '..');
        return true;
      }
      if (isDigit(next)) {
        lexNumber(scan, at, reading);
        return true;
      }
      break;
    case 63: // ?
      // A verdict may be `?`, so it ends a value that is complete.
      if (scan.last !== 0 && afterOperand(scan)) return false;
      emit(scan, Placeholder, at, at + 1, '?');
      lexUnitAfter(scan, false);
      return true;
    case 60: // <
    case 62: // >
      if (next === 61) {
        emit(scan, code === 60 ? AtMost : AtLeast, at, at + 2, '');
        return true;
      }
      scan.faults.push(
        fault(at, at + 1, `A bound is written with \`${text[at]}=\`.`, [
          writeFix(at, at + 1, `${text[at]}=`),
        ]),
      );
      emit(scan, code === 60 ? AtMost : AtLeast, at, at + 1, '');
      return true;
    case 0x2264: // ≤
      emit(scan, AtMost, at, at + 1, '');
      return true;
    case 0x2265: // ≥
      emit(scan, AtLeast, at, at + 1, '');
      return true;
    case 0xb1: // ±
      lexPlusMinus(scan, 1, reading);
      return true;
    case 43: // +
      return lexPlus(scan, reading);
    case 45: // -
    case 0x2212: // −
    case 0x2013: // –
    case 0x2014: // —
      return lexMinus(scan, code, reading);
    case 40: // (
      if (openCount(scan) >= mostOpen) {
        tellTooLong(scan);
        return false;
      }
      emit(scan, OpenParen, at, at + 1, '');
      return true;
    case 41: // )
      emit(scan, CloseParen, at, at + 1, '');
      return true;
    case 44: // ,
      emit(scan, Comma, at, at + 1, '');
      return true;
    case 47: // /
      if (reading.expression === true) return lexOperator(scan, Slash, '/');
      break;
    case 42: // *
    case 0xd7: // ×
    case 0xb7: // ·
    case 0x22c5: // ⋅
      if (reading.expression === true) return lexOperator(scan, Star, '*');
      break;
    case 0x2026: // …
      scan.faults.push(
        fault(at, at + 1, 'A range is written with two points: `..`.', [writeFix(at, at + 1, '..')]),
      );
      emit(scan, Run, at, at + 1, '..');
      return true;
    case 91: // [
      if (reading.expression === true && is(scan, Name)) {
        lexBrackets(scan);
        return true;
      }
      break;
    case 64: // @
      if (reading.expression === true && (is(scan, Name) || is(scan, CloseBracket))) {
        lexPlace(scan);
        return true;
      }
      break;
    default:
      if (isQuote(code)) {
        if (scan.last !== 0 && !is(scan, Text) && !is(scan, Comma)) return false;
        lexText(scan);
        return true;
      }
      if (vulgar.has(text[at] ?? '')) {
        lexNumber(scan, at, reading);
        return true;
      }
  }
  if (scan.last !== 0) return false;
  emit(scan, Stray, at, runEnd(scan, at), '');
  return false;
}

/** Reads `±`. Where nothing stands before it, `accuracy ±4 %` is 4 %, and a limit of `±0.05 mm` is about 0. */
function lexPlusMinus(scan: Scan, length: number, { about }: QuantityReading): void {
  const { text, at } = scan;
  const end = at + length;
  const next = afterBlanks(text, end);
  const isBare = scan.last === 0 && (isDigit(text.charCodeAt(next)) || text.charCodeAt(next) === 46);
  if (isBare && about === 'one') {
    scan.faults.push(
      fault(at, end, 'One value stands here, without `±`.', [replaceFix('Remove the `±`', at, next, '')]),
    );
    scan.at = end;
    return;
  }
  if (isBare && about === 'spread') {
    scan.faults.push(
      fault(at, end, 'A tolerance stands after what it is about: `0 ±`.', [
        replaceFix('Write `0 ±`', at, at, '0 '),
      ]),
    );
    emit(scan, Numeral, at, at, '0', 0);
  }
  emit(scan, PlusMinus, at, end, '');
}

function lexPlus(scan: Scan, reading: QuantityReading): boolean {
  const { text, at } = scan;
  if (text.startsWith('+/-', at) || text.startsWith('+/−', at)) {
    lexPlusMinus(scan, 3, reading);
    return true;
  }
  if (text.charCodeAt(at + 1) === 45) {
    scan.faults.push(
      fault(at, at + 2, 'Plus or minus is written `±` or `+/-`.', [writeFix(at, at + 2, '±')]),
    );
    emit(scan, PlusMinus, at, at + 2, '');
    return true;
  }
  if (afterOperand(scan)) {
    if (lexDeviations(scan)) return true;
    if (reading.expression === true) {
      emit(scan, Plus, at, at + 1, '+');
      return true;
    }
  }
  const next = text.charCodeAt(at + 1);
  if (!isDigit(next) && next !== 46) {
    emit(scan, Stray, at, runEnd(scan, at), '');
    return false;
  }
  if (afterOperand(scan)) {
    tellLoneDeviation(scan, `${text.slice(at, runEnd(scan, at))}/-0`);
    return true;
  }
  scan.faults.push(
    fault(at, at + 1, 'A number takes no leading `+`.', [
      { title: 'Remove the `+`', edits: [{ start: at, end: at + 1, text: '' }] },
    ]),
  );
  scan.at = at + 1;
  return true;
}

function lexMinus(scan: Scan, code: number, reading: QuantityReading): boolean {
  const { text, at } = scan;
  const next = text.charCodeAt(at + 1);
  const dash = code === 0x2013 || code === 0x2014;
  const before = text.charCodeAt(at - 1);
  const digitFollows =
    isDigit(next) || (next === 46 && isDigit(text.charCodeAt(at + 2))) || vulgar.has(text[at + 1] ?? '');
  if (!afterOperand(scan)) {
    if (digitFollows) {
      if (dash)
        scan.faults.push(
          fault(at, at + 1, 'A negative number begins with `-`.', [writeFix(at, at + 1, '-')]),
        );
      lexNumber(scan, at, reading);
      return true;
    }
    if (reading.expression === true && (next === 40 || isLetterAt(text, at + 1))) {
      scan.faults.push(
        fault(at, at + 1, 'There is no unary minus; multiply by -1.', [
          replaceFix('Multiply by -1', at, at + 1, '-1 * '),
        ]),
      );
      scan.doubtful = true;
      scan.at = at + 1;
      return true;
    }
    emit(scan, Stray, at, runEnd(scan, at), '');
    return false;
  }
  if (!dash && digitFollows && lexDeviations(scan)) return true;
  if (reading.expression === true && !dash) {
    // A negative number straight after an expression begins the limit.
    if (digitFollows && isBlank(before)) {
      lexNumber(scan, at, reading);
      return true;
    }
    if (!(is(scan, Numeral) && digitFollows)) return lexOperator(scan, Minus, '-');
  }
  if (!dash && digitFollows && isBlank(before) && lexLoneDeviation(scan)) return true;
  const after = afterBlanks(text, at + 1);
  const c = text.charCodeAt(after);
  if (isDigit(c) || c === 46 || c === 63) {
    const end = after;
    scan.faults.push(
      fault(at, at + 1, 'A range is written with two points: `..`.', [
        writeFix(blanksBefore(text, at), end, '..'),
      ]),
    );
    emit(scan, Run, at, at + 1, '..');
    return true;
  }
  emit(scan, Stray, at, runEnd(scan, at), '');
  return false;
}

/** Reads `-0.02` after a size that it is no upper end of (`20 -0.02 mm`): a deviation without its other. */
function lexLoneDeviation(scan: Scan): boolean {
  const { text, at, tokens, count } = scan;
  const size = tokens
    .slice(Math.max(0, count - 2), count)
    .findLast((token) => token?.tokenTypeIdx === Numeral.tokenTypeIdx);
  const written = text.slice(at, runEnd(scan, at));
  const value = /^[-−](\d*\.?\d+)(?=$|\p{L}|%)/u.exec(written)?.[1];
  if (typeof size?.value !== 'number' || value === undefined || Number(value) >= size.value) return false;
  tellLoneDeviation(scan, `+0/-${value}`);
  return true;
}

/** Tells of a deviation that stands alone, and passes over it and its unit. */
function tellLoneDeviation(scan: Scan, both: string): void {
  const { text, at } = scan;
  const end = at + (/^.[\d.]+/.exec(text.slice(at))?.[0].length ?? 1);
  scan.faults.push(
    fault(at, end, `Deviations come as two, the upper first: \`${both}\`.`, [writeFix(at, end, both)]),
  );
  scan.doubtful = true;
  scan.at = end;
  const unit = readUnit(text, afterBlanks(text, end));
  if (unit !== undefined && unit.end <= scan.end) scan.at = unit.end;
}

function blanksBefore(text: string, at: number): number {
  let start = at;
  while (start > 0 && isBlank(text.charCodeAt(start - 1))) start--;
  return start;
}

/** Reads an operator that has blanks around it. */
function lexOperator(scan: Scan, type: typeof Minus, sign: string): boolean {
  const { text, at } = scan;
  if (!isBlank(text.charCodeAt(at - 1)) || !isBlank(text.charCodeAt(at + 1)))
    scan.faults.push(
      fault(
        at,
        at + 1,
        `\`${sign}\` has blanks around it, or it would be taken for part of a name or a number.`,
        [writeFix(blanksBefore(text, at), afterBlanks(text, at + 1), ` ${sign} `)],
      ),
    );
  emit(scan, type, at, at + 1, sign);
  return true;
}

/** Reads `+0.02/-0.01`: two tokens, the upper deviation first. */
function lexDeviations(scan: Scan): boolean {
  const { text, at } = scan;
  deviationPair.lastIndex = at;
  if (!deviationPair.test(text)) return false;
  const end = deviationPair.lastIndex;
  const slash = text.indexOf('/', at);
  const lowerStart = afterBlanks(text, slash + 1);
  const upperEnd = blanksBefore(text, slash);
  const upper = signedDeviation(scan, at, upperEnd, '+');
  const lower = signedDeviation(scan, lowerStart, end, upper.startsWith('-') ? '+' : '-');
  if (Number(upper) < Number(lower))
    scan.faults.push(
      fault(at, end, `The upper deviation comes first: \`${lower}/${upper}\`.`, [
        writeFix(at, end, `${lower}/${upper}`),
      ]),
    );
  emit(scan, Deviation, at, upperEnd, upper, Number(upper) + 0);
  emit(scan, Deviation, lowerStart, end, lower, Number(lower) + 0);
  lexUnitAfter(scan, false);
  return true;
}

/** A deviation with its sign; a bare 0 lacks one. */
function signedDeviation(scan: Scan, start: number, end: number, sign: string): string {
  const written = scan.text.slice(start, end).replace('−', '-');
  if (!isDigit(written.charCodeAt(0))) return written;
  scan.faults.push(
    fault(start, end, `Each deviation carries its sign: \`${sign}${written}\`.`, [
      writeFix(start, end, `${sign}${written}`),
    ]),
  );
  return sign + written;
}

/** Reads a number at `start` (its sign included) and the unit after it. */
function lexNumber(scan: Scan, start: number, reading: QuantityReading): void {
  const { text } = scan;
  let at = start;
  const sign =
    isDigit(text.charCodeAt(at)) || text.charCodeAt(at) === 46 || vulgar.has(text[at] ?? '') ? '' : '-';
  if (sign !== '') at++;
  const first = at;
  while (isDigit(text.charCodeAt(at))) at++;
  const whole = at > first;
  let code = text.charCodeAt(at);
  // The common case: digits, perhaps a point and more digits.
  if (code === 46 && isDigit(text.charCodeAt(at + 1))) {
    at++;
    while (isDigit(text.charCodeAt(at))) at++;
    code = text.charCodeAt(at);
    if (code !== 44 && code !== 101 && code !== 69) {
      finishNumber(scan, start, at, sign + text.slice(first, at), reading);
      return;
    }
  } else if (code === 32 || code === 10 || Number.isNaN(code)) {
    if (code === 32 && lexThousands(scan, start, first, at, sign, reading)) return;
    if (!(code === 32 && lexSplitFraction(scan, start, at, sign, reading)))
      finishNumber(scan, start, at, sign + text.slice(first, at), reading);
    return;
  }
  if (code === 44 && isDigit(text.charCodeAt(at + 1)) && lexCommaNumber(scan, start, first, sign, reading))
    return;
  if ((code === 101 || code === 69) && lexExponent(scan, start, at, sign + text.slice(first, at), reading))
    return;
  const isDecimal = text.slice(first, at).includes('.');
  if (!isDecimal && lexThousands(scan, start, first, at, sign, reading)) return;
  if (!isDecimal && (code === 47 || code === 45) && lexFraction(scan, start, first, at, sign, reading))
    return;
  if (vulgar.has(text[at] ?? '') && !isDecimal) {
    const fraction = vulgar.get(text[at] ?? '') ?? '';
    const plainForm = sign + (whole ? `${text.slice(first, at)}-${fraction}` : fraction);
    finishNumber(scan, start, at + 1, plainForm, reading);
    return;
  }
  if (code === 58 && isDigit(text.charCodeAt(at + 1)) && lexRatio(scan, start, at, reading)) return;
  if (code === 46 && text.charCodeAt(at + 1) !== 46) {
    scan.faults.push(
      fault(start, at + 1, 'A number does not end with a point.', [
        writeFix(start, at + 1, text.slice(start, at)),
      ]),
    );
    const value = sign + text.slice(first, at);
    emit(scan, Numeral, start, at + 1, value, Number(value));
    lexUnitAfter(scan, reading.expression === true);
    return;
  }
  if (isBlank(code) && !isDecimal && lexSplitFraction(scan, start, at, sign, reading)) return;
  finishNumber(scan, start, at, sign + text.slice(first, at), reading);
}

function finishNumber(
  scan: Scan,
  start: number,
  end: number,
  plainForm: string,
  reading: QuantityReading,
): void {
  emit(scan, Numeral, start, end, plainForm, numberValue(plainForm));
  lexUnitAfter(scan, reading.expression === true);
}

/** The value of a number in plain form; NaN for a denominator of 0. */
function numberValue(plainForm: string): number {
  const slash = plainForm.indexOf('/');
  if (slash < 0) return Number(plainForm) + 0;
  const negative = plainForm.startsWith('-');
  const body = negative ? plainForm.slice(1) : plainForm;
  const dash = body.indexOf('-');
  const denominator = Number(plainForm.slice(slash + 1));
  const whole = dash < 0 ? 0 : Number(body.slice(0, dash));
  const above = Number(body.slice(dash + 1, body.indexOf('/')));
  const value = denominator === 0 ? Number.NaN : (whole * denominator + above) / denominator;
  return negative ? -value : value;
}

/** Reads `1 204` and `1'204`, which are written `1204`. */
function lexThousands(
  scan: Scan,
  start: number,
  first: number,
  end: number,
  sign: string,
  reading: QuantityReading,
): boolean {
  // In an expression a factor may stand before the limit.
  if (reading.expression === true || end - first > 3 || scan.text.charCodeAt(first) === 48) return false;
  thousands.lastIndex = end;
  const match = thousands.exec(scan.text)?.[0];
  if (match === undefined) return false;
  const plainForm = scan.text.slice(first, end) + match.replace(/[^\d.]/g, '');
  const stop = end + match.length;
  scan.faults.push(
    fault(first, stop, `A number is written without thousands separators: \`${plainForm}\`.`, [
      writeFix(first, stop, plainForm),
    ]),
  );
  finishNumber(scan, start, stop, sign + plainForm, reading);
  return true;
}

/** Reads `1 3/8`, which is written `1-3/8`. */
function lexSplitFraction(
  scan: Scan,
  start: number,
  end: number,
  sign: string,
  reading: QuantityReading,
): boolean {
  const { text } = scan;
  const next = afterBlanks(text, end);
  if (!isDigit(text.charCodeAt(next))) {
    if (!vulgar.has(text[next] ?? '')) return false;
  }
  fractionAfterBlank.lastIndex = next;
  const match = vulgar.get(text[next] ?? '') ?? fractionAfterBlank.exec(text)?.[0];
  if (match === undefined) return false;
  const stop = vulgar.has(text[next] ?? '') ? next + 1 : fractionAfterBlank.lastIndex;
  const plainForm = `${text.slice(start, end).replace('−', '-')}-${match}`;
  scan.faults.push(
    fault(start, stop, `A whole number and its fraction are joined: \`${plainForm}\`.`, [
      writeFix(start, stop, plainForm),
    ]),
  );
  finishNumber(scan, start, stop, sign === '' ? plainForm : `-${plainForm.replace(/^-/, '')}`, reading);
  return true;
}

function lexCommaNumber(
  scan: Scan,
  start: number,
  first: number,
  sign: string,
  reading: QuantityReading,
): boolean {
  const { text } = scan;
  commaNumber.lastIndex = first;
  pointedNumber.lastIndex = first;
  const match = commaNumber.exec(text) ?? (reading.list === true ? null : pointedNumber.exec(text));
  // `1.5,25`: a comma after a decimal.
  if (match === null) return false;
  const end = first + match[0].length;
  const one = decimalComma(first, end, match[0], reading.list === true);
  scan.faults.push(one);
  if (one.fixes.length !== 1) scan.doubtful = true;
  const plainForm = sign + (one.fixes[0]?.edits[0]?.text ?? match[0]).replace(/,.*/, '');
  finishNumber(scan, start, end, plainForm, reading);
  return true;
}

function lexExponent(
  scan: Scan,
  start: number,
  at: number,
  digits: string,
  reading: QuantityReading,
): boolean {
  const { text } = scan;
  exponent.lastIndex = at;
  const match = exponent.exec(text);
  if (match === null) return false;
  const end = exponent.lastIndex;
  const written = shifted(digits, Number(match[0].slice(1)));
  scan.faults.push(
    fault(
      start,
      end,
      'A number is written out, without an exponent.',
      written === undefined ? [] : [writeFix(start, end, written)],
    ),
  );
  if (written === undefined) scan.doubtful = true;
  finishNumber(scan, start, end, written ?? digits, reading);
  return true;
}

/** The digits with their point moved; undefined where that would be out of all proportion. */
function shifted(digits: string, places: number): string | undefined {
  if (Math.abs(places) > 12) return undefined;
  const sign = digits.startsWith('-') ? '-' : '';
  const [whole = '', decimals = ''] = digits.slice(sign.length).split('.');
  const all = whole + decimals;
  const point = whole.length + places;
  const padded = point <= 0 ? '0'.repeat(1 - point) + all : all.padEnd(point, '0');
  const split = Math.max(point, 1);
  const plainWhole = padded.slice(0, split).replace(/^0+(?=\d)/, '');
  const rest = padded.slice(split);
  return sign + (rest === '' ? plainWhole : `${plainWhole}.${rest}`);
}

/** Reads `3/8` and `1-3/8`. */
function lexFraction(
  scan: Scan,
  start: number,
  first: number,
  at: number,
  sign: string,
  reading: QuantityReading,
): boolean {
  const { text } = scan;
  let slash = at;
  if (text.charCodeAt(at) === 45) {
    slash = at + 1;
    while (isDigit(text.charCodeAt(slash))) slash++;
    if (slash === at + 1 || text.charCodeAt(slash) !== 47) return false;
  }
  let end = slash + 1;
  while (isDigit(text.charCodeAt(end))) end++;
  if (end === slash + 1) return false;
  const plainForm = sign + text.slice(first, end);
  if (Number(text.slice(slash + 1, end)) === 0) {
    scan.faults.push(fault(start, end, 'A fraction has no denominator 0.'));
    scan.doubtful = true;
    emit(scan, Numeral, start, end, plainForm, 0);
    lexUnitAfter(scan, reading.expression === true);
    return true;
  }
  finishNumber(scan, start, end, plainForm, reading);
  return true;
}

/** What follows the colon of a length of time as a clock shows it: `30 h` of `1:30 h`. */
const clockSpan = /([0-5]\d)[ \t]*(h|hr|hrs|hours?|min|mins|minutes?)(?![\p{L}\p{N}])/uy;

/** Reads `1:30 h`, which is told, as `1 h 30 min`. */
function lexClockSpan(scan: Scan, start: number, at: number): boolean {
  const { text } = scan;
  clockSpan.lastIndex = at + 1;
  const [, small = '', unit = ''] = clockSpan.exec(text) ?? [];
  if (small === '') return false;
  const end = clockSpan.lastIndex;
  const big = text.slice(start, at);
  const [first, second] = unit.startsWith('h') ? ['h', 'min'] : ['min', 's'];
  const span = `${Number(big)} ${first} ${Number(small)} ${second}`;
  scan.faults.push(
    fault(
      start,
      end,
      `A length of time is written with both units: \`${span}\`, not \`${text.slice(start, end)}\`.`,
      [writeFix(start, end, span)],
    ),
  );
  emit(scan, Numeral, start, at, String(Number(big)), Number(big));
  emit(scan, Unit, at, at + 1, first ?? '');
  emit(scan, Numeral, at + 1, at + 3, String(Number(small)), Number(small));
  emit(scan, Unit, at + 3, end, second ?? '');
  return true;
}

/** Reads `50:1`. */
function lexRatio(scan: Scan, start: number, at: number, reading: QuantityReading): boolean {
  const { text } = scan;
  if (lexClockSpan(scan, start, at)) return true;
  let end = at + 1;
  while (isDigit(text.charCodeAt(end)) || (text.charCodeAt(end) === 46 && isDigit(text.charCodeAt(end + 1))))
    end++;
  const digits = text.slice(start, at);
  const other = text.slice(at + 1, end);
  if (other !== '1' || digits.includes('.')) {
    const fixes = digits === '1' ? [writeFix(start, end, `${other}:1`)] : [];
    const time = /^[0-5]\d$/.test(other) ? ', and a length of time with its units: `1 h 20 min`' : '';
    scan.faults.push(
      fault(start, end, `A mixture is written as a whole number to 1: \`50:1\`${time}.`, fixes),
    );
    if (fixes.length === 0) scan.doubtful = true;
    const value = Number(fixes.length === 0 ? digits : other);
    emit(scan, Numeral, start, at, String(value), value);
    emit(scan, Unit, at, end, ':1');
    return true;
  }
  if (isLetterAt(text, end)) {
    finishNumber(scan, start, at, digits, reading);
    return true;
  }
  emit(scan, Numeral, start, at, digits, Number(digits));
  emit(scan, Unit, at, end, ':1');
  return true;
}

/** Reads the unit, the ISO class, the inch mark or the qualifier that may follow a number. */
function lexUnitAfter(scan: Scan, inExpression: boolean): void {
  const { text } = scan;
  const code = text.charCodeAt(scan.at);
  if (
    (code === 34 ||
      code === 0x201d ||
      code === 0x2033 ||
      code === 39 ||
      code === 0x2019 ||
      code === 0x2032) &&
    scan.at < scan.end
  ) {
    const unit = code === 34 || code === 0x201d || code === 0x2033 ? 'in' : 'ft';
    const { at } = scan;
    scan.faults.push(
      fault(
        at,
        at + 1,
        `${unit === 'in' ? 'Inches are' : 'Feet are'} written \`${unit}\`: a mark after a number looks like a quote.`,
        [writeFix(at, at + 1, ` ${unit}`)],
      ),
    );
    emit(scan, Unit, at, at + 1, unit);
    return;
  }
  if (!skipBlanks(scan)) return;
  const { at } = scan;
  perMinute.lastIndex = at;
  if (perMinute.test(text)) {
    const end = perMinute.lastIndex;
    scan.faults.push({
      ...fault(at, end, 'Revolutions are written `rpm`.', [writeFix(at, end, 'rpm')]),
      rule: 'unknown-unit',
    });
    emit(scan, Unit, at, end, 'rpm');
    return;
  }
  const letter = isLetterAt(text, at);
  if (!letter) {
    const sign = text.charCodeAt(at);
    // % ° º ℃ ℉
    if (sign !== 37 && sign !== 0xb0 && sign !== 0xba && sign !== 0x2103 && sign !== 0x2109) return;
  }
  if (letter && lexIsoClass(scan)) {
    lexUnitAfter(scan, inExpression);
    return;
  }
  if (lexKnownUnit(scan)) return;
  const unit = readUnit(text, at);
  if (unit !== undefined) {
    if (unit.name === 'in' && lexUnitAfterIn(scan, unit.end)) return;
    const apart = apartEnd(scan, at);
    if (apart === unit.end && knownUnits.size < mostKnownUnits)
      knownUnits.set(text.slice(at, apart), unit.name);
    emit(scan, Unit, at, unit.end, unit.name);
    lexQualifier(scan);
    return;
  }
  const end = letter ? wordEnd(text, at) : runEnd(scan, at);
  const word = text.slice(at, end);
  if (qualifiers.has(word)) {
    emit(scan, Qualifier, at, end, word);
    return;
  }
  if (scan.clauses.has(word) || (word === 'to' && !inExpression)) return;
  const stop = letter ? unitLikeEnd(scan, end) : end;
  const written = text.slice(at, stop);
  scan.faults.push(unknownUnit(at, stop, written, scan.clauses));
  emit(scan, Unit, at, stop, '');
}

/** Reads the `in mm` of `0.35 in mm`: `in` gives the unit of a table's cells, and after a number it means inches. */
function lexUnitAfterIn(scan: Scan, end: number): boolean {
  const { text, at, clauses } = scan;
  const next = afterBlanks(text, end);
  if (!clauses.has('in') || next === end || !isLetterAt(text, next)) return false;
  const unit = readUnit(text, next);
  if (unit === undefined || unit.end > scan.end || clauses.has(text.slice(next, unit.end))) return false;
  scan.faults.push(
    fault(
      at,
      unit.end,
      `\`in\` straight after a number means inches; its unit alone stands there: \`${text.slice(next, unit.end)}\`.`,
      [replaceFix('Leave out `in`', at, next, '')],
    ),
  );
  emit(scan, Unit, at, unit.end, unit.name);
  lexQualifier(scan);
  return true;
}

/** Spellings met before: most units of a log are the same few. */
const knownUnits = new Map<string, string>();
const mostKnownUnits = 200;

function lexKnownUnit(scan: Scan): boolean {
  const { at } = scan;
  const end = apartEnd(scan, at);
  const name = end < 0 ? undefined : knownUnits.get(scan.text.slice(at, end));
  if (name === undefined) return false;
  emit(scan, Unit, at, end, name);
  lexQualifier(scan);
  return true;
}

/**
 * Where a word of letters, `·`, `°` and `%` ends that stands apart, so that nothing after it can belong to its unit;
 * -1 for any other. A word after a blank could, unless it is a clause word; `in` is a unit as well.
 */
function apartEnd(scan: Scan, at: number): number {
  const { text } = scan;
  let end = at;
  for (;;) {
    const code = text.charCodeAt(end);
    const letter = (code >= 97 && code <= 122) || (code >= 65 && code <= 90);
    if (!letter && code !== 0xb7 && code !== 0xb0 && code !== 37) break;
    end++;
  }
  if (end === at) return -1;
  if (end >= scan.end) return end;
  const code = text.charCodeAt(end);
  if (code === 41 || code === 44) return end;
  if (code !== 32) return -1;
  const next = end + 1;
  if (!isLetterAt(text, next)) return end;
  const stop = wordEnd(text, next);
  const word = text.slice(next, stop);
  return word !== 'in' && scan.clauses.has(word) ? end : -1;
}

/** A word that looks like a unit goes on over `/`, `·`, `²` and the like. */
function unitLikeEnd(scan: Scan, end: number): number {
  const { text } = scan;
  let stop = end;
  for (;;) {
    const sign = text[stop] ?? '';
    if (!'/·⋅.*^²³'.includes(sign) || sign === '' || stop >= scan.end) return stop;
    if (sign === '²' || sign === '³') {
      stop++;
      continue;
    }
    if (!isLetterAt(text, stop + 1) && !(sign === '^' && isDigit(text.charCodeAt(stop + 1)))) return stop;
    stop = wordEnd(text, stop + 1);
  }
}

function lexQualifier(scan: Scan): void {
  const { text } = scan;
  const at = afterBlanks(text, scan.at);
  if (at >= scan.end) return;
  const code = text.charCodeAt(at);
  if (code !== 84 && code !== 70 && code !== 66 && code !== 65) return;
  const end = wordEnd(text, at);
  const word = text.slice(at, end);
  if (qualifiers.has(word)) emit(scan, Qualifier, at, end, word);
}

/** Reads `H8` or `g6` after a number; a word that is also a unit (`m3`) only with a unit after it. */
function lexIsoClass(scan: Scan): boolean {
  const { text, at } = scan;
  const second = text.charCodeAt(at + 1);
  if (!isDigit(second) && !isDigit(text.charCodeAt(at + 2))) return false;
  isoClass.lastIndex = at;
  if (!isoClass.test(text)) return false;
  const end = isoClass.lastIndex;
  const word = text.slice(at, end);
  if (isUnit(word) && readUnit(text, afterBlanks(text, end)) === undefined) return false;
  emit(scan, IsoClass, at, end, word);
  return true;
}

/** Reads a word that no number stands before; false, and nothing read, where the value ends. */
function lexWord(scan: Scan): boolean {
  const { text, at } = scan;
  const end = wordEnd(text, at);
  const word = text.slice(at, end);
  if (word === 'to' && (is(scan, Numeral) || is(scan, Unit)) && lexRangeWord(scan, at, end)) return true;
  if (scan.clauses.has(word)) return false;
  if (is(scan, Unit)) {
    if (lexLateClass(scan, at)) return true;
    if (lexLateUnit(scan, at)) return true;
  }
  if (scan.last !== 0) return false;
  emit(scan, Name, at, end, word);
  return false;
}

/** `24 to 26 N·m`, unless `to` begins a clause here and what follows is its value alone. */
function lexRangeWord(scan: Scan, at: number, end: number): boolean {
  const { text } = scan;
  const next = afterBlanks(text, end);
  if (scan.clauses.has('to') || !(isDigit(text.charCodeAt(next)) || text[next] === '.' || text[next] === '-'))
    return false;
  scan.faults.push(
    fault(at, end, 'A range is written with two points: `..`.', [
      writeFix(blanksBefore(text, at), next, '..'),
    ]),
  );
  emit(scan, Run, at, end, '..');
  return true;
}

/** `42 mm H8`: the class stands before the unit. */
function lexLateClass(scan: Scan, at: number): boolean {
  const { text } = scan;
  isoClass.lastIndex = at;
  if (!isoClass.test(text)) return false;
  const end = isoClass.lastIndex;
  const unit = scan.tokens[scan.count - 1];
  const number = scan.tokens[scan.count - 2];
  if (unit === undefined || number?.tokenTypeIdx !== Numeral.tokenTypeIdx) return false;
  const word = text.slice(at, end);
  const unitText = text.slice(unit.startOffset, unit.end);
  scan.faults.push(
    fault(at, end, `The class stands before the unit: \`${word} ${unitText}\`.`, [
      writeFix(unit.startOffset, end, `${word} ${unitText}`),
    ]),
  );
  scan.doubtful = true;
  scan.at = end;
  return true;
}

/** `24 ± 5 % N·m`: the unit belongs to the nominal. */
function lexLateUnit(scan: Scan, at: number): boolean {
  const { text, tokens, count } = scan;
  const percent = tokens[count - 1];
  const sign = tokens[count - 3];
  const nominal = tokens[count - 4];
  if (percent?.text !== '%' || sign?.tokenTypeIdx !== PlusMinus.tokenTypeIdx) return false;
  if (nominal === undefined || nominal.tokenTypeIdx !== Numeral.tokenTypeIdx) return false;
  const unit = readUnit(text, at);
  if (unit === undefined) return false;
  const written = text.slice(at, unit.end);
  scan.faults.push(
    fault(
      at,
      unit.end,
      `The unit stands with the value: \`${text.slice(nominal.startOffset, nominal.end)} ${written} ±\`.`,
      [
        {
          title: `Move \`${written}\` to the value`,
          edits: [
            { start: nominal.end, end: nominal.end, text: ` ${written}` },
            { start: percent.end, end: unit.end, text: '' },
          ],
        },
      ],
    ),
  );
  scan.doubtful = true;
  scan.at = unit.end;
  return true;
}

/** Reads a word of an expression: a function before `(`, else a name; false where the expression ends. */
function lexTermWord(scan: Scan): boolean {
  const { text, at } = scan;
  const end = wordEnd(text, at);
  if (afterOperand(scan)) {
    if (isClauseWord(scan, at, end)) return false;
    if (is(scan, Unit) && (lexLateClass(scan, at) || lexLateUnit(scan, at))) return true;
    return false;
  }
  const word = text.slice(at, end);
  if (functions.has(word) && text.charCodeAt(afterBlanks(text, end)) === 40) {
    emit(scan, FunctionWord, at, end, word);
    return true;
  }
  if (scan.last === 0 && !isNameHere(scan)) return false;
  lexName(scan);
  return true;
}
