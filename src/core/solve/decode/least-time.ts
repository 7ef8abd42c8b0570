/**
 * Least time an operation and what follows it can take: lower bounds that let hopeless steps of the search end early.
 * Work calendars are minded, other work is not. Promises never to exceed what a plan can reach, as long as calendars do not hold
 * a stretch denser than those looked at (the first hundred from now on).
 */
import { type DenseLink, type DenseMode, type DensePhase, FAR, phaseMinutes } from "./model.ts";
import { stretchAt, stretchOfWorked } from "./work-calendar.ts";

const STRETCHES_MOST = 100;

function leastOfPhase(phase: DensePhase, minutes: number, now: number): number {
  if (minutes === 0 || phase.flow === 0) return minutes;
  let least = FAR;
  for (const { calendar } of phase.choices) {
    const first = stretchAt(calendar, now);
    for (let i = first; i < calendar.count && i < first + STRETCHES_MOST; i++) {
      const worked = calendar.before[i]! + minutes;
      const j = stretchOfWorked(calendar, worked, i);
      if (j >= calendar.count) break;
      least = Math.min(least, calendar.starts[j]! + worked - calendar.before[j]! - calendar.starts[i]!);
      if (least === minutes) return minutes;
    }
  }
  // begun in the middle of the last stretch it may take less; never less than its work
  return least >= FAR ? minutes : least;
}

/** Least time from start to end in the mode, setup not counted. */
export function leastOfMode(mode: DenseMode, pieces: number, now: number): number {
  return mode.phases.reduce((sum, phase) => sum + leastOfPhase(phase, phaseMinutes(phase, pieces), now), 0);
}

/** Shortest chain after each operation within its order. `least[op]`: least time of the operation. */
export function leastTails(
  count: number,
  links: readonly DenseLink[],
  orderOf: readonly number[],
  least: Float64Array,
  topological: readonly number[],
): Float64Array {
  const after: DenseLink[][] = Array.from({ length: count }, () => []);
  for (const link of links)
    if (link.kind !== "sameMachine" && orderOf[link.from] === orderOf[link.to]) after[link.from]!.push(link);
  const tail = new Float64Array(count);
  for (let i = topological.length - 1; i >= 0; i--) {
    const op = topological[i]!;
    for (const link of after[op]!) {
      const chain = (link.kind === "lag" ? link.minLag + least[link.to]! : 0) + tail[link.to]!;
      if (chain > tail[op]!) tail[op] = chain;
    }
  }
  return tail;
}
