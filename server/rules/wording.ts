/** Parts of sentences that several rules share. */
import { formatAmount, withUnit } from '../quantities/index.ts';
import { type Entry, type History, type Judgement, writeMembers } from '../rebuild/index.ts';

/** `0.012 mm past the wear limit of 0.120 mm`. */
export function missedBy(judgement: Judgement): string {
  const { bound, by, decimals, side, limit } = judgement;
  if (bound === undefined) return '';
  const miss = formatAmount(by, bound.unit, decimals);
  const end = formatAmount(bound.value, bound.unit, decimals);
  if (limit === 'wear') return `${miss} ${side === 'above' ? 'past' : 'under'} the wear limit of ${end}`;
  return side === 'above' ? `${miss} over the limit of ${end}` : `${miss} under the limit of ${end}`;
}

/** `a part`, `an assembly`. */
export function withArticle(noun: string): string {
  return `${/^[aeiou]/.test(noun) ? 'an' : 'a'} ${noun}`;
}

/** ` (ref 3.3)`, or nothing. */
export function refOf(declaration: { readonly ref: string | undefined }): string {
  return declaration.ref === undefined ? '' : ` (ref ${declaration.ref})`;
}

/** `57 %`; a share too small to show is not called nothing. */
export function percent(share: number): string {
  if (share > 0 && share < 0.005) return 'less than 1 %';
  return `${Math.round(share * 100)} %`;
}

/** A small figure that was worked out, such as an uncertainty, with two digits: `0.0025 mm`. */
export function twoDigits(value: number, unit: string): string {
  const decimals = value > 0 ? Math.max(0, 1 - Math.floor(Math.log10(value) + 1e-9)) : 0;
  const written = value.toFixed(Math.min(15, decimals));
  return withUnit(written.includes('.') ? written.replace(/\.?0+$/, '') : written, unit);
}

/** ` So is 1 more reading of it.`, or nothing. */
export function andMore(count: number): string {
  if (count === 0) return '';
  return count === 1 ? ' So is 1 more reading of it.' : ` So are ${count} more readings of it.`;
}

/** `a`, `a and b`, `a, b and c`. */
export function andList(words: readonly string[]): string {
  return words.length < 2 ? words.join() : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** What made history of what rests on it, for after "before": `case-joint was opened`, `piston[rear] was replaced`. */
export function whatHappened(of: string, history: History, because: Entry): string {
  const target = because.targets.find((one) => one.name === of) ?? because.targets[0];
  const items = target?.items ?? [];
  const were = items.length > 1 ? 'were' : 'was';
  const who = target === undefined ? of : writeMembers(target.name, items);
  if (history !== 'reopened') return `${who} ${were} ${history}`;
  // A joint is opened by its fasteners; a fastener is undone itself.
  return target?.name === of && target.declaration?.kind === 'fastener'
    ? `${who} ${were} ${because.kind === 'remove' ? 'taken out' : 'loosened'}`
    : `${of} was opened`;
}

/** Minutes as a person says them: `40 min`, `9 h`, `9 h 23 min`, `2 days 3 h`. */
export function spokenMinutes(minutes: number): string {
  const whole = Math.floor(minutes + 1e-6);
  const [days, hours, rest] = [Math.floor(whole / 1440), Math.floor((whole % 1440) / 60), whole % 60];
  if (days > 1) return `${days} days${hours === 0 ? '' : ` ${hours} h`}`;
  const all = days * 24 + hours;
  return [all === 0 ? '' : `${all} h`, rest === 0 && all > 0 ? '' : `${rest} min`]
    .filter((part) => part !== '')
    .join(' ');
}

/** What a span of time can be: `3 h 20 min`, `at most 3 h`, `between 9 h and 15 h`. */
export function spokenSpan({ least, most }: { readonly least: number; readonly most: number }): string {
  if (most - least < 1) return spokenMinutes(most);
  return least === 0
    ? `at most ${spokenMinutes(most)}`
    : `between ${spokenMinutes(least)} and ${spokenMinutes(most)}`;
}
