/** Reads the trade's own words: threads, property classes, marks, and the unit of a table. */
import { unquotedEnd } from './lex-values.ts';
import { decimalComma, fault, unknownUnit, writeFix } from './syntax-errors.ts';
import {
  afterBlanks,
  Code,
  emit,
  isDigit,
  isLetterAt,
  isQuote,
  lexText,
  Placeholder,
  Qualifier,
  runEnd,
  type Scan,
  skipBlanks,
  Unit,
  wordEnd,
} from './tokens.ts';
import { readUnit } from './unit-spellings.ts';

const metric = /M(\d+(?:\.\d+)?)(?:[x×](\d+(?:\.\d+)?))?(?![\p{L}\p{N}_])/uy;
const looseMetric = /[Mm](\d+(?:[.,]\d+)?)(?:\s*[xX×*-]\s*(\d+(?:[.,]\d+)?))?(?![\p{L}\p{N}_])/uy;
const unified = /(?:#\d{1,2}|(?:\d+-)?\d+\/\d+|\d+)-\d+(?![\p{L}\p{N}_/])/uy;
const looseUnified = /(#?)((?:\d+[- ])?\d+\/\d+|\d+(?:\.\d+)?)["″]?\s*[-x×]\s*(\d+)(?![\p{L}\p{N}_/])/uy;
const series = /(?:UNC|UNF|UNEF|UNS|UNR?|UNRC|UNRF|UNJ[CF]?|[48]UN|1[26]UN|20UN)(?![\p{L}\p{N}_])/uy;
const qualifier = /(?:TIR|FIM|BTDC|ATDC|BBDC|ABDC)(?![\p{L}\p{N}_-])/uy;

function matchAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

/** Reads a thread, if one stands here: `M8x1.25`, `1/4-20 UNC`, `#10-32 UNF`. */
export function lexThread(scan: Scan): void {
  if (!skipBlanks(scan)) return;
  const { text, at } = scan;
  const code = text.charCodeAt(at);
  if (code === 77 || code === 109) lexMetricThread(scan);
  else if (code === 35 || (isDigit(code) && /^\d+[-/"]/.test(text.slice(at, at + 8)))) lexUnifiedThread(scan);
}

function lexMetricThread(scan: Scan): void {
  const { text, at } = scan;
  const exact = matchAt(metric, text, at);
  const loose = matchAt(looseMetric, text, at);
  if (loose === null) return;
  const end = at + loose[0].length;
  if (exact !== null && exact[0].length === loose[0].length) {
    emit(scan, Code, at, end, exact[0].replace('×', 'x'));
    return;
  }
  const written = loose[0];
  const comma = written.includes(',');
  const mended = `M${loose[1]}${loose[2] === undefined ? '' : `x${loose[2]}`}`.replaceAll(',', '.');
  if (comma)
    scan.faults.push({ ...decimalComma(at, end, written, false), fixes: [writeFix(at, end, mended)] });
  else
    scan.faults.push(
      fault(
        at,
        end,
        `A thread is written ${/\s/.test(written) ? 'without blanks: ' : ''}\`${mended}\`, not \`${written}\`.`,
        [writeFix(at, end, mended)],
      ),
    );
  emit(scan, Code, at, end, mended);
}

function lexUnifiedThread(scan: Scan): void {
  const { text, at } = scan;
  const exact = matchAt(unified, text, at);
  let end: number;
  let thread: string;
  let isSignMissing = false;
  if (exact !== null) {
    end = at + exact[0].length;
    thread = exact[0];
    // `10-32` is a number size, and those carry their `#`.
    isSignMissing = /^\d+-\d+$/.test(thread) && Number(thread.split('-')[0]) > 4;
    if (isSignMissing) thread = `#${thread}`;
  } else {
    const loose = matchAt(looseUnified, text, at);
    if (loose === null) {
      const stop = runEnd(scan, at);
      scan.faults.push(
        fault(
          at,
          stop,
          `A thread is written as in \`M8x1.25\`, \`1/4-20 UNC\` or \`#10-32 UNF\`, not \`${text.slice(at, stop)}\`.`,
        ),
      );
      scan.doubtful = true;
      emit(scan, Code, at, stop, text.slice(at, stop));
      return;
    }
    end = at + loose[0].length;
    thread = `${loose[1]}${(loose[2] ?? '').replace(' ', '-')}-${loose[3]}`;
    scan.faults.push(
      fault(at, end, `An inch thread is written size-pitch: \`${thread}\`.`, [writeFix(at, end, thread)]),
    );
  }
  const next = afterBlanks(text, end);
  const written = matchAt(series, text, next);
  const isSeriesMissing = written === null && !/^un/i.test(text.slice(next, next + 2));
  // Where the series is missing too, one fix writes both.
  if (isSignMissing && !isSeriesMissing)
    scan.faults.push(
      fault(at, end, `A number size carries its sign: \`${thread}\`.`, [writeFix(at, end, thread)]),
    );
  if (written === null) {
    const stop = isLetterAt(text, next) ? wordEnd(text, next) : next;
    const word = text.slice(next, stop);
    if (word !== '' && /^un/i.test(word)) {
      scan.faults.push(
        fault(
          next,
          stop,
          `\`${word}\` is no thread series.`,
          ['UNC', 'UNF', 'UNEF'].map((one) => writeFix(next, stop, one)),
        ),
      );
      emit(scan, Code, at, stop, `${thread} ${word}`);
      scan.doubtful = true;
      return;
    }
    scan.faults.push(
      fault(
        at,
        end,
        `\`${thread}\` lacks its series: \`${thread} UNC\` or \`${thread} UNF\`.`,
        ['UNC', 'UNF'].map((one) => ({
          title: `Write \`${thread} ${one}\``,
          edits: [{ start: at, end, text: `${thread} ${one}` }],
        })),
      ),
    );
    scan.doubtful = true;
    emit(scan, Code, at, end, thread);
    return;
  }
  emit(scan, Code, at, next + written[0].length, `${thread} ${written[0]}`);
}

const propertyClass = /(?:\d{1,2}(?:\.\d{1,2})?|[A-Z]\d{1,2}-\d{2,3})(?![\p{L}\p{N}_.,-])/uy;

/** Reads a property class: `8.8`, `A2-70`, a text in quotes, `?`. */
export function lexClass(scan: Scan): void {
  if (!skipBlanks(scan)) return;
  const { text, at } = scan;
  const code = text.charCodeAt(at);
  if (code === 63) {
    emit(scan, Placeholder, at, at + 1, '?');
    return;
  }
  if (isQuote(code)) {
    lexText(scan);
    return;
  }
  const exact = matchAt(propertyClass, text, at);
  if (exact !== null) {
    emit(scan, Code, at, at + exact[0].length, exact[0]);
    return;
  }
  if (isLetterAt(text, at) && scan.clauses.has(text.slice(at, wordEnd(text, at)))) return;
  const end = isLetterAt(text, at) ? unquotedEnd(scan, at, false) : runEnd(scan, at);
  const written = text.slice(at, end);
  if (/^\d+,\d+$/.test(written)) {
    scan.faults.push(decimalComma(at, end, written, false));
    emit(scan, Code, at, end, written.replace(',', '.'));
    return;
  }
  scan.faults.push(
    fault(at, end, 'A property class is written as in `8.8` or `A2-70`; any other stands in quotes.', [
      writeFix(at, end, `"${written.replaceAll('"', '')}"`),
    ]),
  );
  emit(scan, Code, at, end, written);
}

/** Reads a mark: 16 or 64 lower-case hexadecimal digits. */
export function lexMark(scan: Scan): void {
  if (!skipBlanks(scan)) return;
  const { text, at } = scan;
  const word = isLetterAt(text, at) ? text.slice(at, wordEnd(text, at)) : '';
  if (scan.clauses.has(word)) return;
  const end = runEnd(scan, at);
  const written = text.slice(at, end);
  if (!/^(?:[0-9a-f]{16}|[0-9a-f]{64})$/.test(written)) {
    const lower = written.toLowerCase();
    const isUpperCase = /^(?:[0-9a-f]{16}|[0-9a-f]{64})$/.test(lower);
    scan.faults.push(
      fault(
        at,
        end,
        isUpperCase
          ? 'A mark is written in lower-case digits.'
          : `A mark is 16 or 64 hexadecimal digits (0 to 9, a to f); \`witnessmark mark\` writes it.`,
        isUpperCase ? [writeFix(at, end, lower)] : [],
      ),
    );
    if (!isUpperCase) scan.doubtful = true;
    emit(scan, Code, at, end, isUpperCase ? lower : written);
    return;
  }
  emit(scan, Code, at, end, written);
}

/** Reads a unit by itself and the qualifier that may follow. */
export function lexUnit(scan: Scan): void {
  if (!skipBlanks(scan)) return;
  const { text, at } = scan;
  const unit = readUnit(text, at);
  if (unit !== undefined) {
    emit(scan, Unit, at, unit.end, unit.name);
    lexQualifierAfter(scan);
    return;
  }
  const code = text.charCodeAt(at);
  if (isQuote(code)) return;
  const end = isLetterAt(text, at) ? wordEnd(text, at) : runEnd(scan, at);
  if (scan.clauses.has(text.slice(at, end))) return;
  const stop = runEnd(scan, at);
  scan.faults.push(unknownUnit(at, stop, text.slice(at, stop), scan.clauses));
  emit(scan, Unit, at, stop, '');
}

function lexQualifierAfter(scan: Scan): void {
  const at = afterBlanks(scan.text, scan.at);
  if (at >= scan.end) return;
  const match = matchAt(qualifier, scan.text, at);
  if (match !== null) emit(scan, Qualifier, at, at + match[0].length, match[0]);
}
