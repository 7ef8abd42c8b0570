/** Up to `count` of the numbers, sorted and evenly spread over their ranks, smallest and largest among them. */
export function evenlyChosen(numbers: readonly number[], count: number): number[] {
  const sorted = [...numbers].sort((a, b) => a - b);
  if (sorted.length <= count) return sorted;
  return Array.from({ length: count }, (_, k) => sorted[Math.floor((k * (sorted.length - 1)) / (count - 1))]);
}
