/**
 * The problem as a run should see it while the clock goes on: nothing new begins before its people can have been told.
 * Free work gets a window that opens a little after now; what is published to begin earlier, pinned to a start, running or
 * has a window with an end of its own stays as it is. A plan of the narrower problem is a plan of the true one. Pure.
 */

import type { Minute } from "../../core/calendar/minute.ts";
import { hasBegun } from "../../core/orders/operation.ts";
import type { Problem } from "../../core/problem/problem.ts";

/** Time to look at a plan, publish it and tell people. */
export const LEAD_MINUTES = 10;

export function withLead(problem: Problem, lead: Minute): Problem {
  const earliest = problem.now + lead;
  const soon = new Set(
    problem.published?.operations.filter(({ lots }) => (lots[0]?.start ?? earliest) < earliest).map(({ operation }) => operation),
  );
  return {
    ...problem,
    operations: problem.operations.map((operation) => {
      const { window, pin, progress, id } = operation;
      const settled = soon.has(id) || hasBegun(progress) || (pin !== null && pin.start !== null) || window.end !== null;
      return settled ? operation : { ...operation, window: { start: Math.max(window.start ?? earliest, earliest), end: null } };
    }),
  };
}
