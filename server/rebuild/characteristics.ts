/**
 * What is measured, or worked out from measurements: for each limit and member, the readings that stand, those
 * that are history, the places still missing, and the value of a derived limit.
 */
import type { CarriedConcession, CarriedPart } from './carried.ts';
import type { LimitDeclaration } from './declarations.ts';
import { type Entry, fitCondition, isByInspector, type Reading, takenAs } from './entries.ts';
import { evaluate, type Worked } from './expressions.ts';
import { itemsMatch } from './items.ts';
import { type Cut, cutsSince, type History } from './rests-on.ts';
import type { Scope } from './scope.ts';

export interface JudgedReading {
  readonly reading: Reading;
  /** Undefined while it stands. */
  readonly history: History | undefined;
  /** The entry that made it history. */
  readonly because: Entry | undefined;
}

/** One member of a characteristic: `bore[rear]`. */
export interface Instance {
  readonly item: string;
  /** The limit that holds for it, by the grade fitted. */
  readonly declaration: LimitDeclaration;
  /** Every reading of it, in the order of the log. */
  readonly readings: readonly JudgedReading[];
  readonly standing: readonly Reading[];
  /** Places with no standing reading (`''` stands for the member itself); empty for a derived limit. */
  readonly missing: readonly string[];
  /** The value of a derived limit as worked out from the readings that stand. */
  readonly worked: Worked | undefined;
  /** The concessions that stand for it, the later ones last: of earlier logs, then of this one. */
  readonly concessions: readonly Concession[];
  /** When what it is `of`, or is worked out from, was replaced or reworked. */
  readonly renewals: readonly Cut[];
  /** The fitting of a new part that it is `of`: the range for new parts holds. */
  readonly fittedNew: Entry | undefined;
}

/** An inspector's concession for a member, or for some of its places. */
export interface Concession {
  readonly entry: Entry;
  /** Undefined: all of the member, what is worked out for it too. */
  readonly places: readonly string[] | undefined;
}

export interface Characteristic {
  readonly subject: 'characteristic';
  readonly name: string;
  readonly declarations: readonly LimitDeclaration[];
  readonly instances: readonly Instance[];
  /** Readings that stand and are not taken yet. */
  readonly placeholders: readonly Reading[];
  /** Characteristics that its expression speaks of. */
  readonly sources: readonly Characteristic[];
  /** Worked out, never (or not only) measured. */
  readonly derived: boolean;
  /** The log must account for it. */
  readonly required: boolean;
  readonly inputs: readonly unknown[];
}

export interface CharacteristicInputs {
  readonly name: string;
  readonly declarations: readonly LimitDeclaration[];
  /** Entries with readings of it. */
  readonly entries: readonly Entry[];
  /** Entries that fit, remove or loosen what it is `of` (and the parts whose grade it depends on). */
  readonly events: readonly Entry[];
  /** The lines that opened a joint (or a joint of an assembly) that it is `of`. */
  readonly openings: (name: string) => readonly Entry[];
  readonly concessions: readonly Entry[];
  /** What earlier logs left of the parts that it rests on, and what they accepted. */
  readonly carriedParts: readonly CarriedPart[];
  readonly carriedConcessions: readonly CarriedConcession[];
  readonly sources: readonly Characteristic[];
  readonly required: boolean;
  readonly scope: Scope;
}

/** Builds a characteristic from its entries. */
export function buildCharacteristic(from: CharacteristicInputs, inputs: readonly unknown[]): Characteristic {
  const { name, declarations } = from;
  const derived = declarations.some((declaration) => declaration.expression !== undefined);
  const byItem = new Map<string, Reading[]>();
  for (const entry of from.entries)
    for (const reading of entry.readings) {
      if (reading.name !== name) continue;
      const list = byItem.get(reading.item);
      if (list === undefined) byItem.set(reading.item, [reading]);
      else list.push(reading);
    }
  const instances: Instance[] = [];
  const seen = new Set<string>();
  for (const declared of declarations) {
    for (const item of declared.space.items) {
      if (seen.has(item)) continue;
      seen.add(item);
      const declaration = limitFor(declarations, item, from);
      const { of } = declaration;
      const cuts =
        of === undefined ? [] : cutsSince(of, item, from.events, from.openings(of.name), from.scope);
      const readings = judge(byItem.get(item) ?? [], cuts);
      const standing = readings.filter((one) => one.history === undefined).map((one) => one.reading);
      const missing = declaration.expression === undefined ? missingPlaces(declaration, standing) : [];
      const worked =
        declaration.expression === undefined
          ? undefined
          : evaluate(declaration.expression, declaration, { item, sources: from.sources });
      const renewals = renewalsOf(cuts, item, from.sources);
      instances.push({
        item,
        declaration,
        readings,
        standing,
        missing,
        worked,
        fittedNew: newPart(declaration, item, from.events),
        concessions: concessionsFor(item, renewals, from),
        renewals,
      });
    }
  }
  return {
    subject: 'characteristic',
    name,
    declarations,
    instances,
    placeholders: instances.flatMap(({ standing }) => standing.filter((reading) => reading.placeholder)),
    sources: from.sources,
    derived,
    required: from.required,
    inputs,
  };
}

/** The limit that holds for a member: the one for the grade that is fitted, else the one without a grade. */
function limitFor(
  declarations: readonly LimitDeclaration[],
  item: string,
  from: CharacteristicInputs,
): LimitDeclaration {
  const fitting = declarations.filter((declaration) => declaration.space.index.has(item));
  const plain = fitting.find((declaration) => declaration.grade === undefined);
  for (const declaration of fitting) {
    const { grade } = declaration;
    if (grade !== undefined && fittedGrade(grade.part.name, item, from) === grade.grade) return declaration;
  }
  return plain ?? fitting[0] ?? (declarations[0] as LimitDeclaration);
}

/** The grade of the part that is in: said when it was last fitted as another part, here or in an earlier log. */
function fittedGrade(
  name: string,
  item: string,
  { events, carriedParts }: CharacteristicInputs,
): string | undefined {
  for (const entry of events.toReversed()) {
    if (entry.kind !== 'fit') continue;
    if (!entry.targets.some((one) => one.name === name && one.items.some((part) => itemsMatch(part, item))))
      continue;
    const grade = gradeOf(entry);
    if (grade !== undefined || fitCondition(entry) === 'new') return grade;
  }
  return carriedParts.find((part) => part.name === name && itemsMatch(part.item, item))?.grade;
}

/** Replacements and reworks, of what a member is `of` and of what it is worked out from. */
function renewalsOf(cuts: readonly Cut[], item: string, sources: readonly Characteristic[]): readonly Cut[] {
  const own = cuts.filter(({ history }) => history !== 'reopened');
  const below = sources.flatMap(({ instances }) => instances.filter((one) => itemsMatch(one.item, item)));
  return [...own, ...below.flatMap(({ renewals }) => renewals)];
}

/**
 * The concessions by an inspector (rule no-authority says so of anybody else) for what is in the machine: one ends when
 * the part that it speaks of is replaced or reworked, and a later one for the same takes its place.
 */
function concessionsFor(
  item: string,
  renewals: readonly Cut[],
  { name, concessions, carriedConcessions, scope }: CharacteristicInputs,
): readonly Concession[] {
  const all: Concession[] = renewals.length > 0 ? [] : carriedConcessions.filter((one) => one.item === item);
  for (const entry of concessions) {
    if (!isByInspector(entry, scope.people)) continue;
    if (renewals.some(({ since, onlyAsFound }) => !onlyAsFound && since.index > entry.index)) continue;
    for (const target of entry.targets)
      if (target.name === name && target.items.includes(item)) all.push({ entry, places: target.places });
  }
  return all.filter((one, i) => !all.slice(i + 1).some((later) => covers(later, one)));
}

function covers({ places }: Concession, other: Concession): boolean {
  return places === undefined || (other.places?.every((place) => places.includes(place)) ?? false);
}

/** The concession that stands for a place of a member; without a place, for what is worked out for all of it. */
export function acceptedAt({ concessions }: Instance, place?: string): Entry | undefined {
  return concessions.findLast(
    ({ places }) => places === undefined || (place !== undefined && places.includes(place)),
  )?.entry;
}

/** The last fitting of what a limit is `of`, when a new part went in. */
function newPart(declaration: LimitDeclaration, item: string, events: readonly Entry[]): Entry | undefined {
  const of = declaration.of;
  if (of === undefined) return undefined;
  const last = events.findLast(
    (entry) =>
      entry.kind === 'fit' &&
      entry.targets.some(
        (target) => target.name === of.name && target.items.some((part) => matchesOf(item, part, of.items)),
      ),
  );
  return last !== undefined && fitCondition(last) === 'new' ? last : undefined;
}

function gradeOf(entry: Entry): string | undefined {
  for (const clause of entry.statement.clauses)
    if (clause.name === 'grade') return (clause.value as { text: string } | undefined)?.text;
  return undefined;
}

/** Says of each reading whether it stands, and if not, why. */
function judge(readings: readonly Reading[], cuts: readonly Cut[]): readonly JudgedReading[] {
  const correctedBy = correctionsOf(readings);
  let passed = 0;
  return readings.map((reading, position): JudgedReading => {
    if (reading.placeholder) return { reading, history: undefined, because: undefined };
    const { index } = reading.entry;
    // Readings and cuts come in the order of the log, so a cut that is behind stays behind.
    while (passed < cuts.length && (cuts[passed]?.at ?? 0) <= index) passed++;
    const found = takenAs(reading.entry) === 'found';
    for (let i = passed; i < cuts.length; i++) {
      const cut = cuts[i];
      if (cut !== undefined && (found || !cut.onlyAsFound))
        return { reading, history: cut.history, because: cut.because };
    }
    if (found) return { reading, history: 'as found', because: undefined };
    const correction = correctedBy[position];
    return correction === undefined
      ? { reading, history: undefined, because: undefined }
      : { reading, history: 'corrected', because: correction };
  });
}

/** For each reading, the later correction of the same place, if there is one. */
function correctionsOf(readings: readonly Reading[]): readonly (Entry | undefined)[] {
  const latest = new Map<string, Entry>();
  const corrections: (Entry | undefined)[] = new Array(readings.length);
  for (let i = readings.length - 1; i >= 0; i--) {
    const reading = readings[i];
    if (reading === undefined) continue;
    corrections[i] = latest.get(reading.place);
    if (takenAs(reading.entry) === 'corrected') latest.set(reading.place, reading.entry);
  }
  return corrections;
}

function matchesOf(item: string, eventItem: string, ofItems: readonly string[] | undefined): boolean {
  if (ofItems === undefined) return itemsMatch(item, eventItem);
  return ofItems.some((ofItem) => itemsMatch(ofItem, eventItem));
}

/** Readings that stood until what they rest on was replaced, reworked or opened, of places not read again since. */
export function staleReadings({ readings, standing }: Instance): readonly JudgedReading[] {
  const stale = new Map<string, JudgedReading>();
  for (const one of readings)
    if (one.because !== undefined && one.history !== 'corrected' && takenAs(one.reading.entry) !== 'found')
      stale.set(one.reading.place, one);
  for (const { place } of standing) {
    if (place === '') return [];
    stale.delete(place);
    stale.delete('');
  }
  return [...stale.values()];
}

/**
 * Whether a reading still speaks for its member: it stands, or it was taken as found and nothing since renews it.
 */
export function isOpenFinding(
  instance: Pick<Instance, 'standing'>,
  { reading, history }: JudgedReading,
): boolean {
  if (takenAs(reading.entry) !== 'found') return history === undefined;
  return !instance.standing.some(
    (one) => !one.placeholder && (one.place === reading.place || reading.place === '' || one.place === ''),
  );
}

/** The declared places (or the member itself) that no standing reading covers. */
function missingPlaces(declaration: LimitDeclaration, standing: readonly Reading[]): readonly string[] {
  const read = new Set<string>();
  for (const reading of standing) if (!reading.placeholder) read.add(reading.place);
  if (declaration.places.items.length === 0) return read.size > 0 ? [] : [''];
  return declaration.places.items.filter((place) => !read.has(place));
}
