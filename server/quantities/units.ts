/**
 * What each unit measures and how big it is, from the exact definitions.
 *
 * Sources of the definitions: NIST SP 811 (2008), Appendix B (inch 0.0254 m, pound 0.45359237 kg, standard gravity
 * 9.80665 m/s², US gallon 231 in³, conventional mercury 13 595.1 kg/m³ and water 1000 kg/m³, standard atmosphere
 * 101 325 Pa, metric horsepower 75 kgf·m/s). The spellings are the grammar's affair; names here are its canonical
 * ones.
 */

/** Kinds a simple unit may have; a quotient that has no name of its own is called `force/length` and the like. */
export type SimpleKind =
  | 'length'
  | 'angle'
  | 'area'
  | 'volume'
  | 'torque'
  | 'energy'
  | 'power'
  | 'force'
  | 'pressure'
  | 'mass'
  | 'temperature'
  | 'time'
  | 'calendar'
  | 'speed'
  | 'voltage'
  | 'current'
  | 'resistance'
  | 'ratio'
  | 'count'
  | 'mixture';

/** What a unit measures. Two units convert into each other if and only if their kinds are equal. */
export type QuantityKind = SimpleKind | 'velocity' | `${SimpleKind}/${SimpleKind}`;

/** A unit's size: numerator ÷ denominator × π^pi, in the base unit of its kind. */
export interface ExactFactor {
  readonly numerator: bigint;
  readonly denominator: bigint;
  readonly pi: number;
}

export interface Unit {
  /** The canonical spelling. */
  readonly name: string;
  readonly kind: QuantityKind;
  /** Size in the kind's base unit (the SI one; months for `calendar`, 1 for ratios), as the nearest double. */
  readonly factor: number;
  readonly exact: ExactFactor;
  /** What a thermometer in this unit shows at 0 °C; undefined for all that is no temperature. */
  readonly offset: number | undefined;
  /** Whether it is one of the language's everyday units, offered unasked when converting. */
  readonly everyday: boolean;
}

type Fraction = readonly [numerator: bigint, denominator: bigint];

/** A decimal such as `0.45359237`, exactly. */
function exactly(text: string): Fraction {
  const point = text.indexOf('.');
  if (point < 0) return [BigInt(text), 1n];
  return [BigInt(text.replace('.', '')), 10n ** BigInt(text.length - point - 1)];
}

function times(...factors: Fraction[]): Fraction {
  return factors.reduce((a, b) => [a[0] * b[0], a[1] * b[1]]);
}

function over(a: Fraction, b: Fraction): Fraction {
  return [a[0] * b[1], a[1] * b[0]];
}

const inch = exactly('0.0254');
const foot = times(inch, exactly('12'));
const pound = exactly('0.45359237');
const gravity = exactly('9.80665');
const poundForce = times(pound, gravity);
const sixteenth: Fraction = [1n, 16n];
const centimetre = exactly('0.01');
const millimetre = exactly('0.001');
const squareInch = times(inch, inch);
const cubicInch = times(inch, inch, inch);
const usGallon = times(exactly('231'), cubicInch);
const litre = exactly('0.001');
const imperialGallon = times(exactly('4.54609'), litre);
const water = exactly('1000');
const mercury = exactly('13595.1');
const one: Fraction = [1n, 1n];

type UnitRow = readonly [name: string, kind: SimpleKind, size: Fraction, pi?: number];

const everydayRows: readonly UnitRow[] = [
  ['m', 'length', one],
  ['cm', 'length', centimetre],
  ['mm', 'length', millimetre],
  ['µm', 'length', exactly('0.000001')],
  ['in', 'length', inch],
  ['ft', 'length', foot],
  ['thou', 'length', times(inch, exactly('0.001'))],
  ['°', 'angle', [1n, 180n], 1],
  ['rad', 'angle', one],
  ['turn', 'angle', exactly('2'), 1],
  ['mm²', 'area', times(millimetre, millimetre)],
  ['cm²', 'area', times(centimetre, centimetre)],
  ['m²', 'area', one],
  ['in²', 'area', squareInch],
  ['mm³', 'volume', times(millimetre, millimetre, millimetre)],
  ['cm³', 'volume', times(centimetre, centimetre, centimetre)],
  ['L', 'volume', litre],
  ['in³', 'volume', cubicInch],
  ['fl_oz', 'volume', over(usGallon, exactly('128'))],
  ['gal', 'volume', usGallon],
  ['N·m', 'torque', one],
  ['cN·m', 'torque', exactly('0.01')],
  ['dN·m', 'torque', exactly('0.1')],
  ['kgf·m', 'torque', gravity],
  ['kgf·cm', 'torque', times(gravity, centimetre)],
  ['in·lbf', 'torque', times(poundForce, inch)],
  ['ft·lbf', 'torque', times(poundForce, foot)],
  ['in·ozf', 'torque', times(poundForce, inch, sixteenth)],
  ['N', 'force', one],
  ['kN', 'force', exactly('1000')],
  ['lbf', 'force', poundForce],
  ['kgf', 'force', gravity],
  ['Pa', 'pressure', one],
  ['kPa', 'pressure', exactly('1000')],
  ['MPa', 'pressure', exactly('1000000')],
  ['bar', 'pressure', exactly('100000')],
  ['mbar', 'pressure', exactly('100')],
  ['psi', 'pressure', over(poundForce, squareInch)],
  ['inHg', 'pressure', times(mercury, gravity, inch)],
  ['mmHg', 'pressure', times(mercury, gravity, millimetre)],
  ['inH2O', 'pressure', times(water, gravity, inch)],
  ['kg', 'mass', one],
  ['g', 'mass', exactly('0.001')],
  ['lb', 'mass', pound],
  ['oz', 'mass', times(pound, sixteenth)],
  ['°C', 'temperature', one],
  ['°F', 'temperature', [5n, 9n]],
  ['K', 'temperature', one],
  ['s', 'time', one],
  ['min', 'time', exactly('60')],
  ['h', 'time', exactly('3600')],
  ['d', 'time', exactly('86400')],
  ['months', 'calendar', one],
  ['years', 'calendar', exactly('12')],
  ['rpm', 'speed', [1n, 30n], 1],
  ['V', 'voltage', one],
  ['A', 'current', one],
  ['Ω', 'resistance', one],
  ['kΩ', 'resistance', exactly('1000')],
  ['%', 'ratio', exactly('0.01')],
  ['count', 'count', one],
  [':1', 'mixture', one],
];

/** Known, so that a value in them is read and judged, but never offered unasked. */
const otherRows: readonly UnitRow[] = [
  ['µin', 'length', times(inch, exactly('0.000001'))],
  ['arcmin', 'angle', [1n, 10800n], 1],
  ['N·mm', 'torque', millimetre],
  ['daN·m', 'torque', exactly('10')],
  ['ozf', 'force', times(poundForce, sixteenth)],
  ['atm', 'pressure', exactly('101325')],
  ['J', 'energy', one],
  ['kJ', 'energy', exactly('1000')],
  ['W', 'power', one],
  ['kW', 'power', exactly('1000')],
  ['hp', 'power', times(exactly('550'), foot, poundForce)],
  ['PS', 'power', times(exactly('75'), gravity)],
  ['mV', 'voltage', exactly('0.001')],
  ['mA', 'current', exactly('0.001')],
  ['mΩ', 'resistance', exactly('0.001')],
  ['MΩ', 'resistance', exactly('1000000')],
  ['imp_gal', 'volume', imperialGallon],
  ['imp_fl_oz', 'volume', over(imperialGallon, exactly('160'))],
];

const thermometerAtFreezing: ReadonlyMap<string, number> = new Map([
  ['°C', 0],
  ['°F', 32],
  ['K', 273.15],
]);

function greatestDivisor(a: bigint, b: bigint): bigint {
  let [larger, smaller] = [a, b];
  while (smaller !== 0n) [larger, smaller] = [smaller, larger % smaller];
  return larger;
}

/** numerator ÷ denominator × π^pi, in lowest terms. */
export function exactFactor(numerator: bigint, denominator: bigint, pi: number): ExactFactor {
  const divisor = greatestDivisor(numerator, denominator);
  return { numerator: numerator / divisor, denominator: denominator / divisor, pi };
}

function makeUnit(name: string, kind: QuantityKind, exact: ExactFactor, everyday: boolean): Unit {
  return {
    name,
    kind,
    factor: (Number(exact.numerator) / Number(exact.denominator)) * Math.PI ** exact.pi,
    exact,
    offset: thermometerAtFreezing.get(name),
    everyday,
  };
}

function fromRow([name, kind, [numerator, denominator], pi]: UnitRow, everyday: boolean): Unit {
  return makeUnit(name, kind, exactFactor(numerator, denominator, pi ?? 0), everyday);
}

/** Every simple unit and product, in the order of the language page, the less usual ones last. */
export const units: readonly Unit[] = [
  ...everydayRows.map((row) => fromRow(row, true)),
  ...otherRows.map((row) => fromRow(row, false)),
];

const unitsByName: ReadonlyMap<string, Unit> = new Map(units.map((unit) => [unit.name, unit]));

/** Quotients that are a kind known by another name. */
const quotientKinds: ReadonlyMap<string, QuantityKind> = new Map<string, QuantityKind>([
  ['force/area', 'pressure'],
  ['angle/time', 'speed'],
  ['length/time', 'velocity'],
  ['energy/time', 'power'],
]);

/**
 * The unit of that canonical name (as `canonicalUnit` of the grammar gives it), quotients included. Undefined for
 * any other text.
 */
export function findUnit(name: string): Unit | undefined {
  const known = unitsByName.get(name);
  if (known !== undefined) return known;
  const slash = name.indexOf('/');
  if (slash < 0) return undefined;
  const above = unitsByName.get(name.slice(0, slash));
  const below = unitsByName.get(name.slice(slash + 1));
  if (above === undefined || below === undefined) return undefined;
  const kind = `${above.kind as SimpleKind}/${below.kind as SimpleKind}` as const;
  const size = exactFactor(
    above.exact.numerator * below.exact.denominator,
    above.exact.denominator * below.exact.numerator,
    above.exact.pi - below.exact.pi,
  );
  return makeUnit(name, quotientKinds.get(kind) ?? kind, size, false);
}

/** What the unit of that name measures, or undefined for an unknown one. */
export function kindOf(name: string): QuantityKind | undefined {
  return findUnit(name)?.kind;
}

/** Whether two units measure the same kind of thing; false when either is unknown. */
export function sameKind(a: string, b: string): boolean {
  if (a === b) return true;
  const kind = kindOf(a);
  return kind !== undefined && kind === kindOf(b);
}

/** The everyday units of a kind, in the order of the language page. */
export function everydayUnits(kind: QuantityKind): readonly Unit[] {
  return units.filter((unit) => unit.everyday && unit.kind === kind);
}

const kindPhrases: Readonly<Record<SimpleKind | 'velocity', string>> = {
  length: 'a length',
  angle: 'an angle',
  area: 'an area',
  volume: 'a volume',
  torque: 'a torque',
  energy: 'an energy',
  power: 'a power',
  force: 'a force',
  pressure: 'a pressure',
  mass: 'a mass',
  temperature: 'a temperature',
  time: 'a time',
  calendar: 'a time in months or years',
  speed: 'a speed of rotation',
  velocity: 'a speed',
  voltage: 'a voltage',
  current: 'a current',
  resistance: 'a resistance',
  ratio: 'a percentage',
  count: 'a count',
  mixture: 'a mixture',
};

const neutralKinds: ReadonlySet<QuantityKind> = new Set(['count', 'ratio', 'mixture']);

/** Products of two kinds that are a kind of their own; a force times a length is read as a torque. */
const productKinds: readonly (readonly [QuantityKind, QuantityKind, QuantityKind])[] = [
  ['length', 'length', 'area'],
  ['length', 'area', 'volume'],
  ['force', 'length', 'torque'],
  ['pressure', 'area', 'force'],
  ['power', 'time', 'energy'],
  ['velocity', 'time', 'length'],
  ['speed', 'time', 'angle'],
  ['current', 'resistance', 'voltage'],
  ['voltage', 'current', 'power'],
];

/** What a product of two kinds measures; undefined where that is nothing the trade has a unit for. */
export function kindOfProduct(a: QuantityKind, b: QuantityKind): QuantityKind | undefined {
  if (neutralKinds.has(b)) return a;
  if (neutralKinds.has(a)) return b;
  for (const [first, second, product] of productKinds)
    if ((a === first && b === second) || (a === second && b === first)) return product;
  // A quotient times what it is per: (N/mm) × mm is a force.
  for (const [quotient, factor] of [
    [a, b],
    [b, a],
  ] as const)
    if (quotient.endsWith(`/${factor}`)) return quotient.slice(0, -factor.length - 1) as SimpleKind;
  return undefined;
}

/** What a quotient of two kinds measures: a plain count when they are equal. Undefined as for a product. */
export function kindOfQuotient(above: QuantityKind, below: QuantityKind): QuantityKind | undefined {
  if (above === below) return 'count';
  if (neutralKinds.has(below)) return above;
  for (const [first, second, product] of productKinds) {
    if (above !== product) continue;
    if (below === first) return second;
    if (below === second) return first;
  }
  const quotient = `${above}/${below}`;
  const named = quotientKinds.get(quotient);
  if (named !== undefined) return named;
  return isSimple(above) && isSimple(below) ? `${above}/${below}` : undefined;
}

function isSimple(kind: QuantityKind): kind is SimpleKind {
  return kind !== 'velocity' && !kind.includes('/');
}

/** A kind in words, with its article: `a torque`, `a force per length`. */
export function kindPhrase(kind: QuantityKind): string {
  const [above, below] = kind.split('/') as [SimpleKind, SimpleKind?];
  if (below === undefined) return kindPhrases[above];
  return `${kindPhrases[above]} per ${kindPhrases[below].replace(/^an? /, '')}`;
}
