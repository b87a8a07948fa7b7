/** The canonical layout: what it makes of untidy lines, and that it changes nothing else. */
import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { format, parse, type SourceFile } from '../../grammar/index.ts';

const root = join(import.meta.dirname, '../../samples');
const samples = globSync('**/*.{rebuild,limits,bench}', { cwd: root }).map((name) =>
  readFileSync(join(root, name), 'utf8'),
);

/** The tree without places: what a text says. */
function said(file: SourceFile): unknown {
  return file.blocks
    .filter((block) => block.statement !== undefined)
    .map((block) =>
      JSON.parse(
        JSON.stringify(block.statement, (key, value) => {
          if (key === 'start' || key === 'end' || key === 'keyword') return undefined;
          if (key === 'unit' && value !== undefined && value !== null)
            return (value as { name?: string }).name ?? value;
          if (key === 'clauses')
            return [...(value as { name: string }[])].sort((a, b) => (a.name < b.name ? -1 : 1));
          return value;
        }),
      ),
    );
}

describe('format', () => {
  test.each([
    ['an entry is indented in its step', 'step "A" 2026-05-03\nnote x\n', 'step "A" 2026-05-03\n  note x\n'],
    [
      'a unit gets its canonical spelling',
      'step "A" 2026-05-03\n  torque a to 24N.m\n',
      'step "A" 2026-05-03\n  torque a to 24 N·m\n',
    ],
    ['clauses go in order', 'step "A" 2026-05-03 with TW1 by AQ\n', 'step "A" 2026-05-03 by AQ with TW1\n'],
    ['blanks are one', 'limit   a   0..1   mm\tref "1  2"\n', 'limit a 0..1 mm ref "1  2"\n'],
    [
      'a blank line stands before a step',
      'log "x"\nstep "A" 2026-05-03\nstep "B" 2026-05-04\n',
      'log "x"\n\nstep "A" 2026-05-03\n\nstep "B" 2026-05-04\n',
    ],
    [
      'comments stay where they stood',
      'log "x"   # why\n\n\n# alone\nlimit a 0..1 mm\n',
      'log "x" # why\n\n# alone\nlimit a 0..1 mm\n',
    ],
    [
      'columns are padded',
      'step "A" 2026-05-03\nmeasure a in mm\n||x|long|\n|row|1|2|\n',
      'step "A" 2026-05-03\n  measure a in mm\n    |     | x | long |\n    | row | 1 | 2    |\n',
    ],
    [
      'a note keeps its text',
      'step "A" 2026-05-03\n note  3/8"  drive # text  \n',
      'step "A" 2026-05-03\n  note 3/8"  drive # text\n',
    ],
    ['typographic quotes become plain', 'log “x "y"”\n', 'log "x \\"y\\""\n'],
    [
      'continuation lines stay',
      'fastener a[1..4] M8 torque 24 ± 2 N·m\n... ref "4.1" order 1 2 3 4\n',
      'fastener a[1..4] M8 torque 24 ± 2 N·m\n  ... order 1 2 3 4 ref "4.1"\n',
    ],
    [
      'a line that does not parse keeps its words',
      'step "A" 2026-05-03\n torque  a  to 24 N·m wth  TW1\n',
      'step "A" 2026-05-03\n  torque  a  to 24 N·m wth  TW1\n',
    ],
    [
      'CRLF stays',
      'log "x"\r\nstep "A" 2026-05-03\r\nnote x\r\n',
      'log "x"\r\n\r\nstep "A" 2026-05-03\r\n  note x\r\n',
    ],
  ])('%s', (_, before, after) => {
    expect(format(parse(before))).toBe(after);
  });

  test.each(samples.map((text) => [text.split('\n')[0], text]))('the sample %s is canonical', (_, text) => {
    expect(format(parse(text))).toBe(text);
  });

  test('says the same and is stable, however untidy the text', () => {
    const lines = samples.flatMap((text) => text.split('\n'));
    const untidy = fc
      .array(fc.tuple(fc.constantFrom(...lines), fc.constantFrom('', ' ', '\t', '    ')), { maxLength: 30 })
      .map((parts) =>
        parts.map(([line, blanks]) => blanks + line.replace(/ (?=[a-z])/g, ` ${blanks}`)).join('\n'),
      );
    fc.assert(
      fc.property(untidy, (text) => {
        const file = parse(text);
        const once = format(file);
        expect(said(parse(once))).toEqual(said(file));
        expect(format(parse(once))).toBe(once);
      }),
      { numRuns: 300 },
    );
  });
});
