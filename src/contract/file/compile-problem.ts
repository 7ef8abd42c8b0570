/** From a problem file with all defaults to a compiled Problem, gathering every fault on the way. */

import type { Minute } from "../../core/calendar/minute.ts";
import type { WallClock } from "../../core/calendar/wall-clock.ts";
import { isZone, wallClock } from "../../core/calendar/wall-clock.ts";
import type { Fault } from "../../core/ground/result.ts";
import type { Problem } from "../../core/problem/problem.ts";
import type { ProblemFile } from "../problem-file.ts";
import { compileLinks } from "./compile-links.ts";
import { compileOrders } from "./compile-orders.ts";
import { compilePlant } from "./compile-plant.ts";
import { type FaultList, faultList } from "./faults.ts";
import type { Moment } from "./field.ts";
import { minuteOfMoment, type Side } from "./moment.ts";
import { readPlanBody } from "./read-plan.ts";

/** Two and a half years of minutes: calendars and searches stay small. */
export const HORIZON_MAX = 1_314_900;

/** What every part of the compilation needs: the clock, the span, and a place for faults. */
export type Compilation = {
  readonly zone: string;
  readonly origin: string;
  readonly now: Minute;
  readonly horizon: Minute;
  readonly faults: FaultList;
  /** The minute of a moment; a fault and 0 when there is no such moment. */
  minute(path: readonly PropertyKey[], moment: Moment, side: Side): Minute;
};

export function compileProblem(file: ProblemFile): { readonly problem: Problem | null; readonly faults: readonly Fault[] } {
  const faults = faultList();
  const time = compileTime(file, faults);
  if (time === null) return { problem: null, faults: faults.faults };
  const plant = compilePlant(file, time);
  const { orders, operations } = compileOrders(file, plant, time);
  const { links, kitSpans, runHourRules } = compileLinks(file, plant, operations, time);
  const minute = (path: readonly PropertyKey[], moment: Moment, side: Side) => time.minute(path, moment, side);
  const published =
    file.published && readPlanBody(file.published, ["published"], new Map(operations.map((o) => [o.id, o])), faults, minute);
  // Open minutes of machines and crews stand with them; only what work without a machine names is needed by itself.
  const named = new Set(operations.flatMap(({ modes }) => modes.flatMap(({ calendar }) => calendar ?? [])));
  const problem: Problem = {
    name: file.name,
    zone: time.zone,
    origin: time.origin,
    now: time.now,
    horizon: time.horizon,
    calendars: plant.calendars.filter(({ id }) => named.has(id)),
    machines: plant.machines,
    crews: plant.crews,
    supplies: plant.supplies,
    kits: plant.kits,
    orders,
    operations,
    links,
    kitSpans,
    runHourRules,
    published,
    freeze: file.freeze === null ? null : time.minute(["freeze"], file.freeze, "begin"),
    weights: file.weights,
  };
  return { problem, faults: faults.faults };
}

/** The instant of the origin in UTC, as text; a fault and null when there is none. */
function originOf(text: string, zone: string, faults: FaultList): string | null {
  const epoch = wallClock(zone, "1970-01-01T00:00Z");
  const shape = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:00(\.0+)?)?(Z|[+-]\d{2}:\d{2})?)?$/;
  if (!shape.test(text)) {
    faults.add(
      ["origin"],
      `expected a local date or date and time (2026-06-08T00:00), or an instant (2026-06-08T00:00+02:00 or ...Z), on a full minute; found "${text}"`,
    );
    return null;
  }
  const minute = minuteOfMoment(text.replace(/(T\d{2}:\d{2}):00(\.0+)?/, "$1"), "begin", epoch);
  if (!minute.ok) {
    faults.add(["origin"], minute.error);
    return null;
  }
  return new Date(minute.value * 60_000).toISOString().replace(":00.000Z", ":00Z");
}

function compileTime(file: ProblemFile, faults: FaultList): Compilation | null {
  if (!isZone(file.zone)) {
    faults.add(["zone"], `unknown time zone "${file.zone}"; expected an IANA name such as Europe/Berlin or UTC`);
    return null;
  }
  const origin = originOf(file.origin, file.zone, faults);
  if (origin === null) return null;
  const clock: WallClock = wallClock(file.zone, origin);
  const minute = (path: readonly PropertyKey[], moment: Moment, side: Side): Minute => {
    const result = minuteOfMoment(moment, side, clock);
    if (result.ok) return result.value;
    faults.add(path, result.error);
    return 0;
  };
  const now = minute(["now"], file.now, "begin");
  const horizon = minute(["horizon"], file.horizon, "end");
  if (now < 0) faults.add(["now"], `lies ${-now} minutes before the origin; it must not lie before it`);
  if (horizon < 1 || horizon > HORIZON_MAX) {
    faults.add(
      ["horizon"],
      `lies at minute ${horizon}; expected one after the origin and at most ${HORIZON_MAX} minutes (two and a half years)`,
    );
    return null;
  }
  if (now > horizon) faults.add(["now"], `lies at minute ${now}, after the horizon (${horizon})`);
  return { zone: file.zone, origin, now, horizon, faults, minute };
}
