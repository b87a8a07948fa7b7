/** The canonical layout: what it makes of untidy lines, and that it changes nothing else. */
import { globSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  canonicalStatement,
  type FormatEdit,
  format,
  formatEdits,
  parse,
  type SourceFile,
} from '../../grammar/index.ts';
import { anyFile } from '../harness/arbitraries.ts';
import { mutatedFile } from './mutations.ts';

const root = join(import.meta.dirname, '../../samples');
const samples = globSync('**/*.{rebuild,limits,bench}', { cwd: root }).map(
  (name) => [name, readFileSync(join(root, name), 'utf8')] as const,
);

const step = 'step "A" 2026-05-03\n';

/** Each: what is shown, the text, its canonical form. */
const cases: Readonly<Record<string, readonly (readonly [string, string, string])[]>> = {
  'indents and blank lines': [
    ['an entry stands in its step', `${step}note x\n`, `${step}  note x\n`],
    ['an entry before any step does not', '  note x\n', 'note x\n'],
    [
      'a signature ends the step, a declaration does not',
      `${step}note x\n   limit a 1 mm\nnote y\n sign AQ "x" 2026-05-03\n note z\n`,
      `${step}  note x\nlimit a 1 mm\n  note y\nsign AQ "x" 2026-05-03\nnote z\n`,
    ],
    [
      'a blank line stands before a step',
      'log "x"\nstep "A" 2026-05-03\nstep "B" 2026-05-04\n',
      'log "x"\n\nstep "A" 2026-05-03\n\nstep "B" 2026-05-04\n',
    ],
    [
      'above the comments that stand over it',
      `log "x"\n# one\n  # two\nstep "A" 2026-05-03\n`,
      `log "x"\n\n# one\n# two\nstep "A" 2026-05-03\n`,
    ],
    ['runs of blank lines become one', 'log "x"\n\n \n\t\nnote y\n', 'log "x"\n\nnote y\n'],
    ['none at the beginning and the end', '\n \nlog "x"\n\n\n', 'log "x"\n'],
    ['a last line break is added', 'log "x"', 'log "x"\n'],
    ['blanks alone become nothing', ' \n\t\n', ''],
    ['a tab is a blank', `${step}\tnote x\t\n`, `${step}  note x\n`],
    ['a no-break space is a blank', 'limit\u00a0a 0..1\u2009mm\n', 'limit a 0..1 mm\n'],
    [
      'a word that is not known stands like an entry',
      `${step}mesure  a = 5 mm\n`,
      `${step}  mesure  a = 5 mm\n`,
    ],
  ],
  'line breaks': [
    [
      'CRLF stays',
      `log "x"\r\n${step.trim()}\r\nnote x\r\n`,
      `log "x"\r\n\r\n${step.trim()}\r\n  note x\r\n`,
    ],
    [
      'the first one counts where they are mixed',
      'log "x"\r\nnote a\nnote b',
      'log "x"\r\nnote a\r\nnote b\r\n',
    ],
    ['a mark of byte order stays', '\ufeff  log   "x"\n', '\ufefflog "x"\n'],
    ['a lone one too', '\ufeff', '\ufeff'],
  ],
  comments: [
    [
      'stay where they stood',
      'log "x"   # why  \n\n\n# alone\nlimit a 0..1 mm\n',
      'log "x" # why\n\n# alone\nlimit a 0..1 mm\n',
    ],
    ['stand with the line that follows', `${step}# about x\nnote x\n`, `${step}  # about x\n  note x\n`],
    [
      'before a blank line keep to what is above',
      `${step}note x\n # more of x\n\n# the end\nsign AQ "x" 2026-05-03\n`,
      `${step}  note x\n  # more of x\n\n# the end\nsign AQ "x" 2026-05-03\n`,
    ],
    [
      'not indented, belong to no step',
      `${step}note x\n# the end of the day\n`,
      `${step}  note x\n# the end of the day\n`,
    ],
    [
      'in a table stand with its rows',
      `${step}measure a in mm\n|1|\n# so\n|2| # here\n`,
      `${step}  measure a in mm\n    | 1 |\n    # so\n    | 2 | # here\n`,
    ],
    [
      'on a continued line stay on it',
      'remove a #  one\n ...  by AQ # two\n',
      'remove a #  one\n  ... by AQ # two\n',
    ],
  ],
  clauses: [
    [
      'stand in the order of the table',
      'step "A" 2026-05-03 with TW1 by AQ\n',
      'step "A" 2026-05-03 by AQ with TW1\n',
    ],
    [
      'each on its own line',
      'fastener a[1..4] M8 torque 24 ± 2 N·m class 8.8\n... ref "4.1" order 1 2 3 4\n',
      'fastener a[1..4] M8 class 8.8 torque 24 ± 2 N·m\n  ... order 1 2 3 4 ref "4.1"\n',
    ],
    [
      'a clause that goes on below stays last, its rest first',
      'fastener a ref "4" torque 24 N·m stages 12 N·m,\n... 18 N·m lock wire class 8.8\n',
      'fastener a torque 24 N·m ref "4" stages 12 N·m,\n  ... 18 N·m class 8.8 lock wire\n',
    ],
    ['the words of one clause too', 'person A "x" inspector builder\n', 'person A "x" builder inspector\n'],
    [
      'not where that would say something else: `? in` is inches',
      'measure x = ? with T in mm\n',
      'measure x = ? with T in mm\n',
    ],
    [
      'a line of a continuation may be empty',
      'remove a\n...\n...   by AQ\n',
      'remove a\n  ...\n  ... by AQ\n',
    ],
  ],
  words: [
    ['blanks are one', 'limit   a   0..1   mm\tref "1  2"\n', 'limit a 0..1 mm ref "1  2"\n'],
    ['units have one spelling', 'torque a to 24N.m\n', 'torque a to 24 N·m\n'],
    ['of two words too', 'torque a to 18 ft lb angle 60deg\n', 'torque a to 18 ft·lbf angle 60 °\n'],
    [
      'numbers are never touched',
      'limit a −0.50..1⅜ in wear <= .060 in\n',
      'limit a −0.50..1⅜ in wear <= .060 in\n',
    ],
    ['nor are names', 'measure e\u0301te\u0301 = 5mm\n', 'measure e\u0301te\u0301 = 5 mm\n'],
    ['a mixture is one word', 'limit mix 50:1 wear >= 45:1\n', 'limit mix 50:1 wear >= 45:1\n'],
    ['quotes become plain', 'log “x "y"”\n', 'log "x \\"y\\""\n'],
    ['and what stands in them stays', 'use “a\\b”\n', 'use "a\\\\b"\n'],
    ['signs have one form', 'limit a 24+/-2mm wear ≤5mm\n', 'limit a 24 ± 2 mm wear <= 5 mm\n'],
    ['deviations stand close', 'limit a 42  +0.02 / -0.01 mm\n', 'limit a 42 +0.02/-0.01 mm\n'],
    ['a range too', 'limit a 0.1 .. 0.2 mm\n', 'limit a 0.1..0.2 mm\n'],
    ['unless its lower end has a unit', 'limit a 0.05 mm..0.003 in\n', 'limit a 0.05 mm .. 0.003 in\n'],
    ['equivalents', 'limit a 24N.m( 212in-lb )..26 N·m\n', 'limit a 24 N·m (212 in·lbf) .. 26 N·m\n'],
    ['a class and its unit', 'limit a 42H8   mm\n', 'limit a 42 H8 mm\n'],
    ['dates', 'step "A" 2026-05-03T17:40Z\n', 'step "A" 2026-05-03 17:40Z\n'],
    ['targets', 'measure r [ a,b ( c , d )/1..3 ]@ top = 5mm\n', 'measure r[a b (c d)/1..3] @ top = 5 mm\n'],
    [
      'expressions',
      'limit x = ( ( a  - b ))×2 + min( a ,b)  0.1 mm\n',
      'limit x = ( ( a  - b ))×2 + min( a ,b)  0.1 mm\n',
    ],
    [
      'expressions keep their parentheses',
      'limit x = ( ( a  - b )) × 2 + min( a ,b)  0.1 mm\n',
      'limit x = ((a - b)) * 2 + min(a, b) 0.1 mm\n',
    ],
    [
      'lists with commas',
      'torque a to 5 N·m by AQ JM\nstack p=a,b\n',
      'torque a to 5 N·m by AQ, JM\nstack p = a, b\n',
    ],
    ['lists without', 'covers a,b\napply x to a , b\n', 'covers a b\napply x to a b\n'],
    ['a thread', 'fastener a  1/4-20   UNC torque 2N·m\n', 'fastener a 1/4-20 UNC torque 2 N·m\n'],
    ['an adapter', 'torque a to 2 N·m adapter 40mm,0°\n', 'torque a to 2 N·m adapter 40 mm, 0 °\n'],
    ['a compound time', 'run 1h 20min "idle"\n', 'run 1 h 20 min "idle"\n'],
    [
      'a note keeps its text',
      `${step} note  3/8"  drive # text  \n ...   [and  "more" \n`,
      `${step}  note 3/8"  drive # text\n    ... [and  "more"\n`,
    ],
  ],
  tables: [
    [
      'have their columns padded',
      `${step}measure a in mm\n||x|long|\n|row|1|2\n`,
      `${step}  measure a in mm\n    |     | x | long |\n    | row | 1 | 2    |\n`,
    ],
    [
      'a row of dashes fills its columns',
      'measure a in mm\n||x|\n|-|:---:|\n|row|1.00|\n',
      'measure a in mm\n  |     | x    |\n  | --- | :--: |\n  | row | 1.00 |\n',
    ],
    [
      'cells have canonical units and quotes, headings and what does not parse stay',
      'measure a\n||5mm|a/(b,c)|\n|1/2|“165”| n/a|\n',
      'measure a\n  |     | 5 mm  | a/(b c) |\n  | 1/2 | "165" | n/a     |\n',
    ],
    [
      'wide letters take two columns, marks none',
      'measure a in mm\n||漢字|\n|e\u0301|1|\n|ab|2|\n',
      'measure a in mm\n  |    | 漢字 |\n  | e\u0301  | 1    |\n  | ab | 2    |\n',
    ],
    [
      'rows of different length stay so',
      'measure a in mm\n|1|2|3|\n|1000|\n',
      'measure a in mm\n  | 1    | 2 | 3 |\n  | 1000 |\n',
    ],
    ['a lone bar stays alone', 'measure a in mm\n|\n|1|\n', 'measure a in mm\n  |\n  | 1 |\n'],
    ['a bar in quotes is none', 'measure a\n|„a|b“|"c\\"|"|\n', 'measure a\n  | "a|b" | "c\\"|" |\n'],
  ],
  'a line that does not parse': [
    [
      'keeps its words',
      `${step} torque  a  to 24N.m wth  TW1  \n`,
      `${step}  torque  a  to 24N.m wth  TW1\n`,
    ],
    ['and its table', 'measure  a in mmm\n|1|2|\n|10|20|\n', 'measure  a in mmm\n  |1|2|\n  |10|20|\n'],
    ['a stray row or continuation', '|1|\n...  x\n', '  |1|\n  ...  x\n'],
  ],
};

for (const [topic, rows] of Object.entries(cases)) {
  describe(topic, () => {
    test.each(rows)('%s', (_, before, after) => {
      expect(format(parse(before))).toBe(after);
      expect(format(parse(after))).toBe(after);
      expect(applied(before, formatEdits(parse(before)))).toBe(after);
    });
  });
}

test.each(samples)('the sample %s is canonical', (_, text) => {
  expect(format(parse(text))).toBe(text);
  expect(formatEdits(parse(text))).toEqual([]);
});

function applied(text: string, edits: readonly FormatEdit[]): string {
  let out = '';
  let at = 0;
  for (const { start, end, text: replacement } of edits) {
    expect(start).toBeGreaterThanOrEqual(at);
    out += text.slice(at, start) + replacement;
    at = end;
  }
  return out + text.slice(at);
}

const marked = (file: SourceFile) => file.blocks.map(canonicalStatement).filter((one) => one !== undefined);
const comments = (file: SourceFile) =>
  file.blocks.flatMap((block) =>
    block.comments.map(({ start, end }) => block.text.slice(start, end).replace(/[\s\u200b]+$/u, '')),
  );

describe('files drawn from the table of statements', () => {
  test('parse without a fault', () => {
    fc.assert(
      fc.property(anyFile, ({ tidy, untidy }) => {
        for (const text of [tidy, untidy])
          expect(parse(text).blocks.flatMap(({ faults }) => faults)).toEqual([]);
      }),
      { numRuns: 400 },
    );
  });
  test('are laid out in canonical form', () => {
    fc.assert(
      fc.property(anyFile, ({ tidy, untidy }) => {
        expect(format(parse(untidy))).toBe(tidy);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('any text', () => {
  test('says the same as before, comments included, and is laid out once and for all', () => {
    fc.assert(
      fc.property(mutatedFile, (text) => {
        const file = parse(text);
        const once = format(file);
        expect(marked(parse(once))).toEqual(marked(file));
        expect(comments(parse(once))).toEqual(comments(file));
        expect(format(parse(once))).toBe(once);
      }),
      { numRuns: 3000 },
    );
  });
  test('its edits make its layout', () => {
    fc.assert(
      fc.property(mutatedFile, (text) => {
        const file = parse(text);
        expect(applied(text, formatEdits(file))).toBe(format(file));
      }),
      { numRuns: 1000 },
    );
  });
  test('the edits of a range are those of its lines', () => {
    fc.assert(
      fc.property(mutatedFile, fc.nat(), fc.nat({ max: 80 }), (text, from, length) => {
        const file = parse(text);
        const start = text.length === 0 ? 0 : from % text.length;
        const some = formatEdits(file, { start, end: Math.min(text.length, start + length) });
        const all = formatEdits(file);
        for (const edit of some) expect(all).toContainEqual(edit);
        expect(marked(parse(applied(text, some)))).toEqual(marked(file));
      }),
      { numRuns: 1000 },
    );
  });
});

test('a range touches its lines alone, and the whole of a table', () => {
  const text = `${step}note x\nmeasure a in mm\n|1|\n|100|\nnote y\n`;
  const at = text.indexOf('|1|');
  const edits = formatEdits(parse(text), { start: at, end: at + 1 });
  expect(applied(text, edits)).toBe(`${step}note x\nmeasure a in mm\n    | 1   |\n    | 100 |\nnote y\n`);
});
