/**
 * The parser: one statement at a time, its fixed parts and clauses as the table says, each value by a rule.
 *
 * The statement rule reads the table, so a new clause needs no new rule. Every value is lexed when its clause is
 * known and parsed at once; what cannot be read ends at the next clause word, and the clauses after it are read
 * as ever.
 */
import { EmbeddedActionsParser, type IParserErrorMessageProvider, type IToken } from 'chevrotain';
import {
  binary,
  exactSpread,
  longPath,
  nameNode,
  numberNode,
  numberSegment,
  stringNode,
  unitNode,
  whenNode,
  wholeSegment,
  withoutTolerance,
  wordSegment,
} from './nodes.ts';
import { readStatement, tellMismatch } from './statement-reader.ts';
import type { ClauseSpec, StatementSpec, ValueKind } from './statements.ts';
import { either, expectations, fault, nearestWords, quoted, writeFix } from './syntax-errors.ts';
import type {
  AdapterNode,
  ExpressionNode,
  FunctionName,
  LayoutNode,
  NameNode,
  NumberNode,
  OrderNode,
  PathNode,
  PlainSegment,
  QuantityNode,
  SegmentNode,
  SpreadNode,
  StatementNode,
  StringNode,
  TargetGradeNode,
  TargetNode,
  UnitClauseNode,
  UnitNode,
  ValueNode,
  WhenNode,
} from './syntax-tree.ts';
import {
  At,
  AtLeast,
  AtMost,
  CloseBracket,
  CloseParen,
  Code,
  Comma,
  DateToken,
  Deviation,
  FunctionWord,
  Integer,
  IsoClass,
  Minus,
  Name,
  Numeral,
  newScan,
  OpenBracket,
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
  skipBlanks,
  Text,
  Time,
  type Token,
  Unit,
  vocabulary,
  Whole,
} from './tokens.ts';

/** Any value that a clause or a fixed part holds. */
export type AnyValue =
  | NameNode
  | StringNode
  | NumberNode
  | QuantityNode
  | SpreadNode
  | ValueNode
  | WhenNode
  | TargetNode
  | ExpressionNode
  | UnitClauseNode
  | OrderNode
  | LayoutNode
  | AdapterNode
  | TargetGradeNode
  | readonly NameNode[]
  | readonly StringNode[]
  | readonly QuantityNode[]
  | readonly SpreadNode[]
  | readonly TargetNode[];

/** What a parser error says; the statement rule adds what was found. */
const errorMessages: IParserErrorMessageProvider = {
  buildMismatchTokenMessage: ({ expected }) => expected.LABEL ?? expected.name,
  buildNotAllInputParsedMessage: () => '',
  buildNoViableAltMessage: ({ customUserDescription }) => customUserDescription ?? '',
  buildEarlyExitMessage: ({ customUserDescription }) => customUserDescription ?? '',
};

const timeRanks: ReadonlyMap<string, number> = new Map([
  ['years', 6],
  ['months', 5],
  ['d', 4],
  ['h', 3],
  ['min', 2],
  ['s', 1],
]);

/** From this rank on it is the calendar that counts. */
const CALENDAR = 5;

const choicesOfOrder: ReadonlySet<string> = new Set(['cross', 'centre-out', 'any']);

/** Fields of a statement under construction. */
export type Building = {
  -readonly [K in keyof StatementNode]: StatementNode[K];
};

class StatementParser extends EmbeddedActionsParser {
  readonly scan: Scan = newScan();
  private index = -1;

  constructor(skipValidations: boolean) {
    super(vocabulary, {
      maxLookahead: 1,
      recoveryEnabled: false,
      skipValidations,
      errorMessageProvider: errorMessages,
    });
    this.performSelfAnalysis();
  }

  // The tokens stand in the scan; they are lexed when a rule needs them, not before.

  override LA(howMuch: number): IToken {
    const { scan } = this;
    const index = this.index + howMuch;
    return (index < scan.count ? scan.tokens[index] : undefined) ?? scan.endToken;
  }
  override LA_FAST(howMuch: number): IToken {
    const { scan } = this;
    const index = this.index + howMuch;
    return (index < scan.count ? scan.tokens[index] : undefined) ?? scan.endToken;
  }
  consumeToken(): void {
    this.index++;
  }
  exportLexerState(): number {
    return this.index;
  }
  importLexerState(index: number): void {
    this.index = index;
  }
  resetLexerState(): void {
    this.index = -1;
  }
  moveToTerminatedState(): void {
    this.index = this.scan.count - 1;
  }
  onBeforeParse(): void {}
  onAfterParse(): void {}

  private looksAt(type: { tokenTypeIdx?: number }, howMuch = 1): boolean {
    return this.LA_FAST(howMuch).tokenTypeIdx === type.tokenTypeIdx;
  }
  next(howMuch = 1): Token {
    return this.LA_FAST(howMuch) as Token;
  }
  /** The token that was read last. */
  lastToken(): Token {
    return this.LA_FAST(0) as Token;
  }
  /** Whether tokens were lexed that are not read yet. */
  hasPending(): boolean {
    return this.index + 1 < this.scan.count;
  }
  dropPending(): void {
    this.index = this.scan.count - 1;
    if (this.errors.length > 0) this.errors = [];
  }
  /** Where the last token ends, if it is the one at `first` or a later one. */
  endAfter(first: number): number | undefined {
    return this.index >= first ? this.scan.tokens[this.index]?.end : undefined;
  }
  /** Where the last token that was read ends. */
  private endHere(): number {
    return (this.LA(0) as Token).end;
  }

  // What is passed to OR and OPTION on the way of every quantity is made once, not at every call.

  private readonly number = { ALT: () => this.CONSUME(Numeral) };
  private readonly placeholder = { ALT: () => this.CONSUME(Placeholder) };
  private readonly numberOrPlaceholder = {
    DEF: [this.number, this.placeholder],
    ERR_MSG: 'a number',
  };
  private readonly ownUnit = () => unitNode(this.scan, this.CONSUME(Unit) as Token);
  private readonly ownQualifier = () => nameNode(this.CONSUME(Qualifier) as Token);
  private readonly smallerTime = (): QuantityNode => this.SUBRULE(this.amount);

  /** A number or `?` with its unit and qualifier; times may be compound (`1 h 20 min`). */
  readonly amount = this.RULE('amount', (): QuantityNode => {
    const { startOffset: start, end, tokenTypeIdx, text, value } = this.OR(this.numberOrPlaceholder) as Token;
    const number = tokenTypeIdx === Numeral.tokenTypeIdx ? { start, end, text, value } : undefined;
    const unit = this.OPTION(this.ownUnit);
    const qualifier = this.OPTION1(this.ownQualifier);
    const ownEnd = this.endHere();
    const goesOn = this.RECORDING_PHASE || this.timeGoesOn(unit);
    const plus = goesOn ? this.OPTION2(this.smallerTime) : undefined;
    return {
      kind: 'quantity',
      start,
      end: plus === undefined ? ownEnd : plus.end,
      number,
      unit,
      qualifier,
      equivalent: undefined,
      plus,
    };
  });

  private timeGoesOn(unit: UnitNode | undefined): boolean {
    if (unit?.name === undefined || !this.looksAt(Numeral) || !this.looksAt(Unit, 2)) return false;
    const rank = timeRanks.get(unit.name);
    const next = timeRanks.get(this.next(2).text);
    // What the calendar counts does not add up with what a clock does: `5 years 500 h` lacks its comma.
    return rank !== undefined && next !== undefined && next < rank && rank >= CALENDAR === next >= CALENDAR;
  }

  /** A quantity with its equivalent in parentheses. */
  readonly quantity = this.RULE('quantity', (): QuantityNode => {
    const amount = this.SUBRULE(this.amount);
    const equivalent = this.OPTION(() => {
      this.CONSUME(OpenParen);
      const inner = this.SUBRULE1(this.amount);
      this.CONSUME(CloseParen);
      return inner;
    });
    return equivalent === undefined ? amount : { ...amount, end: this.endHere(), equivalent };
  });

  readonly quantities = this.RULE('quantities', (): readonly QuantityNode[] => {
    const list: QuantityNode[] = [];
    this.AT_LEAST_ONE_SEP({
      SEP: Comma,
      DEF: () => list.push(this.SUBRULE(this.quantity)),
      ERR_MSG: 'a number',
    });
    return list;
  });

  readonly spread = this.RULE('spread', (): SpreadNode => {
    return this.OR({
      DEF: [{ ALT: () => this.SUBRULE(this.bound) }, { ALT: () => this.SUBRULE(this.interval) }],
      ERR_MSG: 'a number',
    });
  });

  /** `<= X`, `>= X`. */
  readonly bound = this.RULE('bound', (): SpreadNode => {
    const sign = this.OR([{ ALT: () => this.CONSUME(AtMost) }, { ALT: () => this.CONSUME(AtLeast) }]);
    const value = this.SUBRULE(this.amount);
    const equivalent = this.OPTION(() => this.SUBRULE(this.equivalent));
    return {
      kind: sign.tokenTypeIdx === AtMost.tokenTypeIdx ? 'at-most' : 'at-least',
      start: sign.startOffset,
      end: this.endHere(),
      value,
      equivalent,
    };
  });

  readonly equivalent = this.RULE('equivalent', (): SpreadNode => {
    this.CONSUME(OpenParen);
    const spread = this.SUBRULE(this.spread);
    this.CONSUME(CloseParen);
    return spread;
  });

  /** The quantity that the interval being read begins with, and the equivalent straight after it. */
  private first: QuantityNode | undefined;
  private own: SpreadNode | undefined;

  private readonly ownEquivalent = () => this.SUBRULE(this.equivalent);
  private readonly intervalTails = [
    { ALT: () => this.SUBRULE(this.rangeTail) },
    { ALT: () => this.SUBRULE(this.toleranceTail) },
    { ALT: () => this.SUBRULE(this.deviationsTail) },
    { ALT: () => this.SUBRULE(this.classTail) },
    { ALT: () => this.single() },
  ];

  /** Everything that begins with a quantity: itself, a range, a value with its tolerance, an ISO class. */
  readonly interval = this.RULE('interval', (): SpreadNode => {
    const first = this.SUBRULE(this.amount);
    const own = this.OPTION(this.ownEquivalent);
    this.own = own;
    this.first = own?.kind === 'exact' ? { ...first, end: this.endHere(), equivalent: own.value } : first;
    return this.OR(this.intervalTails);
  });

  private single(): SpreadNode {
    const { first, own } = this;
    if (first === undefined) throw new Error('an interval begins with a quantity');
    const { start } = first;
    const end = this.endHere();
    if (own !== undefined && own.kind !== 'exact')
      return { kind: 'exact', start, end, value: first, equivalent: own };
    const bare = own === undefined && first.number === undefined && first.unit === undefined;
    return bare && first.qualifier === undefined
      ? { kind: 'placeholder', start, end, equivalent: undefined }
      : { kind: 'exact', start, end, value: first, equivalent: undefined };
  }

  private readonly rangeTail = this.RULE('rangeTail', (): SpreadNode => {
    const low = this.first as QuantityNode;
    const { own } = this;
    this.CONSUME(Run);
    const high = this.SUBRULE(this.amount);
    const whole = this.OPTION(this.ownEquivalent);
    const end = this.endHere();
    const start = this.RECORDING_PHASE ? 0 : low.start;
    if (own === undefined || whole?.kind !== 'exact')
      return { kind: 'range', start, end, low, high, equivalent: whole };
    return {
      kind: 'range',
      start,
      end,
      low,
      high: { ...high, end, equivalent: whole.value },
      equivalent: undefined,
    };
  });

  private readonly toleranceTail = this.RULE('toleranceTail', (): SpreadNode => {
    const nominal = this.first as QuantityNode;
    this.CONSUME(PlusMinus);
    const tolerance = this.SUBRULE(this.amount);
    const equivalent = this.OPTION(this.ownEquivalent);
    const start = this.RECORDING_PHASE ? 0 : nominal.start;
    return { kind: 'plus-minus', start, end: this.endHere(), nominal, tolerance, equivalent };
  });

  private readonly deviationsTail = this.RULE('deviationsTail', (): SpreadNode => {
    const nominal = this.first as QuantityNode;
    const upper = numberNode(this.CONSUME(Deviation) as Token);
    const lower = numberNode(this.CONSUME1(Deviation) as Token);
    const unit = this.OPTION(this.ownUnit);
    const equivalent = this.OPTION1(this.ownEquivalent);
    const start = this.RECORDING_PHASE ? 0 : nominal.start;
    return { kind: 'deviations', start, end: this.endHere(), nominal, upper, lower, unit, equivalent };
  });

  private readonly classTail = this.RULE('classTail', (): SpreadNode => {
    const first = this.first as QuantityNode;
    const isoClass = nameNode(this.CONSUME(IsoClass) as Token);
    const unit = this.OPTION(this.ownUnit);
    const nominal = unit === undefined ? first : { ...first, end: unit.end, unit };
    const equivalent = this.OPTION1(this.ownEquivalent);
    const start = this.RECORDING_PHASE ? 0 : nominal.start;
    return { kind: 'iso-class', start, end: this.endHere(), nominal, isoClass, equivalent };
  });

  readonly spreads = this.RULE('spreads', (): readonly SpreadNode[] => {
    const list: SpreadNode[] = [];
    this.AT_LEAST_ONE_SEP({
      SEP: Comma,
      DEF: () => list.push(this.SUBRULE(this.spread)),
      ERR_MSG: 'a number',
    });
    return list;
  });

  readonly strings = this.RULE('strings', (): readonly StringNode[] => {
    const list: StringNode[] = [stringNode(this.CONSUME(Text) as Token)];
    this.MANY(() => {
      this.OPTION(this.comma);
      list.push(stringNode(this.CONSUME1(Text) as Token));
    });
    return list.length === 1 ? list : list.slice();
  });

  readonly names = this.RULE('names', (): readonly NameNode[] => {
    const list: NameNode[] = [nameNode(this.CONSUME(Name) as Token)];
    this.MANY(() => {
      this.OPTION(this.comma);
      list.push(nameNode(this.CONSUME1(Name) as Token));
    });
    return list.length === 1 ? list : list.slice();
  });

  readonly when = this.RULE('when', (): WhenNode => {
    return this.OR({
      DEF: [
        {
          ALT: (): WhenNode => {
            const date = this.CONSUME(DateToken) as Token;
            const time = this.OPTION(() => this.CONSUME(Time) as Token);
            return whenNode(date, time);
          },
        },
        { ALT: (): WhenNode => whenNode(undefined, this.CONSUME1(Time) as Token) },
        { ALT: (): WhenNode => whenNode(this.CONSUME(Placeholder) as Token, undefined) },
      ],
      ERR_MSG: 'a date or a time',
    });
  });

  private readonly comma = () => this.CONSUME(Comma);
  private readonly runTo = (): Token => {
    this.CONSUME(Run);
    return this.CONSUME1(Integer) as Token;
  };
  private readonly nameOrNumber = {
    DEF: [
      { ALT: (): PlainSegment => wordSegment(this.CONSUME(Name) as Token) },
      {
        ALT: (): PlainSegment => {
          const from = this.CONSUME(Integer) as Token;
          return numberSegment(this.scan, from, this.OPTION(this.runTo));
        },
      },
    ],
    ERR_MSG: 'an item',
  };

  /** A name, a whole number or a run. */
  readonly plain = this.RULE('plain', (): PlainSegment => this.OR(this.nameOrNumber));

  private readonly anySegment = {
    DEF: [
      { ALT: (): SegmentNode => this.SUBRULE(this.plain) },
      { ALT: (): SegmentNode => wholeSegment(this.CONSUME(Whole) as Token) },
      { ALT: (): SegmentNode => this.SUBRULE(this.set) },
    ],
    ERR_MSG: 'an item',
  };

  readonly segment = this.RULE('segment', (): SegmentNode => this.OR(this.anySegment));

  readonly set = this.RULE('set', (): SegmentNode => {
    const { startOffset: start } = this.CONSUME(OpenParen);
    const members = [this.SUBRULE(this.plain)];
    this.MANY(() => {
      this.OPTION(this.comma);
      members.push(this.SUBRULE1(this.plain));
    });
    this.CONSUME(CloseParen);
    return { kind: 'set', start, end: this.endHere(), members: members.slice() };
  });

  readonly path = this.RULE('path', (): PathNode => {
    const first = this.SUBRULE(this.segment);
    if (!this.RECORDING_PHASE && !this.looksAt(Slash))
      return { start: first.start, end: first.end, segments: [first] };
    const segments = [first];
    this.MANY(() => {
      this.CONSUME(Slash);
      segments.push(this.SUBRULE1(this.segment));
    });
    return this.RECORDING_PHASE
      ? { start: 0, end: 0, segments }
      : longPath(this.scan, segments, first.start, this.endHere());
  });

  readonly paths = this.RULE('paths', (): readonly PathNode[] => {
    const list = [this.SUBRULE(this.path)];
    this.MANY(() => {
      this.OPTION(this.comma);
      list.push(this.SUBRULE1(this.path));
    });
    return list.length === 1 ? list : list.slice();
  });

  private readonly ownItems = (): readonly PathNode[] => {
    this.CONSUME(OpenBracket);
    const paths = this.SUBRULE(this.paths);
    this.CONSUME(CloseBracket);
    return paths;
  };
  private readonly ownPlace = (): PathNode => {
    this.CONSUME(At);
    return this.SUBRULE(this.path);
  };

  readonly target = this.RULE('target', (): TargetNode => {
    const name = nameNode(this.CONSUME(Name) as Token);
    const items = this.OPTION(this.ownItems);
    const place = this.OPTION1(this.ownPlace);
    return { start: name.start, end: this.endHere(), name, items, place };
  });

  readonly targets = this.RULE('targets', (): readonly TargetNode[] => {
    const list = [this.SUBRULE(this.target)];
    this.MANY(() => {
      this.OPTION(this.comma);
      list.push(this.SUBRULE1(this.target));
    });
    return list.length === 1 ? list : list.slice();
  });

  readonly expression = this.RULE('expression', (): ExpressionNode => {
    let left = this.SUBRULE(this.term);
    this.MANY(() => {
      const sign = this.OR([{ ALT: () => this.CONSUME(Plus) }, { ALT: () => this.CONSUME(Minus) }]) as Token;
      const right = this.SUBRULE1(this.term);
      left = binary(left, sign.text === '+' ? '+' : '-', right);
    });
    return left;
  });

  readonly term = this.RULE('term', (): ExpressionNode => {
    let left = this.SUBRULE(this.factor);
    this.MANY(() => {
      const sign = this.OR([{ ALT: () => this.CONSUME(Star) }, { ALT: () => this.CONSUME(Slash) }]) as Token;
      const right = this.SUBRULE1(this.factor);
      left = binary(left, sign.text === '*' ? '*' : '/', right);
    });
    return left;
  });

  readonly factor = this.RULE('factor', (): ExpressionNode => {
    return this.OR({
      DEF: [
        {
          ALT: (): ExpressionNode => {
            const target = this.SUBRULE(this.target);
            return { kind: 'reading', start: target.start, end: target.end, target };
          },
        },
        {
          ALT: (): ExpressionNode => {
            const quantity = this.SUBRULE(this.quantity);
            return { kind: 'constant', start: quantity.start, end: quantity.end, quantity };
          },
        },
        {
          ALT: (): ExpressionNode => {
            const word = this.CONSUME(FunctionWord) as Token;
            const list: ExpressionNode[] = [];
            this.CONSUME(OpenParen);
            this.AT_LEAST_ONE_SEP({
              SEP: Comma,
              DEF: () => list.push(this.SUBRULE(this.expression)),
              ERR_MSG: 'a name',
            });
            this.CONSUME(CloseParen);
            const name = word.text as FunctionName;
            const end = this.endHere();
            if (list.length > 1 && name !== 'min' && name !== 'max')
              this.ACTION(() =>
                this.scan.faults.push(
                  fault(
                    word.startOffset,
                    end,
                    `\`${name}\` takes one argument; only \`min\` and \`max\` take several.`,
                  ),
                ),
              );
            return { kind: 'call', start: word.startOffset, end, name, arguments: list };
          },
        },
        {
          ALT: (): ExpressionNode => {
            const { startOffset: start } = this.CONSUME1(OpenParen);
            const inner = this.SUBRULE1(this.expression);
            this.CONSUME1(CloseParen);
            return { ...inner, start, end: this.endHere() };
          },
        },
      ],
      ERR_MSG: 'a name, a quantity or `(`',
    });
  });

  /**
   * A statement after its keyword: the fixed part, then clauses in any order. What may stand here is the table's
   * business, so only the kinds of value are part of the recorded grammar.
   */
  readonly statement = this.RULE('statement', (spec: StatementSpec, statement: Building): void => {
    if (this.RECORDING_PHASE) this.anyValue();
    else readStatement(this, spec, statement);
  });

  /** Every rule that a value may be read by, for the recorded grammar. */
  private anyValue(): void {
    this.OR({
      MAX_LOOKAHEAD: 1,
      IGNORE_AMBIGUITIES: true,
      DEF: [
        { ALT: () => this.SUBRULE(this.quantities) },
        { ALT: () => this.SUBRULE(this.spreads) },
        { ALT: () => this.SUBRULE(this.strings) },
        { ALT: () => this.SUBRULE(this.names) },
        { ALT: () => this.SUBRULE(this.when) },
        { ALT: () => this.SUBRULE(this.paths) },
        { ALT: () => this.SUBRULE(this.targets) },
        { ALT: () => this.SUBRULE(this.expression) },
        { ALT: () => this.SUBRULE(this.reading) },
        { ALT: () => this.CONSUME(Code) },
      ],
    });
  }

  readKind(kind: ValueKind, clause: ClauseSpec | undefined): AnyValue | undefined {
    const { scan } = this;
    switch (kind) {
      case 'quantity': {
        const quantity = this.SUBRULE(this.quantity);
        const asSpread = clause !== undefined && (clause.name === 'angle' || clause.name === 'drag');
        return asSpread ? exactSpread(quantity, undefined, quantity.end) : quantity;
      }
      case 'tolerance':
        this.CONSUME(PlusMinus);
        return this.SUBRULE(this.quantity);
      case 'quantities': {
        const list = this.SUBRULE(this.quantities);
        return clause?.name === 'when' ? list.map((one) => exactSpread(one, undefined, one.end)) : list;
      }
      case 'spread':
        return this.SUBRULE(this.spread);
      case 'spreads':
        return this.SUBRULE(this.spreads);
      case 'value':
        return this.SUBRULE(this.reading);
      case 'limit-value':
        return this.looksAt(Text) ? this.SUBRULE(this.strings) : this.SUBRULE(this.spread);
      case 'strings':
        return this.SUBRULE(this.strings);
      case 'string':
        return this.looksAt(Placeholder)
          ? { ...stringNode(this.CONSUME(Placeholder) as Token), placeholder: true }
          : stringNode(this.CONSUME(Text) as Token);
      case 'name':
        return nameNode(this.CONSUME(Name) as Token);
      case 'names':
        return this.SUBRULE(this.names);
      case 'inspection': {
        if (this.looksAt(Text))
          return { ...stringNode(this.CONSUME(Text) as Token), quoted: true } as NameNode;
        return { ...nameNode(this.CONSUME(Name) as Token), quoted: false } as NameNode;
      }
      case 'choice':
        return this.choice(clause?.choices ?? []);
      case 'when':
        return this.SUBRULE(this.when);
      case 'until':
        return this.looksAt(DateToken) ? this.SUBRULE(this.when) : this.SUBRULE(this.quantity);
      case 'target':
        return this.SUBRULE(this.target);
      case 'targets':
        return this.SUBRULE(this.targets);
      case 'members':
        return this.members();
      case 'target-grade': {
        const target = this.SUBRULE(this.target);
        const grade = nameNode(this.consumeAny([Name, Integer, Text, Placeholder], expectations.grade));
        return { start: target.start, end: grade.end, target, grade };
      }
      case 'grade':
        return nameNode(this.consumeAny([Name, Integer, Text, Placeholder], expectations.grade));
      case 'expression':
        return this.SUBRULE(this.expression);
      case 'unit': {
        const unit = unitNode(scan, this.CONSUME(Unit) as Token);
        const qualifier = this.looksAt(Qualifier) ? nameNode(this.CONSUME(Qualifier) as Token) : undefined;
        return { start: unit.start, end: this.endHere(), unit, qualifier };
      }
      case 'thread':
      case 'mark':
        return nameNode(this.CONSUME(Code) as Token);
      case 'class':
        return nameNode(this.consumeAny([Code, Text, Placeholder], expectations.class));
      case 'integer':
        return numberNode(this.CONSUME(Integer) as Token);
      case 'order':
        return this.order();
      case 'layout':
        return this.layout();
      case 'adapter':
        return this.adapter();
      case 'flag':
      case 'word':
      case 'note':
        return undefined;
    }
  }

  /** One token of several types. */
  private consumeAny(types: readonly { tokenTypeIdx?: number }[], expected: string): Token {
    const one = types.find((type) => this.looksAt(type)) ?? types[0];
    return this.CONSUME(one as typeof Name, { ERR_MSG: expected }) as Token;
  }

  /** A reading, in a rule or by itself. */
  readonly reading = this.RULE('reading', (): ValueNode | undefined => {
    return this.OR({
      DEF: [
        {
          ALT: (): ValueNode | undefined => {
            const word = this.CONSUME(Text) as Token;
            return { kind: 'word', start: word.startOffset, end: word.end, text: word.text };
          },
        },
        { ALT: (): ValueNode | undefined => withoutTolerance(this.scan, this.SUBRULE(this.spread)) },
      ],
      ERR_MSG: expectations.value,
    });
  });

  private choice(choices: readonly string[]): NameNode | undefined {
    const { scan } = this;
    const word = this.CONSUME(Name, { ERR_MSG: either(choices.map(quoted)) }) as Token;
    if (choices.includes(word.text)) return nameNode(word);
    const near = nearestWords(word.text, choices);
    scan.faults.push(
      fault(
        word.startOffset,
        word.end,
        `${quoted(word.text)} is not ${either(choices.map(quoted))}.`,
        near.map((one) => writeFix(word.startOffset, word.end, one)),
      ),
    );
    return undefined;
  }

  private members(): readonly TargetNode[] {
    const list = [this.SUBRULE(this.target)];
    while (this.looksAt(Comma)) {
      this.CONSUME(Comma);
      list.push(this.SUBRULE1(this.target));
    }
    return list;
  }

  private order(): OrderNode {
    const items = this.SUBRULE(this.paths);
    const [first] = items;
    const start = first?.start ?? 0;
    const end = items.at(-1)?.end ?? 0;
    const word = first?.segments[0];
    if (
      items.length === 1 &&
      first?.segments.length === 1 &&
      word?.kind === 'word' &&
      choicesOfOrder.has(word.text)
    )
      return { kind: word.text as 'cross' | 'centre-out' | 'any', start, end };
    return { kind: 'listed', start, end, items };
  }

  private layout(): LayoutNode | undefined {
    const word = this.choice(['circle', 'rows']);
    if (word === undefined) {
      this.index = this.scan.count - 1;
      return undefined;
    }
    if (word.text === 'circle') return { kind: 'circle', start: word.start, end: word.end };
    const rows = this.CONSUME(Integer, { ERR_MSG: 'the number of rows' }) as Token;
    return { kind: 'rows', start: word.start, end: rows.end, rows: rows.value };
  }

  private adapter(): AdapterNode {
    const list = this.SUBRULE(this.quantities);
    const [length, angle, third] = list;
    if (length === undefined) throw new Error('a list of quantities holds one');
    if (third !== undefined)
      this.scan.faults.push(
        fault(
          third.start,
          list.at(-1)?.end ?? third.end,
          'An adapter has a length and an angle, nothing more.',
        ),
      );
    return { start: length.start, end: (angle ?? length).end, length, angle };
  }

  /** Parses the statement that the scan stands in, after its keyword. */
  read(spec: StatementSpec, statement: Building): void {
    this.index = -1;
    this.statement(spec, statement);
  }

  /** Parses all that the scan holds by one rule. Undefined, and a fault, when it cannot be read. */
  readAll<T>(rule: () => T): T | undefined {
    const { scan } = this;
    this.index = -1;
    const value = rule();
    const [error] = this.errors;
    if (error !== undefined) {
      this.errors = [];
      tellMismatch(this, error, undefined);
      return undefined;
    }
    if (this.index + 1 < scan.count || skipBlanks(scan)) {
      const rest = this.next();
      const start = rest === scan.endToken ? scan.at : rest.startOffset;
      const end = rest === scan.endToken ? runEnd(scan, start) : rest.end;
      scan.faults.push(fault(start, end, `${quoted(scan.text.slice(start, end))} was not expected here.`));
      return undefined;
    }
    return scan.doubtful ? undefined : value;
  }
}

let parser: StatementParser | undefined;

/** The one parser; built when it is first asked for. */
export function statementParser(): StatementParser {
  parser ??= new StatementParser(process.env.WITNESSMARK_PRODUCTION !== undefined);
  return parser;
}

/** A parser whose grammar Chevrotain has checked: for the test that does just that. */
export function validatedParser(): StatementParser {
  return new StatementParser(false);
}

export type { StatementParser };
