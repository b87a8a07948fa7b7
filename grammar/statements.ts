/**
 * The one table of the language: every statement, its fixed part and its clauses.
 *
 * It drives the parser, completion, signature help, the order in which the formatter writes clauses, the
 * highlighting and the reference. Adding a statement or a clause starts (and mostly ends) here.
 */

/** How the text after a keyword (or in a fixed part) is read. */
export type ValueKind =
  | 'flag' // nothing follows; the word says it all
  | 'word' // nothing follows; which of several words was written is the value
  | 'choice' // one of the listed words follows
  | 'name' // one declared name
  | 'names' // names, by blanks or commas
  | 'string'
  | 'strings' // words as values
  | 'quantity'
  | 'quantities' // by commas
  | 'spread'
  | 'spreads' // by commas
  | 'value' // a reading: quantity, range, bound, word in quotes, `?`
  | 'when' // a date, a date and time, a time, `?`
  | 'target'
  | 'targets' // by blanks or commas
  | 'members' // targets, by commas
  | 'expression'
  | 'unit' // a unit with its qualifier
  | 'thread'
  | 'class' // 8.8, A2-70 or a string
  | 'grade' // a name, a whole number or a string
  | 'integer'
  | 'order' // cross | centre-out | any | item paths
  | 'layout' // circle | rows N
  | 'adapter' // a length, and an angle
  | 'until' // hours or a date
  | 'target-grade' // a target and a grade
  | 'tolerance' // ± quantity
  | 'inspection' // a declared inspection, or words in quotes
  | 'limit-value' // a spread or words in quotes
  | 'mark' // 16 or 64 hexadecimal digits
  | 'note'; // the rest of the line, as it stands

/** What a name refers to; the binder resolves it, completion offers it. */
export type Refers =
  | 'tool'
  | 'person'
  | 'sealant'
  | 'assembly'
  | 'fastener'
  | 'part'
  | 'joint'
  | 'limit'
  | 'inspection'
  | 'open-item'
  | 'declared' // anything of the shared name space
  | 'applied' // a sealant, a lock word or `stripe`
  | 'new'; // the statement itself declares the name

export interface ClauseSpec {
  /** The clause's name in the tree; for most, its keyword. */
  readonly name: ClauseName;
  /** The words that begin it. */
  readonly words: readonly string[];
  readonly value: ValueKind;
  readonly choices?: readonly string[];
  readonly required?: true;
  /** Several of its words may stand, each once (`builder inspector`). */
  readonly several?: true;
  readonly refers?: Refers;
  /** One sentence for completion and hover. */
  readonly about: string;
}

export interface FixedSpec {
  readonly name: FixedName;
  readonly value: ValueKind;
  readonly optional?: true;
  /** The sign that must stand before it. */
  readonly after?: '=';
  readonly refers?: Refers;
  readonly about: string;
}

export interface StatementSpec {
  readonly keyword: StatementKind;
  /** What a builder may write in its place: no line begins with these, and whoever writes one is told the keyword. */
  readonly others?: readonly string[];
  /**
   * Where it may stand. `opening`: first line of its kind of file. `declaration`: anywhere. `step`, `entry`,
   * `closing`: only in a log; `sign` and `release` close the step.
   */
  readonly place: 'opening' | 'declaration' | 'step' | 'entry' | 'closing';
  readonly fixed: readonly FixedSpec[];
  readonly clauses: readonly ClauseSpec[];
  /** A table may follow. */
  readonly rows?: true;
  /** At least one of these must stand (`rows`: a table), and how that is said. */
  readonly oneOf?: readonly (FixedName | ClauseName | 'rows')[];
  readonly oneOfAbout?: string;
  readonly about: string;
}

export type StatementKind =
  | 'log'
  | 'limits'
  | 'bench'
  | 'source'
  | 'use'
  | 'machine'
  | 'covers'
  | 'tolerance'
  | 'person'
  | 'tool'
  | 'sealant'
  | 'assembly'
  | 'limit'
  | 'fastener'
  | 'part'
  | 'stack'
  | 'joint'
  | 'inspection'
  | 'step'
  | 'remove'
  | 'fit'
  | 'apply'
  | 'finger-tight'
  | 'loosen'
  | 'measure'
  | 'torque'
  | 'inspect'
  | 'photo'
  | 'open'
  | 'close'
  | 'accept'
  | 'run'
  | 'note'
  | 'sign'
  | 'release';

export type FixedName =
  | 'name'
  | 'text'
  | 'names'
  | 'target'
  | 'targets'
  | 'tolerance'
  | 'expression'
  | 'limit'
  | 'thread'
  | 'members'
  | 'when'
  | 'value'
  | 'quantity'
  | 'subject'
  | 'note';

export type ClauseName =
  | 'mark'
  | 'serial'
  | 'hours'
  | 'role'
  | 'licence'
  | 'range'
  | 'accuracy'
  | 'resolution'
  | 'uncertainty'
  | 'length'
  | 'material'
  | 'calibrated'
  | 'due'
  | 'cure'
  | 'open'
  | 'torqued'
  | 'wear'
  | 'when'
  | 'of'
  | 'for'
  | 'before'
  | 'ref'
  | 'class'
  | 'torque'
  | 'stages'
  | 'angle'
  | 'drag'
  | 'lock'
  | 'order'
  | 'layout'
  | 'lubricant'
  | 'once'
  | 'retorque'
  | 'facing'
  | 'facing-recorded'
  | 'life'
  | 'temporary'
  | 'sealant'
  | 'fasteners'
  | 'needs'
  | 'by'
  | 'with'
  | 'temp'
  | 'scrap'
  | 'at'
  | 'because'
  | 'condition'
  | 'grade'
  | 'pn'
  | 'batch'
  | 'to'
  | 'in'
  | 'as'
  | 'stage'
  | 'again'
  | 'adapter'
  | 'set'
  | 'verdict'
  | 'until';

const text = (about: string): FixedSpec => ({ name: 'text', value: 'string', about });
const newName = (about: string): FixedSpec => ({ name: 'name', value: 'name', refers: 'new', about });
const target = (about: string, refers: Refers): FixedSpec => ({
  name: 'target',
  value: 'target',
  refers,
  about,
});

type Options = Partial<Omit<ClauseSpec, 'name' | 'value' | 'about'>>;
const clause = (name: ClauseName, value: ValueKind, about: string, options: Options = {}): ClauseSpec => ({
  name,
  words: [name],
  value,
  about,
  ...options,
});
const required = { required: true } as const;

const withTool = clause('with', 'name', 'the tool that was used', { refers: 'tool' });
const by = clause('by', 'names', 'who did it', { refers: 'person' });
const at = clause('at', 'when', 'when it was done');
const temp = clause('temp', 'quantity', 'the temperature of the part');
const because = clause('because', 'string', 'the reason');
const common: readonly ClauseSpec[] = [withTool, by, at, temp, because];

const mark = clause('mark', 'mark', 'the digest that was pinned or signed');
const ref = clause('ref', 'string', 'where the manual says so');
const of = clause('of', 'target', 'what it rests on: once that is replaced or reopened, it is due again', {
  refers: 'declared',
});
const before = clause('before', 'target', 'what must not be closed or fitted until it is done', {
  refers: 'declared',
});

/** Every statement of the language, in the order of the reference. */
export const statements: Readonly<Record<StatementKind, StatementSpec>> = {
  log: {
    keyword: 'log',
    others: ['rebuild', 'overhaul', 'logbook'],
    place: 'opening',
    fixed: [text('what this log is about')],
    clauses: [],
    about: 'Opens a rebuild log.',
  },
  limits: {
    keyword: 'limits',
    place: 'opening',
    fixed: [text('which machine and issue')],
    clauses: [],
    about: 'Opens a table of limits.',
  },
  bench: {
    keyword: 'bench',
    others: ['register', 'workshop'],
    place: 'opening',
    fixed: [text('which workshop')],
    clauses: [],
    about: "Opens a workshop's register.",
  },
  source: {
    keyword: 'source',
    others: ['manual', 'reference'],
    place: 'declaration',
    fixed: [text('the document')],
    clauses: [],
    about: 'Says where the lines below were copied from.',
  },
  use: {
    keyword: 'use',
    others: ['include', 'import'],
    place: 'declaration',
    fixed: [text('a file, relative to this one')],
    clauses: [mark],
    about: 'Brings in the declarations of another file.',
  },
  machine: {
    keyword: 'machine',
    others: ['engine'],
    place: 'declaration',
    fixed: [newName('the type of machine')],
    clauses: [
      clause('serial', 'string', 'its serial number', required),
      clause('hours', 'quantity', 'its running hours at the start of this log'),
    ],
    about: 'Names the machine that is rebuilt.',
  },
  covers: {
    keyword: 'covers',
    others: ['scope'],
    place: 'declaration',
    fixed: [{ name: 'names', value: 'names', refers: 'assembly', about: 'assemblies' }],
    clauses: [],
    about: 'The assemblies that this log must account for.',
  },
  tolerance: {
    keyword: 'tolerance',
    place: 'declaration',
    fixed: [{ name: 'tolerance', value: 'tolerance', about: '± a quantity' }],
    clauses: [],
    about: 'How far a bare torque below may be off.',
  },
  person: {
    keyword: 'person',
    others: ['mechanic', 'technician', 'people'],
    place: 'declaration',
    fixed: [newName('initials'), text('full name')],
    clauses: [
      clause('role', 'word', 'what the person may do here', {
        words: ['builder', 'inspector'],
        several: true,
        required: true,
      }),
      clause('licence', 'string', 'licence or certificate number'),
    ],
    about: 'Registers a person.',
  },
  tool: {
    keyword: 'tool',
    others: ['wrench', 'gauge', 'instrument'],
    place: 'declaration',
    fixed: [newName('its name at the bench'), text('what it is')],
    clauses: [
      clause('range', 'spread', 'what it can read or set'),
      clause('accuracy', 'quantity', 'in % of reading, or as a quantity'),
      clause('resolution', 'quantity', 'its smallest step'),
      clause('uncertainty', 'quantity', 'expanded uncertainty U (k = 2) of its calibration'),
      clause('length', 'quantity', 'handle to square drive, for adapters'),
      clause('material', 'name', 'what it is made of, for thermal expansion'),
      clause('calibrated', 'when', 'when it was last calibrated'),
      clause('due', 'when', 'when its calibration runs out'),
    ],
    about: 'Registers a tool with its calibration.',
  },
  sealant: {
    keyword: 'sealant',
    others: ['sealer', 'threadlocker'],
    place: 'declaration',
    fixed: [newName('its name at the bench'), text('what it is')],
    clauses: [
      clause('cure', 'quantity', 'how long it sets before it may be loaded'),
      clause('open', 'quantity', 'how long it may stand before the joint is closed'),
      clause('torqued', 'choice', 'whether the joint is torqued wet or cured', {
        words: ['torque'],
        choices: ['cured', 'wet'],
      }),
      clause('due', 'when', 'the date it must be used by'),
    ],
    about: 'Registers a sealant or threadlocker.',
  },
  assembly: {
    keyword: 'assembly',
    place: 'declaration',
    fixed: [newName('its name'), { ...text('what it is'), optional: true }],
    clauses: [],
    about: 'Groups what follows, up to the next assembly.',
  },
  limit: {
    keyword: 'limit',
    others: ['clearance', 'dimension', 'spec'],
    place: 'declaration',
    fixed: [
      target('what is measured', 'new'),
      { name: 'expression', value: 'expression', optional: true, after: '=', about: 'how it is worked out' },
      {
        name: 'limit',
        value: 'limit-value',
        optional: true,
        about: 'the range for new parts, or the allowed words',
      },
    ],
    clauses: [
      clause('wear', 'spread', 'how far it may go in service'),
      clause('when', 'spreads', 'the conditions of the test'),
      of,
      clause('for', 'target-grade', 'the grade of a part for which this limit holds', { refers: 'part' }),
      before,
      ref,
      clause('material', 'name', 'what the part is made of, for thermal expansion'),
    ],
    oneOf: ['limit', 'wear'],
    oneOfAbout: 'a limit such as `0.05..0.08 mm`, words in quotes, or `wear`',
    about: "One line of the manual's limits.",
  },
  fastener: {
    keyword: 'fastener',
    others: ['bolt', 'bolts', 'screw', 'screws', 'nut', 'nuts', 'stud', 'studs'],
    place: 'declaration',
    fixed: [
      target('the group and its members', 'new'),
      { name: 'thread', value: 'thread', optional: true, about: 'M8, M8x1.25, 1/4-20 UNC' },
    ],
    clauses: [
      clause('class', 'class', 'property class'),
      clause('torque', 'spread', 'final torque', required),
      clause('stages', 'quantities', 'torques on the way to the final one'),
      clause('angle', 'spread', 'turn after the torque'),
      clause('drag', 'spread', 'prevailing torque of a locking nut'),
      clause('lock', 'name', 'how it is locked: a word of the trade or a sealant', { refers: 'applied' }),
      clause('order', 'order', 'the order in which they are tightened'),
      clause('layout', 'layout', 'how they lie'),
      clause('lubricant', 'name', 'what the torque is stated for'),
      clause('once', 'flag', 'never to be used again once torqued'),
      clause('retorque', 'quantity', 'running hours after which it is torqued again'),
      of,
      before,
      ref,
    ],
    about: 'A group of fasteners with its torque.',
  },
  part: {
    keyword: 'part',
    others: ['component', 'gasket', 'seal'],
    place: 'declaration',
    fixed: [target('the part and its members', 'new'), { ...text('what it is'), optional: true }],
    clauses: [
      clause('once', 'flag', 'never to be used again once fitted'),
      clause('facing-recorded', 'flag', 'the way round must be recorded', { words: ['facing'] }),
      clause('life', 'quantities', 'calendar or running life, whichever comes first'),
      clause('temporary', 'flag', 'what goes in must come out before release'),
    ],
    about: 'A part that is removed and fitted.',
  },
  stack: {
    keyword: 'stack',
    place: 'declaration',
    fixed: [
      newName('its name'),
      {
        name: 'members',
        value: 'members',
        after: '=',
        refers: 'part',
        about: 'parts, in the order in which they go in',
      },
    ],
    clauses: [],
    about: 'Parts that go in one order.',
  },
  joint: {
    keyword: 'joint',
    others: ['flange'],
    place: 'declaration',
    fixed: [newName('its name')],
    clauses: [
      clause('sealant', 'name', 'what seals it', { refers: 'sealant' }),
      clause('fasteners', 'names', 'the groups that close it', { refers: 'fastener' }),
    ],
    about: 'A joint: its sealant and the fasteners that close it.',
  },
  inspection: {
    keyword: 'inspection',
    others: ['checkpoint'],
    place: 'declaration',
    fixed: [newName('its name'), text('what is looked at')],
    clauses: [
      clause('needs', 'choice', 'who must do it', { choices: ['builder', 'inspector'] }),
      of,
      before,
      ref,
    ],
    about: 'A check that the manual asks for.',
  },
  step: {
    keyword: 'step',
    others: ['task', 'job', 'operation'],
    place: 'step',
    fixed: [text('what is done'), { name: 'when', value: 'when', about: 'date and time' }],
    clauses: [by, withTool, temp],
    about: 'Opens a step; what follows belongs to it and inherits its clauses.',
  },
  remove: {
    keyword: 'remove',
    others: ['dismantle', 'disassemble', 'strip'],
    place: 'entry',
    fixed: [target('the part', 'part')],
    clauses: [clause('scrap', 'flag', 'it will not go back'), ...common],
    about: 'A part comes out.',
  },
  fit: {
    keyword: 'fit',
    others: ['install', 'installed', 'fitted', 'mount', 'assemble', 'replace', 'refit'],
    place: 'entry',
    fixed: [target('the part', 'part')],
    clauses: [
      clause('condition', 'word', 'which part goes in', { words: ['new', 'reused', 'reworked'] }),
      clause('grade', 'grade', 'oversize or size group'),
      clause('pn', 'string', 'part number'),
      clause('batch', 'string', 'batch or lot'),
      clause('facing', 'string', 'which way round'),
      ...common,
    ],
    about: 'A part goes in.',
  },
  apply: {
    keyword: 'apply',
    others: ['applied', 'seal', 'grease', 'lubricate', 'coat'],
    place: 'entry',
    fixed: [{ name: 'name', value: 'name', refers: 'applied', about: 'a sealant, a lock, or stripe' }],
    clauses: [clause('to', 'targets', 'where it goes', { required: true, refers: 'declared' }), ...common],
    about: 'Sealant, a lock or the witness mark is put on.',
  },
  'finger-tight': {
    keyword: 'finger-tight',
    others: ['snug', 'hand-tight'],
    place: 'entry',
    fixed: [target('the fasteners', 'fastener')],
    clauses: common,
    about: 'Fasteners are run down by hand; they must be torqued before release.',
  },
  loosen: {
    keyword: 'loosen',
    others: ['slacken', 'undo', 'unscrew'],
    place: 'entry',
    fixed: [target('the fasteners', 'fastener')],
    clauses: common,
    about: 'Fasteners are slackened; they are due again.',
  },
  measure: {
    keyword: 'measure',
    others: ['check', 'gauge', 'reading'],
    place: 'entry',
    fixed: [
      target('what was measured', 'limit'),
      { name: 'value', value: 'value', optional: true, after: '=', about: 'the reading' },
    ],
    clauses: [
      clause('in', 'unit', 'the unit of bare cells'),
      clause('when', 'quantities', 'the conditions of the test'),
      clause('as', 'choice', 'why it stands beside others', { choices: ['found', 'left', 'corrected'] }),
      ...common,
    ],
    rows: true,
    oneOf: ['value', 'rows'],
    oneOfAbout: '`=` and a reading, or a table below it',
    about: 'A reading, or a table of readings.',
  },
  torque: {
    keyword: 'torque',
    others: ['tighten', 'tightened'],
    place: 'entry',
    fixed: [target('the fasteners, in the order they were done', 'fastener')],
    clauses: [
      clause('to', 'quantity', 'the torque at the fastener'),
      clause('angle', 'quantity', 'the turn after it'),
      clause('stage', 'integer', 'which stage, where two share a value'),
      clause('again', 'flag', 'a later pass at the final value', { words: ['retorque'] }),
      clause('drag', 'quantity', 'the prevailing torque that was felt'),
      clause('lubricant', 'name', 'what was on the thread'),
      clause('adapter', 'adapter', 'length and angle of the extension'),
      clause('set', 'quantity', 'what the wrench was set to'),
      ...common,
    ],
    oneOf: ['to', 'angle'],
    oneOfAbout: '`to` and a torque, or `angle`',
    about: 'Fasteners are torqued.',
  },
  inspect: {
    keyword: 'inspect',
    others: ['check', 'examine'],
    place: 'entry',
    fixed: [
      {
        name: 'subject',
        value: 'inspection',
        refers: 'inspection',
        about: 'an inspection of the limits, or any words in quotes',
      },
    ],
    clauses: [
      clause('verdict', 'word', 'how it came out', { words: ['pass', 'fail', '?'], required: true }),
      ...common,
    ],
    about: 'An inspection was done.',
  },
  photo: {
    keyword: 'photo',
    others: ['picture', 'image'],
    place: 'entry',
    fixed: [text('the file'), { ...text('what it shows'), optional: true }],
    clauses: [mark, ...common],
    about: 'A photograph that belongs to the record.',
  },
  open: {
    keyword: 'open',
    others: ['todo'],
    place: 'entry',
    fixed: [{ ...newName('a short name'), refers: 'open-item' }, text('what is still to do')],
    clauses: common,
    about: 'Opens an item that must be closed before release.',
  },
  close: {
    keyword: 'close',
    others: ['done'],
    place: 'entry',
    fixed: [
      { name: 'name', value: 'name', refers: 'open-item', about: 'the open item' },
      { ...text('how'), optional: true },
    ],
    clauses: common,
    about: 'Closes an open item.',
  },
  accept: {
    keyword: 'accept',
    others: ['concession', 'waive'],
    place: 'entry',
    fixed: [target('what is accepted as it is', 'declared')],
    clauses: [
      clause('because', 'string', 'why it may stay', required),
      clause('by', 'names', 'the inspector who accepts it', { required: true, refers: 'person' }),
      clause('until', 'until', 'machine hours or a date'),
      at,
    ],
    about: 'A recorded concession.',
  },
  run: {
    keyword: 'run',
    others: ['test', 'start'],
    place: 'entry',
    fixed: [
      { name: 'quantity', value: 'quantity', about: 'how long' },
      { ...text('how it was run'), optional: true },
    ],
    clauses: common,
    about: 'The machine ran; its hours go up.',
  },
  note: {
    keyword: 'note',
    others: ['comment', 'remark'],
    place: 'entry',
    fixed: [{ name: 'note', value: 'note', about: 'anything' }],
    clauses: [],
    about: 'Free text, to the end of the line.',
  },
  sign: {
    keyword: 'sign',
    others: ['signature'],
    place: 'closing',
    fixed: [
      { name: 'name', value: 'name', refers: 'person', about: 'who signs' },
      text('for what'),
      { name: 'when', value: 'when', about: 'date and time' },
    ],
    clauses: [mark],
    about: 'Signs for what stands above.',
  },
  release: {
    keyword: 'release',
    others: ['return'],
    place: 'closing',
    fixed: [
      { name: 'name', value: 'name', refers: 'person', about: 'the inspector who releases' },
      text('for what'),
      { name: 'when', value: 'when', about: 'date and time' },
    ],
    clauses: [clause('hours', 'quantity', 'the machine hours at release'), mark],
    about: 'Closes the log: every requirement is now due.',
  },
};

export const statementKinds = Object.keys(statements) as readonly StatementKind[];

/** The statement that a line's first word begins, if it is one. */
export function statementSpec(word: string): StatementSpec | undefined {
  return Object.hasOwn(statements, word) ? statements[word as StatementKind] : undefined;
}
