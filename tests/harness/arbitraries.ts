/**
 * Random files of the language, drawn from its table: each as somebody might type it, and in canonical form.
 *
 * The canonical text is built here, piece by piece beside the untidy one, and not by the formatter.
 */
import fc from 'fast-check';
import {
  type ClauseSpec,
  type FixedSpec,
  type StatementKind,
  type StatementSpec,
  statementKinds,
  statements,
  type ValueKind,
} from '../../grammar/index.ts';

/** The same words twice: in canonical form, and as somebody typed them. */
export interface Words {
  readonly tidy: string;
  readonly untidy: string;
}
type Arbitrary = fc.Arbitrary<Words>;

const same = (text: string): Words => ({ tidy: text, untidy: text });
const oneOf = (...texts: readonly string[]): Arbitrary => fc.constantFrom(...texts.map(same));
const spelled = (tidy: string, ...others: readonly string[]): Arbitrary =>
  fc.constantFrom(tidy, ...others).map((untidy) => ({ tidy, untidy }));

/** Blanks where one belongs. */
const blanks = fc.constantFrom(' ', ' ', ' ', '  ', '\t', '\u00a0', ' \u2009 ');
/** Blanks, or none, where none belong. */
const noBlanks = fc.constantFrom('', '', ' ', '  ');

/** Words one after the other; a `tidy` separator between, any of `untidy` where somebody typed. */
function sequence(parts: readonly Arbitrary[], tidy: string, untidy: fc.Arbitrary<string>): Arbitrary {
  return fc
    .tuple(fc.tuple(...parts), fc.array(untidy, { minLength: parts.length, maxLength: parts.length }))
    .map(([words, separators]) => ({
      tidy: words.map((word) => word.tidy).join(tidy),
      untidy: words.map((word, index) => (index === 0 ? '' : separators[index]) + word.untidy).join(''),
    }));
}
const spaced = (...parts: readonly Arbitrary[]) => sequence(parts, ' ', blanks);
const glued = (...parts: readonly Arbitrary[]) => sequence(parts, '', noBlanks);
const joined = (...parts: readonly Arbitrary[]) => sequence(parts, '', fc.constant(''));
const listOf = (part: Arbitrary, tidy: string, untidy: fc.Arbitrary<string>): Arbitrary =>
  fc.integer({ min: 1, max: 4 }).chain((length) =>
    sequence(
      Array.from({ length }, () => part),
      tidy,
      untidy,
    ),
  );

const blankOrComma = fc.constantFrom(' ', ', ', ',', '  ', ' , ');
const someCommas = fc.constantFrom(', ', ',', ' ,  ');

const name = oneOf('bore', 'case-m8', 'kolben-vorn', 'été', 'AQ', 'x_1', 'M8', 'R2');
const number = oneOf('24', '24.0', '.5', '-0.02', '3/8', '1-3/8', '1⅜', '−0.5', '67.500', '0');
const unit: Arbitrary = fc.oneof(
  spelled('N·m', 'N.m', 'Nm', 'N*m', 'N-m', 'N m'),
  spelled('mm', 'millimetres'),
  spelled('in·lbf', 'in-lb', 'inlb', 'lb-in', 'in.lbf'),
  spelled('°C', 'C', 'degC'),
  spelled('h', 'hr', 'hours'),
  spelled('cm³', 'cc', 'mL'),
  spelled('mm²', 'mm2'),
  oneOf('bar', 'psi', 'thou', '%', 'N/mm'),
);
const qualifier = oneOf('TIR', 'BTDC', 'ATDC');

const bareQuantity: Arbitrary = sequence([number, unit], ' ', fc.constantFrom(' ', '', '  ', '\u00a0'));
const quantity: Arbitrary = fc.oneof(
  { weight: 6, arbitrary: bareQuantity },
  spaced(bareQuantity, qualifier),
  oneOf('1 h 20 min', '? mm'),
  spaced(bareQuantity, parenthesised(bareQuantity)),
);
function parenthesised(inside: Arbitrary): Arbitrary {
  return glued(oneOf('('), inside, oneOf(')'));
}
const run = glued(number, oneOf('..'), bareQuantity);
const bound: Arbitrary = fc.oneof(
  spaced(spelled('<=', '≤'), bareQuantity),
  spaced(spelled('>=', '≥'), bareQuantity),
);
const spread: Arbitrary = fc.oneof(
  quantity,
  run,
  sequence([bareQuantity, oneOf('..'), bareQuantity], ' ', fc.constantFrom('', ' ')),
  bound,
  spaced(number, spelled('±', '+/-'), number, unitWord()),
  spaced(bareQuantity, spelled('±', '+/-'), oneOf('5 %', '2')),
  spaced(spaced(number, spelled('±', '+/-'), number, unitWord()), parenthesised(bareQuantity)),
  spaced(oneOf('42'), glued(oneOf('+0.02'), oneOf('/'), oneOf('-0.01')), oneOf('mm', 'in')),
  spaced(oneOf('42'), oneOf('H8', 'g6'), unitWord()),
);
function unitWord(): Arbitrary {
  return spelled('mm', 'millimetres');
}
const reading: Arbitrary = fc.oneof(quantity, run, bound, string());

function string(): Arbitrary {
  return fc.oneof(
    oneOf('"3.1"', '"a | b # c"', '"two  blanks"', '"said \\"so\\""', '""'),
    spelled('"fitted 12 May"', '“fitted 12 May”', '„fitted 12 May“'),
    spelled('"a \\"b\\""', '“a "b"”'),
  );
}

const plainSegment = oneOf('front', 'top', '1', '12', '1..4', 'os1');
const set = glued(oneOf('('), listOf(plainSegment, ' ', blankOrComma), oneOf(')'));
const path: Arbitrary = fc.oneof(
  plainSegment,
  joined(plainSegment, oneOf('/'), plainSegment),
  joined(set, oneOf('/'), plainSegment),
  set,
);
const paths = listOf(path, ' ', blankOrComma);
const items = glued(oneOf('['), fc.oneof(paths, oneOf('all', 'ordered')), oneOf(']'));
const target: Arbitrary = fc.oneof(
  name,
  glued(name, items),
  spaced(name, oneOf('@'), path),
  spaced(glued(name, items), oneOf('@'), path),
);

const reference: Arbitrary = fc.oneof(name, glued(name, items));
const operator: Arbitrary = fc.oneof(oneOf('+', '-', '/'), spelled('*', '×'));
const call = glued(oneOf('mean', 'out-of-round', 'max'), oneOf('('), reference, oneOf(')'));
const expression: Arbitrary = fc.oneof(
  reference,
  call,
  spaced(reference, operator, reference),
  spaced(oneOf('2'), spelled('*', '×'), glued(oneOf('('), spaced(reference, operator, call), oneOf(')'))),
  glued(oneOf('min('), sequence([reference, call], ', ', someCommas), oneOf(')')),
);

const date = oneOf('2026-05-03', '2024-02-29');
const time = oneOf('17:40', '09:05:30', '17:40Z', '17:40+02:00');
const dateAndTime = sequence([date, time], ' ', fc.constantFrom(' ', 'T', '  '));
const when: Arbitrary = fc.oneof(date, dateAndTime, oneOf('?'));

const grade: Arbitrary = fc.oneof(name, oneOf('2', '"0.25"', '?'));
const layout = fc.oneof(oneOf('circle'), spaced(oneOf('rows'), oneOf('2', '4')));

function wordsOf(kind: ValueKind, clause?: ClauseSpec): Arbitrary {
  switch (kind) {
    case 'name':
      return name;
    case 'names':
      return clause?.name === 'by' ? listOf(name, ', ', blankOrComma) : listOf(name, ' ', blankOrComma);
    case 'string':
      return fc.oneof(string(), oneOf('?'));
    case 'strings':
      return listOf(string(), ' ', blankOrComma);
    case 'choice':
      return oneOf(...(clause?.choices ?? []));
    case 'quantity':
      return quantity;
    case 'quantities':
    case 'spreads':
      return listOf(bareQuantity, ', ', someCommas);
    case 'spread':
      return spread;
    case 'value':
      return reading;
    case 'limit-value':
      return fc.oneof(spread, listOf(string(), ' ', blankOrComma));
    case 'when':
      return clause?.name === 'at' ? fc.oneof(when, time) : when;
    case 'target':
      return target;
    case 'targets':
      return listOf(target, ' ', fc.constantFrom(', ', ' , ', '  ', ' '));
    case 'members':
      return listOf(reference, ', ', someCommas);
    case 'expression':
      return expression;
    case 'unit':
      return fc.oneof(unit, spaced(unit, qualifier));
    case 'thread':
      return fc.oneof(oneOf('M8', 'M8x1.25', 'M8×1.25', '#10-32 UNF'), spaced(oneOf('1/4-20'), oneOf('UNC')));
    case 'class':
      return oneOf('8.8', 'A2-70', '"Grade 5"', '?');
    case 'grade':
      return grade;
    case 'integer':
      return oneOf('1', '2');
    case 'order':
      return fc.oneof(
        oneOf('any'),
        listOf(fc.oneof(oneOf('1', '2..4', '10'), plainSegment), ' ', blankOrComma),
      );
    case 'layout':
      return layout;
    case 'adapter':
      return fc.oneof(bareQuantity, sequence([bareQuantity, bareQuantity], ', ', someCommas));
    case 'until':
      return fc.oneof(bareQuantity, date);
    case 'target-grade':
      return spaced(reference, grade);
    case 'tolerance':
      return spaced(spelled('±', '+/-'), bareQuantity);
    case 'inspection':
      return fc.oneof(name, string());
    case 'mark':
      return oneOf('9f3c0d1e7a55b2c4');
    case 'note':
      return oneOf('Used the 3/8"  drive # all of this is text', '[a "b', 'x');
    case 'flag':
    case 'word':
      throw new Error(`nothing follows a ${kind}`);
  }
}

/** A clause, or several words of it. */
function clauseOf(clause: ClauseSpec): Arbitrary {
  if (clause.value === 'flag') return oneOf(...clause.words);
  if (clause.value === 'word') {
    if (clause.several !== true) return oneOf(...clause.words);
    const [first = '', second = ''] = clause.words;
    return fc.oneof(oneOf(first, second), spelled(`${first} ${second}`, `${second}  ${first}`));
  }
  const [word = ''] = clause.words;
  return spaced(oneOf(word), wordsOf(clause.value, clause));
}

function fixedOf(fixed: FixedSpec): Arbitrary {
  const value = wordsOf(fixed.value);
  return fixed.after === undefined ? value : spaced(oneOf(fixed.after), value);
}

const rows: Arbitrary = fc
  .array(fc.array(fc.oneof(reading, oneOf('top', 'front/pin', '', '')), { minLength: 2, maxLength: 3 }), {
    minLength: 1,
    maxLength: 3,
  })
  .chain((table) =>
    fc
      .array(fc.tuple(noBlanks, noBlanks, fc.boolean()), { minLength: table.length, maxLength: table.length })
      .map((habits) => {
        const widths: number[] = [];
        for (const cells of table)
          for (const [column, cell] of cells.entries())
            widths[column] = Math.max(widths[column] ?? 0, cell.tidy.length);
        return {
          tidy: table
            .map(
              (cells) =>
                `| ${cells.map((cell, column) => cell.tidy.padEnd(widths[column] ?? 0)).join(' | ')} |`,
            )
            .join('\n'),
          untidy: table
            .map((cells, index) => {
              const [before, after, closed] = habits[index] ?? ['', '', true];
              const bare = cells.map((cell) => before + cell.untidy + after).join('|');
              return `|${bare}${closed || cells.at(-1)?.untidy === '' ? '|' : ''}`;
            })
            .join('\n'),
        };
      }),
  );

/** A statement over one line or several, and the table below it: `lines` are its own, `rows` those of its table. */
export interface StatementWords {
  readonly kind: StatementKind;
  readonly lines: readonly Words[];
  readonly rows: readonly Words[];
}

/** Which parts stand: those that must, one of those of which one must, others by chance. */
function partsOf(spec: StatementSpec): fc.Arbitrary<ReadonlySet<string>> {
  const optional = [
    ...spec.fixed.filter((one) => one.optional === true).map((one, index) => `fixed ${one.name} ${index}`),
    ...spec.clauses.filter((one) => one.required !== true).map((one) => `clause ${one.name}`),
    ...(spec.rows === true ? ['rows'] : []),
  ];
  return fc.subarray(optional).map((chosen) => new Set(chosen));
}

function hasPart(parts: ReadonlySet<string>, name: string): boolean {
  return [...parts].some((part) => part === name || part.split(' ')[1] === name);
}

export function statementOf(kind: StatementKind): fc.Arbitrary<StatementWords> {
  const spec = statements[kind];
  return partsOf(spec)
    .filter((parts) => spec.oneOf === undefined || spec.oneOf.some((one) => hasPart(parts, one)))
    .chain((parts) => {
      let optional = 0;
      const fixed = spec.fixed.filter(
        (one) => one.optional !== true || parts.has(`fixed ${one.name} ${optional++}`),
      );
      const clauses = spec.clauses.filter((one) => one.required === true || parts.has(`clause ${one.name}`));
      const head = spaced(oneOf(spec.keyword), ...fixed.map(fixedOf));
      const comment = fc.constantFrom('', '', '', '# why', '#  "so" | 1');
      return fc.record({
        kind: fc.constant(kind),
        head,
        clauses: fc.tuple(...clauses.map(clauseOf)),
        order: fc.shuffledSubarray(
          clauses.map((_, index) => index),
          { minLength: clauses.length, maxLength: clauses.length },
        ),
        breaks: fc.array(fc.constantFrom(false, false, false, true), {
          minLength: clauses.length,
          maxLength: clauses.length,
        }),
        comments: fc.array(kind === 'note' ? fc.constant('') : comment, {
          minLength: clauses.length + 1,
          maxLength: clauses.length + 1,
        }),
        gap: blanks,
        table: parts.has('rows') ? rows : fc.constant(undefined),
      });
    })
    .map(({ head, clauses, order, breaks, comments, gap, table }) => {
      const groups: number[][] = [[]];
      for (const [place, index] of order.entries()) {
        if (breaks[place] === true) groups.push([]);
        groups.at(-1)?.push(index);
      }
      const lines = groups.map((group, line) => {
        const comment = comments[line] ?? '';
        const tidy = group.toSorted((a, b) => a - b).map((index) => clauses[index]?.tidy ?? '');
        const untidy = group.map((index) => clauses[index]?.untidy ?? '');
        const first: Words = line === 0 ? head : same('...');
        return {
          tidy: [first.tidy, ...tidy, comment].filter((part) => part !== '').join(' '),
          untidy: [first.untidy, ...untidy, comment].filter((part) => part !== '').join(gap),
        };
      });
      const cut = (text: string | undefined) => (text === undefined ? [] : text.split('\n'));
      const untidyRows = cut(table?.untidy);
      return {
        kind,
        lines,
        rows: cut(table?.tidy).map((tidy, index) => ({ tidy, untidy: untidyRows[index] ?? '' })),
      };
    });
}

const anyStatement: fc.Arbitrary<StatementWords> = fc.constantFrom(...statementKinds).chain(statementOf);

/** A whole file: blank lines, comments of their own, untidy indents, either line break, perhaps a byte order mark. */
export const anyFile: Arbitrary = fc
  .record({
    parts: fc.array(
      fc.record({
        statement: anyStatement,
        blankLines: fc.nat({ max: 2 }),
        comment: fc.constantFrom('', '', '', '# on its own'),
        indents: fc.array(fc.constantFrom('', ' ', '  ', '\t', '      '), { minLength: 8, maxLength: 8 }),
        trailing: fc.constantFrom('', '', ' ', '\t '),
      }),
      { minLength: 1, maxLength: 12 },
    ),
    newline: fc.constantFrom('\n', '\r\n'),
    mark: fc.constantFrom('', '', '', '\ufeff'),
    end: fc.constantFrom('', '\n', '\n\n \n'),
  })
  .map(({ parts, newline, mark, end }) => {
    const tidy: string[] = [];
    const untidy: string[] = [];
    let inStep = false;
    for (const { statement, blankLines, comment, indents, trailing } of parts) {
      const { place } = statements[statement.kind];
      const indent = place === 'entry' && inStep ? '  ' : '';
      if (place === 'step') inStep = true;
      if (place === 'closing') inStep = false;
      for (let count = 0; count < blankLines; count++) untidy.push(indents[count] ?? '');
      if (tidy.length > 0 && (blankLines > 0 || place === 'step')) tidy.push('');
      if (comment !== '') {
        tidy.push(indent + comment);
        untidy.push((indents[2] ?? '') + comment + trailing);
      }
      for (const [index, line] of statement.lines.entries()) {
        tidy.push(`${indent}${index === 0 ? '' : '  '}${line.tidy}`);
        untidy.push((indents[3 + index] ?? '') + line.untidy + trailing);
      }
      for (const row of statement.rows) {
        tidy.push(`${indent}  ${row.tidy}`);
        untidy.push((indents[7] ?? '') + row.untidy + trailing);
      }
    }
    return {
      tidy: `${mark}${tidy.join(newline)}${newline}`,
      // One line does not tell which line break its file has.
      untidy: `${mark}${untidy.join(newline)}${newline}${end.replaceAll('\n', newline)}`,
    };
  });
