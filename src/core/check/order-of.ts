/**
 * Numbers in rising order, as their places: what sweeps over time begin with. Equal numbers keep their order.
 * Numbers sort many times faster than objects by a comparison of ours, so a number and its place share one double where both fit.
 */

/** So many places fit beside a number of such a size in the 53 bits of a double. */
const PLACES = 2 ** 20;
const NUMBER_MOST = 2 ** 31;

export function inOrderOf(numbers: readonly number[]): ArrayLike<number> {
  const keys = new Float64Array(numbers.length);
  let fits = numbers.length < PLACES;
  for (let i = 0; i < keys.length && fits; i++) {
    const number = numbers[i] as number;
    fits = number > -NUMBER_MOST && number < NUMBER_MOST && Number.isInteger(number);
    keys[i] = number * PLACES + i;
  }
  if (!fits) return numbers.map((_, i) => i).sort((a, b) => (numbers[a] as number) - (numbers[b] as number));
  keys.sort();
  for (let i = 0; i < keys.length; i++) {
    const key = keys[i] as number;
    keys[i] = key - Math.floor(key / PLACES) * PLACES;
  }
  return keys;
}
