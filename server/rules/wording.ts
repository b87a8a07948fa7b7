/** Parts of sentences that several rules share. */
import { formatAmount } from '../quantities/index.ts';
import type { Judgement } from '../rebuild/index.ts';

/** `0.012 mm past the wear limit of 0.120 mm`. */
export function missedBy(judgement: Judgement): string {
  const { bound, by, decimals, side, limit } = judgement;
  if (bound === undefined) return '';
  const miss = formatAmount(by, bound.unit, decimals);
  const end = formatAmount(bound.value, bound.unit, decimals);
  if (limit === 'wear') return `${miss} ${side === 'above' ? 'past' : 'under'} the wear limit of ${end}`;
  return side === 'above' ? `${miss} over the limit of ${end}` : `${miss} under the limit of ${end}`;
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
