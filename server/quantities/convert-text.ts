/** A conversion asked for in words: what `witnessmark convert "88 ft·lbf" N·m` answers, as plain rows. */
import { canonicalUnit, nearestUnits, readUnit } from '../../grammar/index.ts';
import { convertDifference } from './conversion.ts';
import { type Quantity, quantity, readNumber } from './quantity.ts';
import { convertQuantity, convertQuantityDifference, formatNumber, formatQuantity } from './rounding.ts';
import { everydayUnits, kindOf, kindPhrase } from './units.ts';

export interface ConversionRow {
  readonly unit: string;
  /** With the digits that the written value carries: `119 N·m`. */
  readonly text: string;
  /** The converted value as exactly as a double holds it. */
  readonly value: number;
  /** Whether it is the unit that was asked for. */
  readonly asked: boolean;
}

export type Conversion =
  | {
      readonly converted: true;
      readonly from: Quantity;
      readonly rows: readonly ConversionRow[];
      /** A sentence worth reading beside the rows, or undefined. */
      readonly note: string | undefined;
    }
  | {
      readonly converted: false;
      /** One sentence that ends with the remedy. */
      readonly message: string;
    };

const usage = 'write a number and its unit, such as "88 ft·lbf"';

/**
 * Converts a written quantity. With a target unit the answer is that row; for a torque, and with no target, every
 * other everyday unit of the kind follows.
 */
export function convertText(valueText: string, unitText?: string): Conversion {
  const from = readQuantity(valueText);
  if (typeof from === 'string') return { converted: false, message: from };
  const kind = kindOf(from.unit);
  if (kind === undefined) return { converted: false, message: unknownUnit(from.unit) };
  if (unitText === undefined) {
    const rows = everydayConversions(from).map((to) => row(to, false));
    if (rows.length > 0) return { converted: true, from, rows, note: noteFor(from) };
    return { converted: false, message: noOtherUnit(from) };
  }
  const wanted = canonicalUnit(unitText.trim());
  if (wanted === undefined) return { converted: false, message: unknownUnit(unitText.trim()) };
  const to = convertQuantity(from, wanted);
  if (to === undefined) return { converted: false, message: kindsDiffer(from.unit, wanted) };
  const others = kind === 'torque' ? everydayConversions(from).filter(({ unit }) => unit !== wanted) : [];
  return {
    converted: true,
    from,
    rows: [row(to, true), ...others.map((other) => row(other, false))],
    note: noteFor(from, wanted),
  };
}

function noOtherUnit(from: Quantity): string {
  if (kindOf(from.unit) !== 'mixture')
    return `No other everyday unit measures what ${from.unit} does: name the unit to convert to.`;
  const plain = `${formatQuantity(from)} is a ratio, ${from.written} parts to 1, and has no other unit`;
  if (!(from.value > 0)) return `${plain}.`;
  const [litre, gallon] = [formatNumber(1000 / from.value, 0), formatNumber(128 / from.value, 1)];
  return `${plain}. As oil in fuel it is ${litre} mL to 1 L, ${gallon} fl_oz to 1 gal.`;
}

/** A quantity in every other everyday unit of its kind, each with the digits that the written one carries. */
export function everydayConversions(from: Quantity): readonly Quantity[] {
  const kind = kindOf(from.unit);
  if (kind === undefined) return [];
  return everydayUnits(kind)
    .filter(({ name }) => name !== from.unit)
    .map(({ name }) => convertQuantity(from, name))
    .filter((converted) => converted !== undefined);
}

function row(to: Quantity, asked: boolean): ConversionRow {
  return { unit: to.unit, text: formatQuantity(to), value: to.value, asked };
}

const numberThenUnit = /^([-−]?[\d.,]*(?:-\d+)?(?:\/\d+)?[¼-¾⅐-⅞]?)\s*(.*)$/u;

/** The quantity, or a sentence that says why there is none. */
function readQuantity(text: string): Quantity | string {
  const fault = commonFault(text.trim());
  if (fault !== undefined) return fault;
  const ratio = /^(\d+(?:\.\d+)?)\s*:\s*1$/.exec(text.trim())?.[1];
  if (ratio !== undefined) return quantity(ratio, ':1') ?? unknownUnit(':1');
  const [, digits = '', unitText = ''] = numberThenUnit.exec(text.trim()) ?? [];
  if (digits === '') return `"${text}" does not begin with a number: ${usage}.`;
  const number = readNumber(digits);
  if (number === undefined) return `"${digits}" is not a number: ${usage}.`;
  if (unitText === '') return `${digits} has no unit: ${usage}.`;
  const unit = wholeUnit(unitText);
  if (unit === undefined) return unknownUnit(unitText);
  const read = quantity(number.written, unit);
  return read ?? unknownUnit(unitText);
}

/** What people write and the language does not read, with what to write instead. */
function commonFault(text: string): string | undefined {
  if (/±|\+\/-|\.\.|[<>≤≥]/.test(text)) return `A spread is more than one value: ${usage}.`;
  const comma = /^([-−]?\d+),(\d+)(.*)$/.exec(text);
  if (comma !== null) return `A decimal comma is not read: write ${comma[1]}.${comma[2]}${comma[3]}.`;
  const fraction = /^([-−]?\d+)\s+(\d+\/\d+.*)$/.exec(text);
  if (fraction !== null)
    return `A fraction is joined to its whole number: write ${fraction[1]}-${fraction[2]}.`;
  if (/^[-−]?[\d.]+e[-+]?\d/i.test(text)) return 'Powers of ten are not read: write the number out.';
  const turned = /^1\s*:\s*(\d+(?:\.\d+)?)$/.exec(text)?.[1];
  if (turned !== undefined && turned !== '1') return `A ratio is written to 1: write ${turned}:1.`;
  if (text.startsWith('+')) return `A plain number carries no plus sign: write ${text.slice(1)}.`;
  return undefined;
}

/** The unit that the whole text spells, alone or with blanks between its factors. */
function wholeUnit(text: string): string | undefined {
  const read = readUnit(text, 0);
  return read?.end === text.length ? read.name : canonicalUnit(text);
}

function unknownUnit(text: string): string {
  const nearest = nearestUnits(text);
  if (nearest.length === 0) return `"${text}" is not a unit: ${usage}.`;
  return `"${text}" is not a unit: did you mean ${orList(nearest)}?`;
}

/** Masses and the forces that are commonly written like them. */
const forceOfMass: Readonly<Record<string, string>> = { lb: 'lbf', kg: 'kgf', oz: 'ozf' };

function kindsDiffer(from: string, to: string): string {
  const [a, b] = [kindOf(from), kindOf(to)];
  if (a === undefined || b === undefined) return unknownUnit(a === undefined ? from : to);
  if (a === 'calendar' || b === 'calendar')
    return 'Months and years have no fixed length, so they only convert into each other: count them from a date.';
  const plain = `${from} measures ${kindPhrase(a)} and ${to} ${kindPhrase(b)}`;
  const kinds = new Set([a, b]);
  const mass = a === 'mass' ? from : to;
  const force = forceOfMass[mass];
  if (kinds.has('mass') && kinds.has('force') && force !== undefined)
    return `${plain}: write ${force} where a force is meant.`;
  const why =
    kinds.has('torque') && kinds.has('energy')
      ? 'the dimensions are the same, the things are not'
      : 'nothing converts between them';
  const others = everydayUnits(a).filter(({ name }) => name !== from);
  const choices = others.slice(0, 4).map(({ name }) => name);
  return choices.length === 0 ? `${plain}: ${why}.` : `${plain}: ${why}. Convert to ${orList(choices)}.`;
}

/** `N·m, m or cm` */
function orList(names: readonly string[]): string {
  return names.length < 2 ? names.join() : `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;
}

/** A temperature may have been meant as a difference, which converts without the zero point. */
function noteFor(from: Quantity, wanted?: string): string | undefined {
  if (kindOf(from.unit) !== 'temperature') return undefined;
  const unit = wanted ?? (from.unit === '°F' ? '°C' : '°F');
  if (convertDifference(1, from.unit, unit) === convertDifference(1, unit, from.unit)) return undefined;
  const rise = convertQuantityDifference(from, unit);
  if (rise === undefined) return undefined;
  return `As a reading of a thermometer; a difference of ${formatQuantity(from)} is one of ${formatQuantity(rise)}.`;
}
