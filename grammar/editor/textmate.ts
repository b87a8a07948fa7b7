/**
 * Draws up the TextMate grammar (`witnessmark.tmLanguage.json`), which colours a text before anything has parsed
 * it, from the table of statements. `tests/grammar/textmate.test.ts` holds the file to what this gives.
 *
 * It is kinder than the parser: it colours what has the shape of a unit or a date and leaves judging to the
 * findings. Like the parser it takes one line at a time, and reserves a clause's keyword only in the statements
 * that have that clause.
 */
import { type FixedSpec, type StatementSpec, statements } from '../statements.ts';

export interface TextMateRule {
  readonly comment?: string;
  readonly name?: string;
  readonly contentName?: string;
  readonly match?: string;
  readonly begin?: string;
  readonly end?: string;
  readonly while?: string;
  readonly include?: string;
  readonly captures?: TextMateCaptures;
  readonly beginCaptures?: TextMateCaptures;
  readonly endCaptures?: TextMateCaptures;
  readonly whileCaptures?: TextMateCaptures;
  readonly patterns?: readonly TextMateRule[];
}
export type TextMateCaptures = Readonly<Record<string, TextMateRule>>;

export interface TextMateGrammar {
  readonly name: string;
  readonly scopeName: string;
  readonly patterns: readonly TextMateRule[];
  readonly repository: Readonly<Record<string, TextMateRule>>;
}

/** What may stand in a name; neither before nor after a keyword. */
const inName = '[\\p{L}\\p{M}\\p{N}_-]';
const name = '\\p{L}(?:[\\p{L}\\p{M}\\p{N}_-]*[\\p{L}\\p{M}\\p{N}_])?';
const number = '[-−]?(?:(?:\\d+-)?\\d+/\\d+|\\d+[¼-¾⅐-⅞]|[¼-¾⅐-⅞]|\\d+(?:\\.\\d+)?|\\.\\d+)';
const unitWord = '[\\p{L}µ°º℃℉%Ω][\\p{L}\\p{M}°_₂O]*(?:H2O)?(?:\\^?[23](?!\\d)|[²³])?';
const unit = `(?:[cd]?N m|(?:in|ft) (?:lbf?|lbs|ozf?)|${unitWord}(?:[·⋅∙•.*×/-]${unitWord})*)`;
const qualifier = 'TIR|FIM|BTDC|ATDC|BBDC|ABDC';
const functions = 'min|max|mean|range|taper|out-of-round';
const date = '\\d{4}-\\d{2}-\\d{2}';
const time = '\\d{2}:\\d{2}(?:Z|[+-]\\d{2}:\\d{2})?';

/** The grammar as plain data, ready to be written as JSON. */
export function textMateGrammar(): TextMateGrammar {
  return {
    name: 'Witnessmark',
    scopeName: 'source.witnessmark',
    patterns: [
      { include: '#comment' },
      { include: '#row' },
      ...Object.keys(statements).map((keyword) => ({ include: `#statement-${keyword}` })),
    ],
    repository: {
      ...Object.fromEntries(
        Object.values(statements).map((statement) => [
          `statement-${statement.keyword}`,
          statementRule(statement),
        ]),
      ),
      ...shared,
    },
  };
}

const continuation = {
  while: '^\\s*(\\.\\.\\.)',
  whileCaptures: { '1': scoped('punctuation.separator.continuation') },
};

function statementRule(statement: StatementSpec): TextMateRule {
  const keyword = `^\\s*(${statement.keyword})(?!${inName})`;
  const controls = { '1': scoped('keyword.control') };
  if (statement.fixed.some((fixed) => fixed.value === 'note')) {
    return {
      begin: `${keyword}\\s*`,
      beginCaptures: controls,
      while: `${continuation.while}\\s*`,
      whileCaptures: continuation.whileCaptures,
      contentName: scope('markup.quote.note'),
    };
  }
  const words = reservedWords(statement);
  return {
    name: scope(`meta.statement.${statement.keyword}`),
    begin: beginsWithName(statement.fixed[0]) ? `${keyword}(?:\\s+(${name}))?` : keyword,
    beginCaptures: { ...controls, '2': scoped('entity.name.function') },
    ...continuation,
    patterns: [
      { include: '#comment' },
      { include: '#string' },
      { include: '#items' },
      { include: '#place' },
      { include: '#digest' },
      { include: '#when' },
      ...(statement.fixed.some((fixed) => fixed.value === 'thread') ? [{ include: '#thread' }] : []),
      ...(statement.clauses.some((clause) => clause.value === 'unit') ? [{ include: '#bare-unit' }] : []),
      ...quantityRules(words.clauses),
      ...(statement.fixed.some((fixed) => fixed.value === 'expression') ? [{ include: '#function' }] : []),
      ...(words.clauses.length > 0 ? [wordRule(words.clauses, 'keyword.other.clause')] : []),
      ...(words.choices.length > 0 ? [wordRule(words.choices, 'constant.language')] : []),
      { include: '#punctuation' },
      statement.fixed[0]?.value === 'names'
        ? { name: scope('entity.name.function'), match: name }
        : { name: scope('variable.other'), match: name },
    ],
  };
}

function beginsWithName(fixed: FixedSpec | undefined): boolean {
  return fixed !== undefined && ['name', 'target', 'inspection'].includes(fixed.value);
}

/** The words that a statement reserves: its clauses' keywords, and the words that may follow them. */
export function reservedWords(statement: StatementSpec): { clauses: string[]; choices: string[] } {
  const clauses = statement.clauses.flatMap((clause) => clause.words).filter((word) => word !== '?');
  const choices = statement.clauses.flatMap((clause) => {
    if (clause.value === 'order') return ['cross', 'centre-out', 'any'];
    if (clause.value === 'layout') return ['circle', 'rows'];
    return clause.choices ?? [];
  });
  return { clauses, choices: choices.filter((word) => !clauses.includes(word)) };
}

/** A number with its unit; the word after a number is a unit unless it is a keyword of the statement. */
function quantityRules(clauses: readonly string[]): TextMateRule[] {
  const others = clauses.filter((word) => word !== 'in');
  const noKeyword = others.length > 0 ? `(?!(?:${others.join('|')})(?!${inName}))` : '';
  return [
    {
      comment: 'an ISO 286 class between its size and its unit',
      match: `(?<!${inName})(\\d+(?:\\.\\d+)?)\\s+([A-Za-z]{1,2}\\d{1,2})(?!${inName})(?:\\s+(${unit}))?`,
      captures: {
        '1': scoped('constant.numeric'),
        '2': scoped('constant.other.fit'),
        '3': scoped('keyword.other.unit'),
      },
    },
    {
      match: `(?<!${inName})(\\d+:1|${number}|\\?)(?:\\s*${noKeyword}(${unit})(?!${inName})(?:\\s+(${qualifier})(?!${inName}))?)?`,
      captures: {
        '1': { patterns: [{ include: '#number' }] },
        '2': scoped('keyword.other.unit'),
        '3': scoped('keyword.other.unit.qualifier'),
      },
    },
  ];
}

function wordRule(words: readonly string[], scopeName: string): TextMateRule {
  return { name: scope(scopeName), match: `(?<!${inName})(?:${words.join('|')})(?!${inName})` };
}

const shared: Readonly<Record<string, TextMateRule>> = {
  comment: {
    name: scope('comment.line.number-sign'),
    match: '(?<=^|\\s)(#)(?!\\d).*$',
    captures: { '1': scoped('punctuation.definition.comment') },
  },
  row: {
    name: scope('meta.row'),
    begin: '^\\s*(\\|)',
    beginCaptures: { '1': scoped('punctuation.separator.cell') },
    end: '$',
    patterns: [
      { include: '#comment' },
      { name: scope('punctuation.separator.cell'), match: '\\|(?:-+\\|?)*' },
      { include: '#string' },
      ...quantityRules([]),
      { include: '#operator' },
      { name: scope('entity.other.attribute-name'), match: name },
    ],
  },
  string: {
    patterns: [quoted('"', '"', 'string.quoted.double'), quoted('[“„]', '[”“]', 'string.quoted.other')],
  },
  items: {
    name: scope('meta.items'),
    begin: '\\[',
    beginCaptures: { '0': scoped('punctuation.section.brackets.begin') },
    end: '(\\])|$',
    endCaptures: { '1': scoped('punctuation.section.brackets.end') },
    patterns: [{ include: '#path' }],
  },
  place: {
    name: scope('meta.place'),
    match: `(@)\\s*((?:[\\p{L}\\p{M}\\p{N}_./-]|\\([^)]*\\))+)`,
    captures: { '1': scoped('keyword.operator.place'), '2': { patterns: [{ include: '#path' }] } },
  },
  path: {
    patterns: [
      { name: scope('constant.language'), match: `(?<!${inName})(?:all|ordered)(?!${inName})` },
      { name: scope('variable.other.member'), match: name },
      { name: scope('constant.numeric'), match: '\\d+' },
      { name: scope('keyword.operator.range'), match: '\\.\\.' },
      { name: scope('punctuation.separator.path'), match: '/' },
      { name: scope('punctuation.separator'), match: ',' },
      { name: scope('punctuation.section.parens'), match: '[()]' },
    ],
  },
  digest: {
    match: `(?<!${inName})(mark)\\s+([0-9a-f]{64}|[0-9a-f]{16})(?!${inName})`,
    captures: { '1': scoped('keyword.other.clause'), '2': scoped('constant.other.digest') },
  },
  when: {
    name: scope('constant.other.date'),
    match: `(?<!${inName})(?:${date}(?:[T ]${time})?|${time})(?!${inName}|:)`,
  },
  thread: {
    name: scope('constant.other.thread'),
    match: `(?<!${inName})(?:M\\d+(?:\\.\\d+)?(?:[x×]\\d+(?:\\.\\d+)?)?|(?:#\\d+|(?:\\d+-)?\\d+/\\d+|\\d+)-\\d+ (?:UNC|UNF|UNEF|UNS|UN))(?!${inName})`,
  },
  'bare-unit': {
    match: `(?<!${inName})(in)\\s+(${unit})(?:\\s+(${qualifier}))?(?!${inName})`,
    captures: {
      '1': scoped('keyword.other.clause'),
      '2': scoped('keyword.other.unit'),
      '3': scoped('keyword.other.unit.qualifier'),
    },
  },
  number: {
    patterns: [
      { name: scope('constant.language.placeholder'), match: '\\?' },
      { name: scope('constant.numeric'), match: '.+' },
    ],
  },
  function: { name: scope('support.function'), match: `(?<!${inName})(?:${functions})(?=\\()` },
  operator: {
    name: scope('keyword.operator'),
    match: '\\.\\.|<=|>=|≤|≥|±|\\+/-|[=+*/]|(?<=\\s)[-−](?=\\s)|[-+−](?=[\\d.])',
  },
  punctuation: {
    patterns: [
      { include: '#operator' },
      { name: scope('punctuation.separator'), match: ',' },
      { name: scope('punctuation.section.parens'), match: '[()]' },
    ],
  },
};

/** A string ends on its line, whether it was closed or not. */
function quoted(open: string, close: string, scopeName: string): TextMateRule {
  return {
    name: scope(scopeName),
    begin: open,
    beginCaptures: { '0': scoped('punctuation.definition.string.begin') },
    end: `(${close})|$`,
    endCaptures: { '1': scoped('punctuation.definition.string.end') },
    patterns: [{ name: scope('constant.character.escape'), match: '\\\\["\\\\]' }],
  };
}

function scope(scopeName: string): string {
  return `${scopeName}.witnessmark`;
}

function scoped(scopeName: string): TextMateRule {
  return { name: scope(scopeName) };
}
