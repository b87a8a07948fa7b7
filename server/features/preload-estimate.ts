/** What the torque of a group may pull, against what its thread must bear: an estimate in one sentence. */
import {
  isRefusal,
  lubricantNamed,
  parseThread,
  preloadRange,
  strengthOf,
  tensileLoads,
  tighteningGeometry,
  usualFriction,
} from '../calculations/index.ts';
import { convert, formatNumber } from '../quantities/index.ts';
import type { FastenerDeclaration } from '../rebuild/index.ts';

/**
 * The sentences, or undefined where the thread or the torque is not known, or where an angle decides and not the
 * torque. Friction is 0.12 to 0.16 (steel as received or oiled, as in the finding `exceeds-thread`), or that of another
 * lubricant that the torque is stated for (friction classes of VDI 2230, from memory).
 */
export function preloadEstimate(declaration: FastenerDeclaration): string | undefined {
  const { thread: written, propertyClass, torque, angle, lubricant: stated } = declaration;
  const thread = written === undefined ? undefined : parseThread(written);
  if (thread === undefined || isRefusal(thread) || torque === undefined || angle !== undefined)
    return undefined;
  const inNewtonMetres = (end: { readonly value: number } | undefined) =>
    end === undefined ? undefined : convert(end.value, torque.unit, 'N·m');
  const upper = inNewtonMetres(torque.upper);
  const lower = inNewtonMetres(torque.lower) ?? upper;
  if (lower === undefined || upper === undefined) return undefined;
  const lubricant = stated === undefined ? undefined : lubricantNamed(stated);
  const friction = lubricant === undefined || lubricant.name === 'oiled' ? usualFriction : lubricant.friction;
  const pull = preloadRange({ lower, upper }, tighteningGeometry(thread), friction);
  if (pull === undefined) return undefined;
  const kilonewtons = (newtons: number) => formatNumber(newtons / 1000, newtons < 10_000 ? 1 : 0);
  const range = `${kilonewtons(pull.lower)} to ${kilonewtons(pull.upper)} kN`;
  const ground = `friction ${friction.lower} to ${friction.upper}${lubricant === undefined ? '' : `, ${lubricant.name}`}`;
  const caution = 'An estimate, not a torque specification: the manual decides.';
  const strength = propertyClass === undefined ? undefined : strengthOf(propertyClass, thread.diameter);
  const proof =
    strength === undefined || isRefusal(strength) ? undefined : tensileLoads(thread, strength).proof?.value;
  if (proof === undefined) return `Preload about ${range} (${ground}). ${caution}`;
  const percent = (share: number) => Math.round(share * 20) * 5;
  return `Preload about ${range}: ${percent(pull.lower / proof)} to ${percent(pull.upper / proof)} % of the proof load of ${kilonewtons(proof)} kN (${ground}). ${caution}`;
}
