/**
 * Why a date that falls on a closed day can be far less sure than it looks: what does not end before the people who do it go home
 * goes on when they come back, and a due date in between is then missed by all of it. Says how often that happens, and in how many of
 * those courses one more hour before the due date would have been enough. Pure; O(courses).
 */
import { type Intervals, indexAtOrAfter, union } from "../calendar/intervals.ts";
import type { Minute } from "../calendar/minute.ts";
import type { DispatchNetwork } from "../explain/dispatch-network.ts";

export type OverRest = {
  /** When the people who serve the order leave for the last time before it is due, and come back after that. */
  readonly leave: Minute;
  readonly back: Minute;
  /** Share of the courses that end only after they are back. */
  readonly share: number;
  /** Share of the courses that end within an hour of that. */
  readonly hourEnough: number;
};

const HOUR = 60;
/** A night between two shifts is no surprise; a closed day is. */
const REST_LEAST = 1440;

/** null: the order is not due while its people are away for a day or longer, is planned to end later, or never runs over. */
export function overRest(network: DispatchNetwork, order: number, planned: Minute, ended: readonly number[]): OverRest | null {
  const due = network.problem.orders[order]?.due ?? null;
  return due === null ? null : over(presenceFor(network, order), due, planned, ended);
}

/** Of a date that is still to be promised: as if it were due when its people leave after the planned end. */
export function overRestOfDate(
  network: DispatchNetwork,
  order: number,
  planned: Minute,
  ended: readonly number[],
): OverRest | null {
  const there = presenceFor(network, order);
  const shift = there[indexAtOrAfter(there, planned - 1)];
  return over(there, shift !== undefined && shift[0] < planned ? shift[1] : planned, planned, ended);
}

/** When the people are there who serve the order. */
function presenceFor({ problem, lots, nodes }: DispatchNetwork, order: number): Intervals {
  const own = new Set(nodes.flatMap(({ lot, crews }) => (lots[lot]?.order === order ? [...crews.keys()] : [])));
  return union(...problem.crews.filter(({ id }) => own.has(id)).map(({ present }) => present));
}

function over(there: Intervals, due: Minute, planned: Minute, ended: readonly number[]): OverRest | null {
  if (planned > due) return null;
  const next = indexAtOrAfter(there, due);
  const [leave, back] = [there[next - 1]?.[1], there[next]?.[0]];
  // away from before the due minute until after it
  if (leave === undefined || back === undefined || back <= due || planned > leave || back - leave < REST_LEAST) return null;
  const late = ended.filter((end) => end < 0 || end >= back);
  if (late.length === 0) return null;
  return {
    ...{ leave, back, share: late.length / ended.length },
    hourEnough: late.filter((end) => end >= 0 && end <= back + HOUR).length / ended.length,
  };
}
