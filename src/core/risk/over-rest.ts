/**
 * Why a date that falls on a closed day can be far less sure than it looks: what does not end before the people who do it go home
 * goes on when they come back, and a due date in between is then missed by all of it. Says how often that happens, and in how many of
 * those courses one more hour before the due date would have been enough. Pure; O(courses).
 */
import { indexAtOrAfter, union } from "../calendar/intervals.ts";
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
  const { problem, lots, nodes } = network;
  const due = problem.orders[order]?.due ?? null;
  if (due === null || planned > due) return null;
  const own = new Set(nodes.flatMap(({ lot, crews }) => (lots[lot]?.order === order ? [...crews.keys()] : [])));
  const there = union(...problem.crews.filter(({ id }) => own.has(id)).map(({ present }) => present));
  const next = indexAtOrAfter(there, due);
  const [leave, back] = [there[next - 1]?.[1], there[next]?.[0]];
  // away from before the due minute until after it
  if (leave === undefined || back === undefined || back <= due || planned > leave || back - leave < REST_LEAST) return null;
  const over = ended.filter((end) => end < 0 || end >= back);
  if (over.length === 0) return null;
  return {
    ...{ leave, back, share: over.length / ended.length },
    hourEnough: over.filter((end) => end >= 0 && end <= back + HOUR).length / ended.length,
  };
}
