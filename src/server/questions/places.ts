/** Where a new order fits on each set of machines that can take all of it, without moving anybody. */

import type { PlacesAnswer } from "../../contract/api/questions/places.ts";
import { wallClock } from "../../core/calendar/wall-clock.ts";
import { orderPlaces } from "../../core/plan/order-places.ts";
import { wantedOrder } from "../../core/plan/wanted-order.ts";
import { minuteAt } from "./free-windows.ts";
import { CannotAnswer, defineQuestion } from "./question.ts";
import { wantedIn } from "./wanted.ts";

type Operations = PlacesAnswer["places"][number]["operations"];

export const placesQuestion = defineQuestion({
  kind: "places",
  allowed: ["requester", "planner", "administrator"],
  answerTo(state, { order, earliest, before }, { shouldStop, onProgress }) {
    const joined = wantedOrder(state.problem, wantedIn(state, order));
    if (!joined.ok) throw new CannotAnswer(`${joined.error.message}.`);
    const { problem, order: found, operations } = joined.value;
    const clock = wallClock(problem.zone, problem.origin);
    const rest = { operations: state.plan.operations.filter(({ operation }) => !operations.has(operation)) };
    onProgress({ done: 0, total: null, word: "Places tried on each rig" });
    const { places, full } = orderPlaces(
      problem,
      rest,
      found.id,
      {
        earliest: earliest === null ? undefined : minuteAt(clock, "earliest", earliest, "begin"),
        before: before === null ? undefined : minuteAt(clock, "before", before, "end"),
      },
      shouldStop,
    );
    const names = new Map(problem.operations.map(({ id, name }) => [id, name]));
    return {
      order: found.id,
      due: found.due,
      places: places.map(({ machines, lots, plan, ...place }) => ({
        ...place,
        machines: [...machines],
        late: found.due === null ? 0 : Math.max(0, place.end - found.due),
        sessions: lots
          .map(({ operation, lot }) => ({ operation, name: names.get(operation) ?? operation, start: lot.start, end: lot.end }))
          .sort((a, b) => a.start - b.start),
        // Plain data on both sides; only the contract's lists may be written to.
        operations: plan.operations.filter(({ operation }) => operations.has(operation)) as unknown as Operations,
      })),
      full: full.map((machines) => [...machines]),
    };
  },
});
