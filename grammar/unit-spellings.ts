/**
 * Unit spellings: which ways of writing a unit are read, and the one canonical way each is written back.
 *
 * What a unit measures and how it converts is told in server/quantities. Spellings are taken generously; the
 * rulings that matter:
 * - a product's factors may stand in either order and be joined by `·`, `.`, `*`, `-`, one blank or nothing, but
 *   `mN` is no torque (it is a millinewton to everybody else);
 * - `lb` inside a torque or over an area or a length is a force, so is `kg`; alone they are masses;
 * - `C` and `F` alone are temperatures, `mil` is a thou and never an angle, `gal` and `fl_oz` are the US ones;
 * - a quotient is any unit over any simple unit (`N/mm`, `L/min`); `1/min` is none;
 * - an inch or foot mark is not a unit: the lexer reports it with the fix.
 */
import { distance } from 'fastest-levenshtein';

/** Each simple unit with its other spellings. The order is that of the language page, then what it leaves out. */
const simpleUnits: Readonly<Record<string, string>> = {
  m: 'metre metres meter meters',
  cm: 'centimetre centimetres centimeter centimeters',
  mm: 'millimetre millimetres millimeter millimeters',
  µm: '\u03bcm um micron microns micrometre micrometres micrometer micrometers',
  in: 'inch inches IN',
  ft: 'foot feet FT',
  thou: 'thous mil mils',
  '°': 'º deg degs degree degrees',
  rad: 'rads radian radians',
  turn: 'turns rev revs revolution revolutions',
  'mm²': 'mm2 mm^2 sq_mm',
  'cm²': 'cm2 cm^2 sq_cm',
  'm²': 'm2 m^2 sq_m',
  'in²': 'in2 in^2 sq_in',
  'mm³': 'mm3 mm^3',
  'cm³': 'cm3 cm^3 cc ccm mL ml millilitre millilitres milliliter milliliters',
  L: 'l ltr litre litres liter liters',
  'in³': 'in3 in^3 cu_in cuin',
  fl_oz: 'floz fl.oz fl-oz fl_ozs US_floz US_fl_oz',
  gal: 'gals gallon gallons US_gal',
  N: 'newton newtons Newton Newtons',
  kN: 'kilonewton kilonewtons',
  lbf: 'LBF lbsf',
  kgf: 'kp',
  Pa: 'pascal pascals',
  kPa: 'kpa KPa Kpa kilopascal kilopascals',
  MPa: 'Mpa megapascal megapascals',
  bar: 'bars Bar BAR',
  mbar: 'mbars millibar millibars hPa',
  psi: 'PSI Psi lb/in² lb/in2 lbs/in² lbs/in2 lbf/in² lbf/in2',
  inHg: 'in_Hg in.Hg in-Hg inhg',
  mmHg: 'mm_Hg mmhg',
  inH2O: 'inH₂O in_H2O in_H₂O in.H2O in-H2O inh2o',
  kg: 'kgs Kg KG kilogram kilograms',
  g: 'gm gms gram grams gramme grammes',
  lb: 'lbs LB LBS Lb Lbs lbm pound pounds',
  oz: 'ozs OZ ounce ounces',
  '°C': 'ºC ℃ C degC deg_C deg.C °_C º_C celsius Celsius',
  '°F': 'ºF ℉ F degF deg_F deg.F °_F º_F fahrenheit Fahrenheit',
  K: 'kelvin kelvins',
  s: 'sec secs second seconds',
  min: 'mins minute minutes',
  h: 'hr hrs hour hours',
  d: 'day days',
  months: 'month mo mos',
  years: 'year yr yrs',
  rpm: 'RPM Rpm r/min',
  V: 'volt volts',
  A: 'amp amps ampere amperes',
  Ω: '\u2126 ohm ohms Ohm Ohms',
  kΩ: 'k\u2126 kohm kohms kOhm',
  '%': 'percent',
  count: 'counts pcs pieces',
  µin: '\u03bcin uin microinch microinches',
  arcmin: 'arcmins',
  ozf: '',
  atm: '',
  J: 'joule joules',
  kJ: 'kilojoule kilojoules',
  W: 'watt watts',
  kW: 'kilowatt kilowatts',
  hp: 'HP bhp BHP',
  PS: '',
  mV: 'millivolt millivolts',
  mA: 'milliamp milliamps',
  mΩ: 'm\u2126 mohm mohms mOhm milliohm milliohms',
  MΩ: 'M\u2126 Mohm Mohms MOhm megohm megohms',
  imp_gal: 'imp.gal UK_gal',
  imp_fl_oz: 'imp_floz UK_fl_oz imp.floz UK_floz',
};

const newton = ['N', 'newton', 'newtons', 'Newton', 'Newtons'];
const metre = ['m', 'metre', 'metres', 'meter', 'meters'];
const kilogramForce = ['kgf', 'kg', 'kp', 'Kg', 'KG'];
const inch = ['in', 'inch', 'inches', 'IN', 'In', 'in.'];
const foot = ['ft', 'foot', 'feet', 'FT', 'Ft', 'ft.'];
const pound = ['lbf', 'lb', 'lbs', 'pound', 'pounds', 'LBF', 'LB', 'LBS', 'Lb', 'Lbs'];
const ounce = ['ozf', 'oz', 'ounce', 'ounces', 'OZ'];

/** Each product with the spellings of its first and of its second factor. */
const products: readonly (readonly [string, readonly string[], readonly string[]])[] = [
  ['N·m', newton, metre],
  ['cN·m', ['cN'], metre],
  ['dN·m', ['dN'], metre],
  ['kgf·m', kilogramForce, metre],
  ['kgf·cm', kilogramForce, ['cm']],
  ['in·lbf', inch, pound],
  ['ft·lbf', foot, pound],
  ['in·ozf', inch, ounce],
  ['N·mm', newton, ['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters']],
  ['daN·m', ['daN'], metre],
];

const joints = ['·', '⋅', '∙', '•', '.', '*', '×', '-', ' ', ''];
const blanks = /[\u00a0\u2002-\u200a\u202f]/g;

/** Quotients that the trade writes with a mass where it means a force, or that have a name of their own. */
const quotientNames: ReadonlyMap<string, string> = new Map([
  ['kg/cm²', 'kgf/cm²'],
  ['kg/mm²', 'kgf/mm²'],
  ['kg/mm', 'kgf/mm'],
  ['kg/cm', 'kgf/cm'],
  ['lb/in', 'lbf/in'],
  ['lb/in²', 'psi'],
  ['lbf/in²', 'psi'],
  ['turn/min', 'rpm'],
]);

const withoutDenominator: ReadonlySet<string> = new Set(['%', 'count']);

/** Every canonical unit name but the quotients, which are formed from these. */
export const unitNames: readonly string[] = namesInOrder();

function namesInOrder(): string[] {
  const names = Object.keys(simpleUnits);
  names.splice(names.indexOf('N'), 0, ...products.slice(0, 8).map(([name]) => name));
  names.push(...products.slice(8).map(([name]) => name));
  return names;
}

let spellingTable: ReadonlyMap<string, string> | undefined;

/** Every spelling but the quotients', with the name it stands for; built when first asked for. */
function spellings(): ReadonlyMap<string, string> {
  spellingTable ??= collectSpellings();
  return spellingTable;
}

function collectSpellings(): Map<string, string> {
  const table = new Map<string, string>();
  for (const [name, others] of Object.entries(simpleUnits)) {
    table.set(name, name);
    if (name.includes('_')) table.set(name.replaceAll('_', ' '), name);
    for (const other of others.split(' ')) {
      if (other === '') continue;
      table.set(other, name);
      if (other.includes('_')) table.set(other.replaceAll('_', ' '), name);
    }
  }
  for (const [name, firsts, seconds] of products) {
    for (const first of firsts) {
      for (const second of seconds) {
        for (const joint of joints) {
          table.set(first + joint + second, name);
          const reversedIsSomethingElse = joint === '' && first.endsWith('N');
          if (!reversedIsSomethingElse) table.set(second + joint + first, name);
        }
      }
    }
  }
  table.set('NM', 'N·m');
  return table;
}

/**
 * The canonical name of the unit spelled so, or undefined when no unit is. No-break and thin blanks count as
 * blanks. Quotients are read as far as both sides are units: `N/mm`, `kPa/min`.
 */
export function canonicalUnit(spelling: string): string | undefined {
  const name = spellings().get(spelling);
  if (name !== undefined) return name;
  const plain = spelling.replace(blanks, ' ');
  return spellings().get(plain) ?? canonicalQuotient(plain);
}

function canonicalQuotient(spelling: string): string | undefined {
  const slash = spelling.indexOf('/');
  if (slash < 0) return undefined;
  const numerator = spellings().get(spelling.slice(0, slash));
  const denominator = spellings().get(spelling.slice(slash + 1));
  if (numerator === undefined || denominator === undefined) return undefined;
  if (denominator.includes('·') || withoutDenominator.has(denominator)) return undefined;
  const name = `${numerator}/${denominator}`;
  return quotientNames.get(name) ?? name;
}

/** Whether a unit is spelled so. */
export function isUnitSpelling(text: string): boolean {
  return canonicalUnit(text) !== undefined;
}

/** One factor of a unit as it stands in a line: `%`, `°C`, `mm²`, `inH2O`. */
const atom = /%|[°º℃℉]\p{L}*|\p{L}[\p{L}\p{M}\p{N}_]*(?:\^[23])?/uy;
/** What may join two factors, before the second one's letter. */
const joint = /(?:[·⋅∙•*×]|\.?-|\. ?|[ \u00a0\u2002-\u200a\u202f])(?=\p{L})/uy;
/** `US fl oz` has three words, no spelling has more. */
const mostWords = 3;
/** What goes on a word that ended before it: a letter, a digit, or a mark that joins a further letter to it. */
const wordGoesOn = /[\p{L}\p{M}\p{N}_]|[-.·⋅∙•*×]\p{L}/uy;
const gluedQualifier = /[°º](?=(?:TIR|FIM|[BA][TB]DC)(?![\p{L}\p{N}_]))/uy;

function endOfMatch(pattern: RegExp, text: string, at: number): number | undefined {
  pattern.lastIndex = at;
  return pattern.test(text) ? pattern.lastIndex : undefined;
}

/**
 * The longest unit spelling that starts exactly at `from` and ends with a word: what follows is no letter, digit,
 * `_`, nor a `-`, `.` or `·` before a letter. So `in-lbx` holds no unit, `24 N with` holds N, and the `..` of
 * `24 N·m..26 N·m`, an unknown `/word` or a `-5` are left where they stand. Undefined when there is none.
 */
export function readUnit(text: string, from: number): { name: string; end: number } | undefined {
  const ends: number[] = [];
  let end = endOfMatch(atom, text, from);
  while (end !== undefined && ends.length < mostWords) {
    ends.unshift(end);
    const next = endOfMatch(joint, text, end);
    end = next === undefined ? undefined : endOfMatch(atom, text, next);
  }
  for (const wordEnd of ends) {
    const unit = readUnitTo(text, from, wordEnd);
    if (unit !== undefined) return unit;
  }
  const degreeEnd = endOfMatch(gluedQualifier, text, from);
  return degreeEnd === undefined ? undefined : { name: '°', end: degreeEnd };
}

/** The unit from `from` to `end`, or the quotient that it begins. */
function readUnitTo(text: string, from: number, end: number): { name: string; end: number } | undefined {
  if (text[end] === '/') {
    const quotientEnd = endOfMatch(atom, text, end + 1);
    if (quotientEnd !== undefined && endOfMatch(wordGoesOn, text, quotientEnd) === undefined) {
      const quotient = canonicalUnit(text.slice(from, quotientEnd));
      if (quotient !== undefined) return { name: quotient, end: quotientEnd };
    }
  }
  if (endOfMatch(wordGoesOn, text, end) !== undefined) return undefined;
  const name = canonicalUnit(text.slice(from, end));
  return name === undefined ? undefined : { name, end };
}

/** Up to three canonical names whose spellings are nearest to the text, nearest first; none when all are far. */
export function nearestUnits(text: string): string[] {
  const plain = text.trim().replace(blanks, ' ');
  const slash = plain.indexOf('/');
  if (slash > 0) {
    const numerators = nearestSimple(plain.slice(0, slash));
    const denominators = nearestSimple(plain.slice(slash + 1));
    const quotients = numerators.flatMap((above) =>
      denominators.map((below) => canonicalUnit(`${above}/${below}`)).filter((name) => name !== undefined),
    );
    return [...new Set(quotients)].slice(0, 3);
  }
  return nearestSimple(plain);
}

function nearestSimple(text: string): string[] {
  const exact = canonicalUnit(text);
  if (exact !== undefined) return [exact];
  const wanted = text.toLowerCase();
  const allowed = Math.min(2, Math.floor(text.length / 2));
  const nearest = new Map<string, number>();
  for (const [spelling, name] of spellings()) {
    const folded = spelling.toLowerCase();
    if (Math.abs(folded.length - wanted.length) > allowed) continue;
    const edits = distance(folded, wanted);
    if (edits > allowed) continue;
    // Of equally near ones, the one that differs in fewer letters when case counts too.
    const rank = edits + distance(spelling, text) / 100;
    if (rank < (nearest.get(name) ?? Infinity)) nearest.set(name, rank);
  }
  const ranked = [...nearest].sort((a, b) => a[1] - b[1]);
  // Where only the case differs there is nothing else to think of.
  const best = Math.floor(ranked[0]?.[1] ?? 0) === 0 ? ranked.filter(([, rank]) => rank < 1) : ranked;
  return best.slice(0, 3).map(([name]) => name);
}
