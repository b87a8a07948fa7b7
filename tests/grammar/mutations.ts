/** Lines with slips of every sort, for tests that must hold for any text. */
import fc from 'fast-check';
import { lines } from './lines.ts';

const insertions = [
  ...'.,-+/()[]@=?#"“”„…±<>|:·%°\n\r\\ \u00a0\u200bé\u0301x0',
  '..',
  '...',
  '+/-',
  '<=',
  ' with ',
  ' to ',
  ' in ',
  'M8x1.25 ',
  '\r\n',
  '\n... ',
  '\n| 1 | 2 |',
  ' # so',
];

/** A line of the language with up to four pieces cut out and put in. */
export const mutatedLine: fc.Arbitrary<string> = fc
  .tuple(
    fc.constantFrom(...lines),
    fc.array(
      fc.record({
        at: fc.double({ min: 0, max: 1, noNaN: true }),
        removed: fc.nat({ max: 4 }),
        inserted: fc.oneof(fc.constant(''), fc.constantFrom(...insertions)),
      }),
      { maxLength: 4 },
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

/** A file of such lines, blank ones between, with or without a mark of byte order and a last line break. */
export const mutatedFile: fc.Arbitrary<string> = fc
  .tuple(
    fc.constantFrom('', '', '\ufeff'),
    fc.array(fc.tuple(mutatedLine, fc.constantFrom('\n', '\r\n', '\n\n', '\n \n', '')), { maxLength: 12 }),
  )
  .map(([mark, parts]) => mark + parts.flat().join(''));
