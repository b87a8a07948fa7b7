/** The parser: every example of the reference, every kind of text, the positions of a file, cells and quantities. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Block,
  blockAt,
  offsetAt,
  parse,
  parseCell,
  parsePath,
  parseQuantity,
  positionAt,
  type SourceFile,
  statementKinds,
} from '../../grammar/index.ts';
import { validatedParser } from '../../grammar/parser.ts';
import { lines } from './lines.ts';
import { faultTexts, pathText, quantityText, spreadText, statementText } from './summary.ts';

test('the grammar passes every check of the parser generator', () => {
  expect(() => validatedParser()).not.toThrow();
});

test('the lines for mutation hold every statement', () => {
  const kinds = parse(lines.join('\n')).blocks.map(({ statement }) => statement?.kind);
  expect(statementKinds.filter((kind) => !kinds.includes(kind))).toEqual([]);
});

/** Every node below a statement that carries a span. */
function* spansOf(node: unknown): Generator<{ start: number; end: number }> {
  if (typeof node !== 'object' || node === null) return;
  if ('start' in node && 'end' in node) yield node as { start: number; end: number };
  for (const value of Object.values(node)) yield* spansOf(value);
}

function checkBlocks(file: SourceFile): void {
  expect(file.blocks.map((block) => block.text).join('')).toBe(file.text);
  let start = 0;
  let line = 0;
  for (const block of file.blocks) {
    expect([block.start, block.line]).toEqual([start, line]);
    start += block.text.length;
    line += block.lineBreaks;
    checkSpans(block);
  }
}

function checkSpans(block: Block): void {
  for (const span of spansOf([block.statement, block.comments, block.faults])) {
    const good = span.start >= 0 && span.start <= span.end && span.end <= block.text.length;
    if (!good) throw new Error(`${JSON.stringify(span)} in ${JSON.stringify(block.text)}`);
  }
  if (block.statement !== undefined) checkNesting(block.statement, block.text);
  for (const { rule, message } of block.faults) {
    expect(message).toMatch(/[.?]$/);
    expect(['syntax', 'unknown-unit', 'missing-unit', 'decimal-comma', 'ambiguous-date']).toContain(rule);
  }
}

/** A node's children lie within it. */
function checkNesting(node: object, text: string): void {
  for (const value of Object.values(node)) {
    for (const child of Array.isArray(value) ? value : [value]) {
      if (typeof child !== 'object' || child === null || !('start' in child)) continue;
      if ('start' in node && 'end' in node) {
        const { start, end } = node as { start: number; end: number };
        if (child.start < start || child.end > end)
          throw new Error(
            `${JSON.stringify(child)} outside ${JSON.stringify(node)} in ${JSON.stringify(text)}`,
          );
      }
      checkNesting(child, text);
    }
  }
}

const mutated = fc
  .tuple(
    fc.constantFrom(...lines),
    fc.array(
      fc.record({
        at: fc.double({ min: 0, max: 1, noNaN: true }),
        removed: fc.nat({ max: 8 }),
        inserted: fc.oneof(
          fc.constant(''),
          fc.constantFrom(
            ...'.,-+/()[]@=?#"“”„…±<>|:·%°\n\r\\ \u00a0é\u0301x0 1 M8 .. ... +/- <= -0.5 '.split(''),
          ),
          fc.constantFrom(
            '..',
            '...',
            '+/-',
            '<=',
            '1/2',
            '1,200',
            '67,53',
            ' with ',
            ' to ',
            ' ± ',
            'M8x1.25 ',
            '\r\n',
          ),
          fc.string({ unit: 'binary', maxLength: 3 }),
          fc.constantFrom(...lines).map((line) => line.slice(0, 20)),
        ),
      }),
      { minLength: 1, maxLength: 4 },
    ),
  )
  .map(([line, edits]) => {
    let text = line;
    for (const { at, removed, inserted } of edits) {
      const start = Math.round(at * text.length);
      text = text.slice(0, start) + inserted + text.slice(start + removed);
    }
    return text;
  });

describe('any text gives a tree, with every span in its block', () => {
  test('random text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 80 }), (text) => checkBlocks(parse(text))),
      { numRuns: 2000 },
    );
  });
  test('lines with slips', () => {
    fc.assert(
      fc.property(fc.array(mutated, { minLength: 1, maxLength: 4 }), (texts) =>
        checkBlocks(parse(texts.join('\n'))),
      ),
      { numRuns: 6000 },
    );
  });
  test('every fix mends or at least moves on: its edits lie in the block and do not overlap', () => {
    fc.assert(
      fc.property(mutated, (text) => {
        for (const block of parse(text).blocks) {
          for (const fix of block.faults.flatMap(({ fixes }) => fixes)) {
            expect(fix.title).not.toBe('');
            const sorted = fix.edits.toSorted((a, b) => a.start - b.start);
            for (const [index, edit] of sorted.entries()) {
              expect(edit.start).toBeGreaterThanOrEqual(sorted[index - 1]?.end ?? 0);
              expect(edit.end).toBeLessThanOrEqual(block.text.length);
            }
          }
        }
      }),
      { numRuns: 3000 },
    );
  });
});

describe('a text that never ends is read in a tree that can be walked', () => {
  const times = 20_000;
  test.each([
    ['parentheses', `limit x = ${'('.repeat(times)}`],
    ['functions', `limit x = ${'min('.repeat(times)}`],
    ['terms', `limit x = a${' + a'.repeat(times)}`],
    ['equivalents', `torque x to ${'24 N·m ('.repeat(times)}`],
    ['sets', `measure x[${'('.repeat(times)}`],
    ['brackets', `measure x${'[a'.repeat(times)}`],
    ['flags', `remove x${' scrap'.repeat(times)}`],
    ['quotes', `remove x because ${'"a'.repeat(times)}`],
    ['names', `covers ${'a '.repeat(times)}`],
    ['unknown units', `measure x = ${'1 foo '.repeat(times)}`],
    ['continuation lines', `note a\n${'... b\n'.repeat(times)}`],
    ['rows', `measure x in mm\n${'| 1 | 2 |\n'.repeat(times)}`],
  ])('%s', (_, text) => {
    const file = parse(text);
    expect(file.blocks.map((block) => block.text).join('')).toBe(text);
    expect(() => JSON.stringify(file.blocks)).not.toThrow();
  });
});

describe('blocks', () => {
  const blocksOf = (text: string) => parse(text).blocks.map((block) => block.text);

  test('a block holds its continuation lines, rows, and the blank lines and comments below', () => {
    expect(
      blocksOf('\n# head\nlog "x"\n\nmeasure a in mm\n# between\n| 1 |\n\nnote b\n  ... more\n# end'),
    ).toEqual([
      '\n# head\n',
      'log "x"\n\n',
      'measure a in mm\n# between\n| 1 |\n\n',
      'note b\n  ... more\n# end',
    ]);
  });
  test('an empty text has none, blanks alone have one without a statement', () => {
    expect(blocksOf('')).toEqual([]);
    expect(parse(' \n').blocks.map(({ statement, faults }) => [statement, faults])).toEqual([
      [undefined, []],
    ]);
  });
  test('a mark of byte order is a blank', () => {
    expect(statementText(parse('\uFEFFlog "x"\r\n').blocks[0]!.statement!)).toBe('log; text x');
  });
  test('a statement goes on over its lines; spans count from the block', () => {
    const [, block] = parse('log "x"\nremove valve[1] # out\r\n  ... because "burnt"  # why\n').blocks;
    expect(statementText(block!.statement!)).toBe('remove; target valve[1]; because burnt');
    expect(block!.comments.map(({ start, end }) => block!.text.slice(start, end))).toEqual([
      '# out',
      '# why',
    ]);
    const [because] = block!.statement!.clauses;
    expect(block!.text.slice(because!.start, because!.end)).toBe('because "burnt"');
    expect(block!.text.slice(block!.statement!.start, block!.statement!.end)).toBe(
      'remove valve[1] # out\r\n  ... because "burnt"',
    );
  });
  test('a note takes its lines as they stand', () => {
    const [block] = parse('note  The 3/8" drive # here  \n ...   [and "there"\n').blocks;
    expect(block?.statement?.note?.text).toBe('The 3/8" drive # here [and "there"');
    expect(block?.comments).toEqual([]);
  });
  test('rows are cut into cells; the last bar may be missing, a comment may follow', () => {
    const [block] = parse('measure a in mm\n |  | top|"a|b" \n|1 |?| # so\n||\n').blocks;
    expect(block?.statement?.rows.map(({ cells }) => cells.map(({ text }) => text))).toEqual([
      ['', 'top', '"a|b"'],
      ['1', '?'],
      [''],
    ]);
    expect(block?.comments.length).toBe(1);
    expect(block?.faults).toEqual([]);
  });
  test('rows and continuation lines that belong to nothing', () => {
    const faults = (text: string) => parse(text).blocks.flatMap(faultTexts);
    expect(faults('| 1 |\n')).toEqual([
      'syntax «| 1 |» This row belongs to no table: nothing stands above it.',
    ]);
    expect(faults('... x')).toEqual(['syntax «... x» `...` continues the line above, and there is none.']);
    expect(faults('note a\n\n... b\n')).toEqual([
      'syntax «... b» `...` continues the line directly above: nothing may stand between.',
    ]);
    expect(faults('measure a in mm\n| 1 |\n... by AQ\n')).toEqual([
      'syntax «... by AQ» `...` continues a statement, not a table: put it above the rows.',
    ]);
    expect(faults('remove a\n| 1 |\n| 2 |\n')).toEqual([
      'syntax «| 1 |» `remove` takes no table; rows stand below `measure`.',
    ]);
  });
  test('below an unknown first word nothing more is told', () => {
    const [block] = parse('mesure a in mm wiht X # so\n| 1 |\n').blocks;
    expect(block?.faults.map(({ start, end }) => block.text.slice(start, end))).toEqual(['mesure']);
    expect([block?.statement?.kind, block?.statement?.broken]).toEqual(['unknown', true]);
    expect(block?.comments.length).toBe(1);
  });
});

describe('positions', () => {
  const file = parse('log "é"\r\n\r\n# x\nnote a\rnote b\n... c\n\nnote end');

  test.each([
    [0, 0, 0],
    [7, 0, 7],
    [9, 1, 0],
    [11, 2, 0],
    [15, 3, 0],
    [22, 4, 0],
    [29, 5, 0],
    [35, 6, 0],
    [36, 7, 0],
    [44, 7, 8],
  ])('offset %i stands in line %i, column %i', (offset, line, column) => {
    expect(positionAt(file, offset)).toEqual({ line, column });
    expect(offsetAt(file, line, column)).toBe(offset);
  });
  test('what lies outside is the nearest end', () => {
    expect(positionAt(file, 999)).toEqual({ line: 7, column: 8 });
    expect(positionAt(file, -1)).toEqual({ line: 0, column: 0 });
    expect(offsetAt(file, 0, 99)).toBe(7);
    expect(offsetAt(file, 99, 0)).toBe(44);
    expect(offsetAt(file, -1, 5)).toBe(0);
    expect(positionAt(parse(''), 0)).toEqual({ line: 0, column: 0 });
    expect(offsetAt(parse(''), 0, 0)).toBe(0);
  });
  test('a text that ends with a line break has a last, empty line', () => {
    expect(positionAt(parse('note a\n'), 7)).toEqual({ line: 1, column: 0 });
    expect(offsetAt(parse('note a\n'), 1, 0)).toBe(7);
    expect(offsetAt(parse('note a\n'), 2, 0)).toBe(7);
  });
  test('every offset is found again', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...lines, '\r\n', '\n', '\r'), { maxLength: 20 }), (parts) => {
        const some = parse(parts.join('\n'));
        for (let offset = 0; offset <= some.text.length; offset += 1 + (offset % 7)) {
          const { line, column } = positionAt(some, offset);
          const insideBreak = some.text.slice(offset - 1, offset + 1) === '\r\n';
          if (!insideBreak) expect(offsetAt(some, line, column)).toBe(offset);
        }
      }),
      { numRuns: 200 },
    );
  });
  test('the block at an offset', () => {
    expect(blockAt(file, 16)?.text).toBe('note a\r');
    expect(blockAt(file, 999)?.text).toBe('note end');
    expect(blockAt(parse(''), 0)).toBeUndefined();
  });
});

describe('cells, headings and quantities by themselves', () => {
  const cell = (text: string) => {
    const { value, faults } = parseCell(text, 10);
    for (const span of spansOf([value, faults])) expect(span.start).toBeGreaterThanOrEqual(10);
    return [value === undefined ? undefined : spreadText(value), ...faults.map(({ rule }) => rule)];
  };
  test.each([
    ['67.532', '67.532'],
    ['67.532 mm', '67.532 mm'],
    ['0.30..0.35', '0.30 to 0.35'],
    ['<= 0.02 bar', 'at-most 0.02 bar'],
    ['"165"', '"165"'],
    ['?', '?'],
    ['? mm', '? mm'],
    ['', undefined],
    ['  ', undefined],
  ])('%j reads %j', (text, expected) => expect(cell(text)).toEqual([expected]));
  test.each([
    ['-', 'syntax'],
    ['n/a', 'syntax'],
    ['67,53', 'decimal-comma'],
    ['24 ± 2', 'syntax'],
    ['3 5', 'syntax'],
    ['3 mmm', 'unknown-unit'],
    ['ok', 'syntax'],
    ['5 mm with', 'unknown'],
  ])('%j is told', (text, rule) => expect(cell(text)[1]).toBe(rule === 'unknown' ? 'syntax' : rule));

  test('a plain number in a cell is what it is behind `=`', () => {
    const plain = fc.oneof(
      fc.nat().map(String),
      fc.tuple(fc.nat(), fc.stringMatching(/^\d{1,12}$/)).map((parts) => parts.join('.')),
      fc.stringMatching(/^0{0,3}\d{1,20}$/),
    );
    fc.assert(
      fc.property(plain, (text) => {
        const line = `measure bore = ${text}`;
        const { statement, faults } = parse(line).blocks[0]!;
        expect(parseCell(text, line.length - text.length)).toEqual({ value: statement!.value, faults });
      }),
    );
  });

  const heading = (text: string) => {
    const { path, faults } = parsePath(text, 3);
    return [path === undefined ? undefined : pathText(path), ...faults.map(({ rule }) => rule)];
  };
  test.each([
    ['top', 'top'],
    ['front/top', 'front/top'],
    ['1', '1'],
    ['1..4', '1..4'],
    ['(top middle)/pin', '(top middle)/pin'],
    ['', undefined],
  ])('the heading %j reads %j', (text, expected) => expect(heading(text)).toEqual([expected]));
  test.each(['top left', 'top / left', '"top"', 'all', '-'])('the heading %j is told', (text) =>
    expect(heading(text)[1]).toBe('syntax'),
  );

  test.each([
    ['88 ft·lbf', '88 ft·lbf'],
    ['1-3/8in', '1-3/8 in'],
    ['1 h 20 min', '1 h and 20 min'],
    ['24', '24'],
  ])('the quantity %j reads %j', (text, expected) => {
    const { quantity, faults } = parseQuantity(text);
    expect([quantity && quantityText(quantity), faults]).toEqual([expected, []]);
  });
  test.each(['', 'mm', '24 N·m x', '24..26 mm', '24 N·mm·s'])('the quantity %j is told', (text) =>
    expect(parseQuantity(text).faults.length).toBeGreaterThan(0),
  );
});
