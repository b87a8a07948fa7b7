/** The highlighting: the grammar file is what the table of statements asks for, and colours text as it should. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';
import oniguruma from 'vscode-oniguruma';
import textmate, { type IGrammar, type StateStack } from 'vscode-textmate';
import { reservedWords, textMateGrammar } from '../../grammar/editor/textmate.ts';
import { statements } from '../../grammar/statements.ts';

const grammarFile = resolve(import.meta.dirname, '../../grammar/editor/witnessmark.tmLanguage.json');
const grammar = await loadGrammar();

test('the grammar file is up to date; vitest -u writes it', async () => {
  await expect(`${JSON.stringify(textMateGrammar(), null, 2)}\n`).toMatchFileSnapshot(grammarFile);
});

describe('every keyword of the table', () => {
  for (const statement of Object.values(statements)) {
    test(statement.keyword, () => {
      expect(scopeOf(`  ${statement.keyword} x`, statement.keyword)).toBe('keyword.control');
      if (statement.keyword === 'note') return;
      const { clauses, choices } = reservedWords(statement);
      for (const word of clauses) {
        expect([word, scopeOf(`${statement.keyword} x ${word}`, word, 1)]).toEqual([
          word,
          'keyword.other.clause',
        ]);
      }
      for (const word of choices) {
        expect([word, scopeOf(`${statement.keyword} x ${word}`, word, 1)]).toEqual([
          word,
          'constant.language',
        ]);
      }
    });
  }

  test('is a name like any other where the statement has no such clause', () => {
    const everyWord = new Set(
      Object.values(statements).flatMap((statement) => reservedWords(statement).clauses),
    );
    const own = new Set(reservedWords(statements.stack).clauses);
    for (const word of everyWord) {
      if (!own.has(word))
        expect([word, scopeOf(`stack x = ${word}`, word, 1)]).toEqual([word, 'variable.other']);
    }
  });
});

describe('samples', () => {
  const samples: Record<string, string> = {
    'a torque and its reference': `
  torque case-m8[5 6 all] to 24 N·m (212 in·lbf) with TW1
  ^^^^^^ keyword.control
         ^^^^^^^ entity.name.function
                ^ punctuation.section.brackets.begin
                 ^ constant.numeric
                     ^^^ constant.language
                          ^^ keyword.other.clause
                             ^^ constant.numeric
                                ^^^ keyword.other.unit
                                     ^^^ constant.numeric
                                         ^^^^^^ keyword.other.unit
                                                 ^^^^ keyword.other.clause
                                                      ^^^ variable.other
`,
    'a reading at a place, with a comment': `
  measure bore[rear] @ top/thrust = 67.571 mm as found # by hand
  ^^^^^^^ keyword.control
          ^^^^ entity.name.function
               ^^^^ variable.other.member
                     ^ keyword.operator.place
                       ^^^ variable.other.member
                          ^ punctuation.separator.path
                           ^^^^^^ variable.other.member
                                  ^ keyword.operator
                                    ^^^^^^ constant.numeric
                                           ^^ keyword.other.unit
                                              ^^ keyword.other.clause
                                                 ^^^^^ constant.language
                                                       ^ punctuation.definition.comment
                                                        ^^^^^^^^ comment.line.number-sign
`,
    'in is a unit after a number and a keyword elsewhere': `
  measure gap[1..4] in in
                    ^^ keyword.other.clause
                       ^^ keyword.other.unit
  measure gap[1] = 1-3/8 in by AQ
                   ^^^^^ constant.numeric
                         ^^ keyword.other.unit
                            ^^ keyword.other.clause
                               ^^ variable.other
`,
    'in brackets a slash makes a path': `
measure ring-gap[front/1] = 3/8 in
                 ^^^^^ variable.other.member
                      ^ punctuation.separator.path
                       ^ constant.numeric
                            ^^^ constant.numeric
`,
    'a table': `
  measure bore[rear] in mm
    |        | thrust | pin    |
    ^ punctuation.separator.cell
               ^^^^^^ entity.other.attribute-name
    | top    | 67.532 | ? | # wet
      ^^^ entity.other.attribute-name
               ^^^^^^ constant.numeric
                        ^ constant.language.placeholder
                          ^ punctuation.separator.cell
                            ^ punctuation.definition.comment
  remove piston[rear]
  ^^^^^^ keyword.control
`,
    'a note is text to its end': `
  note Used the 3/8" drive adapter # all of this is text
  ^^^^ keyword.control
       ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ markup.quote.note
    ... and "this" as well
    ^^^ punctuation.separator.continuation
        ^^^^^^^^^^^^^^^^^^ markup.quote.note
  fit piston[rear] new
  ^^^ keyword.control
                   ^^^ keyword.other.clause
`,
    'an unclosed string ends on its line': `
log "Tern 460
    ^ punctuation.definition.string.begin
     ^^^^^^^^ string.quoted.double
person AQ “Ada "Q" Quill” builder
          ^ punctuation.definition.string.begin
           ^^^^^^^^^^^^^ string.quoted.other
                          ^^^^^^^ keyword.other.clause
`,
    'a fastener with a thread and a continuation': `
fastener case-m8[1..10] M8x1.25 class 8.8 torque 24 ± 2 N·m
         ^^^^^^^ entity.name.function
                  ^^ keyword.operator.range
                        ^^^^^^^ constant.other.thread
                                ^^^^^ keyword.other.clause
                                      ^^^ constant.numeric
                                          ^^^^^^ keyword.other.clause
                                                    ^ keyword.operator
                                                        ^^^ keyword.other.unit
  ... stages 12 N·m, 24 N·m order cross layout rows 2 lubricant oiled ref "4.1"
  ^^^ punctuation.separator.continuation
      ^^^^^^ keyword.other.clause
                   ^ punctuation.separator
                            ^^^^^ keyword.other.clause
                                  ^^^^^ constant.language
                                               ^^^^ constant.language
                                                    ^ constant.numeric
                                                      ^^^^^^^^^ keyword.other.clause
                                                                ^^^^^ variable.other
`,
    'threads in inches': `
fastener a[1..2] #10-32 UNF torque 2 N·m
                 ^^^^^^^^^^ constant.other.thread
fastener b[1..2] 1-1/8-7 UNC torque 2 ft lb
                 ^^^^^^^^^^^ constant.other.thread
                                      ^^^^^ keyword.other.unit
`,
    'limits: derived, words, and a fit': `
limit piston-clearance[front] = max(bore) - 2 * skirt 0.060..0.120 mm wear <= 0.150 mm TIR
                                ^^^ support.function
                                    ^^^^ variable.other
                                          ^ keyword.operator
                                            ^ constant.numeric
                                              ^ keyword.operator
                                                ^^^^^ variable.other
                                                      ^^^^^ constant.numeric
                                                           ^^ keyword.operator
                                                             ^^^^^ constant.numeric
                                                                   ^^ keyword.other.unit
                                                                      ^^^^ keyword.other.clause
                                                                           ^^ keyword.operator
                                                                                       ^^^ keyword.other.unit.qualifier
limit seal-bore 42 H8 mm ref "3.6"
                ^^ constant.numeric
                   ^^ constant.other.fit
                      ^^ keyword.other.unit
limit kolben-Ø[vorn] 67 mm +0.04/+0.02 mm
      ^^^^^^^^ entity.name.function
                           ^ keyword.operator
                            ^^^^ constant.numeric
`,
    'dates, times and marks': `
step "Measure" 2026-05-02 14:00 by AQ, JM temp 21 °C
               ^^^^^^^^^^^^^^^^ constant.other.date
                                   ^^ variable.other
                                       ^^ variable.other
                                                  ^^ keyword.other.unit
sign AQ "Closed" 2026-05-04T11:00+02:00 mark 9f3c0d1e7a55b2c4
     ^^ entity.name.function
                 ^^^^^^^^^^^^^^^^^^^^^^ constant.other.date
                                        ^^^^ keyword.other.clause
                                             ^^^^^^^^^^^^^^^^ constant.other.digest
`,
    'a number sign before a digit is no comment': `
# a comment
^ punctuation.definition.comment
covers bottom-end, top-end # and this
       ^^^^^^^^^^ entity.name.function
                   ^^^^^^^ entity.name.function
                           ^ punctuation.definition.comment
`,
    'a name is not coloured by the keyword within it': `
  measure of-step[to-in] = ? mm
          ^^^^^^^ entity.name.function
                  ^^^^^ variable.other.member
                           ^ constant.language.placeholder
                             ^^ keyword.other.unit
`,
  };
  for (const [title, sample] of Object.entries(samples)) {
    test(title, () => {
      expect(withScopes(sample)).toBe(sample);
    });
  }
});

/** The sample again, with each line of carets followed by the scope that the text above them really has. */
function withScopes(sample: string): string {
  let stack: StateStack | null = null;
  let tokens: Token[] = [];
  const lines = sample.split('\n').map((line) => {
    const carets = /^\s*(\^+) \S+$/.exec(line);
    if (!carets?.[1]) {
      const result: TokenizedLine = tokenize(line, stack);
      stack = result.stack;
      tokens = result.tokens;
      return line;
    }
    const start = line.indexOf('^');
    const end = start + carets[1].length;
    const covered = tokens.filter((token) => token.start < end && token.end > start);
    const exact = covered[0]?.start === start && covered.at(-1)?.end === end;
    const scopes = new Set(covered.map((token) => token.scope));
    return `${line.slice(0, end)} ${[...scopes].join(' + ')}${exact ? '' : ' (of a longer text)'}`;
  });
  return lines.join('\n');
}

/** The scope of the `nth` (from 0) occurrence of a word in a line. */
function scopeOf(line: string, word: string, nth = 0): string | undefined {
  const found = tokenize(line, null).tokens.filter((token) => line.slice(token.start, token.end) === word);
  return (found.length > 1 ? found[nth] : found[0])?.scope;
}

interface Token {
  readonly start: number;
  readonly end: number;
  /** The innermost scope, without the language's suffix. */
  readonly scope: string;
}
interface TokenizedLine {
  readonly tokens: Token[];
  readonly stack: StateStack;
}

function tokenize(line: string, stack: StateStack | null): TokenizedLine {
  const result = grammar.tokenizeLine(line, stack);
  const tokens = result.tokens.map((token) => ({
    start: token.startIndex,
    end: Math.min(token.endIndex, line.length),
    scope: token.scopes.at(-1)!.replace(/\.witnessmark$/, ''),
  }));
  return { tokens, stack: result.ruleStack };
}

/** The grammar, read from its file by the same two libraries that the editor uses. */
async function loadGrammar(): Promise<IGrammar> {
  const program = createRequire(import.meta.url).resolve('vscode-oniguruma');
  const wasm = readFileSync(join(program, '../onig.wasm'));
  await oniguruma.loadWASM(wasm.buffer.slice(wasm.byteOffset, wasm.byteOffset + wasm.byteLength));
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(readFileSync(grammarFile, 'utf8'), grammarFile),
  });
  const loaded = await registry.loadGrammar('source.witnessmark');
  if (loaded === null) throw new Error(`no grammar in ${grammarFile}`);
  return loaded;
}
