/**
 * Exact integer division, rounded up. All amounts of the planning problem are whole numbers and
 * rounding never goes through floating point, so operands must stay within the safe integers.
 */
import { invariant } from "./invariant.ts";

/** ceil(numerator / denominator) for numerator >= 0 and denominator > 0, exact below 2^53. */
export function ceilDivide(numerator: number, denominator: number): number {
  invariant(Number.isSafeInteger(numerator) && numerator >= 0, `numerator ${numerator} is not a whole number >= 0`);
  invariant(Number.isSafeInteger(denominator) && denominator > 0, `denominator ${denominator} is not a whole number > 0`);
  const remainder = numerator % denominator;
  return (numerator - remainder) / denominator + (remainder === 0 ? 0 : 1);
}
