/**
 * The demo scenario: Larkfield Drives, an invented shop, dated relative to the day it is opened.
 * Promises a problem file whose published plan was made by the engine yesterday noon, after a week of work, and followed to the
 * minute since, so that work is done, running and frozen now; one rush order came in after it and nobody has planned it yet.
 * All moments are written as instants, so the file means the same wherever minute 0 is put. Deterministic for a given `now`.
 */

import { DateTime } from "luxon";
import { type ProblemFileInput, readProblemFile } from "../src/contract/problem-file.ts";
import { invariant } from "../src/core/ground/invariant.ts";
import { hasBegun } from "../src/core/orders/operation.ts";
import { makePlan } from "../src/core/plan/make-plan.ts";
import type { Plan } from "../src/core/problem/plan.ts";
import { advance } from "../src/core/track/advance.ts";
import { demoOrderBook, demoRushOrder, type OrderBook } from "./demo-shop/order-book.ts";
import { DEMO_ZONE, demoCalendars, demoCrews, demoKits, demoMachines, demoSetupTables, demoSupplies } from "./demo-shop/plant.ts";

const DAYS_BEFORE = 7;
const DAYS_AHEAD = 63;
const FREEZE_HOURS = 24;
/** Enough for a plan without silly gaps; the first start should not take long. */
const DEMO_ITERATIONS = 2_400;

export type DemoOptions = { readonly iterations?: number };

/** The shop as it stands at `now` (an ISO instant, cut to the minute). */
export function demoShop(now: string, options: DemoOptions = {}): ProblemFileInput {
  const here = DateTime.fromISO(now, { zone: DEMO_ZONE }).startOf("minute");
  invariant(here.isValid, `${now} is not an ISO instant`);
  const today = here.startOf("day");
  const origin = today.minus({ days: DAYS_BEFORE });
  const day = (days: number): string => today.plus({ days }).toISODate() ?? "";
  const nowMinute = Math.round(here.diff(origin, "minutes").minutes);
  const instant = (minute: number): string =>
    origin.toUTC().plus({ minutes: minute }).toISO({ suppressSeconds: true, suppressMilliseconds: true }) ?? "";

  const file = (book: OrderBook): ProblemFileInput => ({
    format: "slotwright-problem",
    version: 1,
    name: "Larkfield Drives",
    notes: "An invented maker of small electric drives. Every name, number and person is made up.",
    zone: DEMO_ZONE,
    origin: instant(0),
    now: instant(0),
    horizon: instant(nowMinute + DAYS_AHEAD * 1440),
    calendars: demoCalendars(day),
    machines: demoMachines(day),
    crews: demoCrews(day),
    supplies: demoSupplies,
    kits: demoKits,
    setupTables: demoSetupTables,
    orders: book.orders,
    links: book.links,
    runHourRules: [
      { id: "wire-cut-filters", machine: "wire-cut", counter: 3_000, limit: 7_200, operations: ["2402/10", "2403/10"] },
    ],
  });

  const book = demoOrderBook(day);
  const before = readProblemFile(file(book));
  invariant(before.ok, `the demo shop does not read: ${before.ok ? "" : JSON.stringify(before.error)}`);
  // A first plan a week ago was followed to the minute until yesterday noon; the plan published then is the one in force.
  const iterations = options.iterations ?? DEMO_ITERATIONS;
  const first = makePlan(before.value, { seed: 7, iterations: Math.ceil(iterations / 4) });
  const publishedAt = Math.max(0, Math.round(today.minus({ days: 1 }).plus({ hours: 12 }).diff(origin, "minutes").minutes));
  const yesterday = advance(before.value, first.plan, publishedAt);
  const planned = makePlan(yesterday, { seed: 7, iterations });
  const later = advance(yesterday, planned.plan, nowMinute);
  const progress = new Map(later.operations.map((operation) => [operation.id, operation.progress]));
  const rush = demoRushOrder(day);

  const reported: OrderBook = {
    orders: book.orders.map((order) => ({
      ...order,
      operations: order.operations.map((operation) => {
        const known = progress.get(operation.id);
        if (known === undefined || !hasBegun(known)) return operation;
        return {
          ...operation,
          progress: {
            done: known.done.map((lot) => ({ ...lot, start: instant(lot.start), end: instant(lot.end) })),
            running: known.running.map((lot) => ({ ...lot, crews: [...lot.crews], start: instant(lot.start) })),
          },
        };
      }),
    })),
    links: book.links,
  };
  const counter = later.runHourRules[0]?.counter ?? 0;
  return {
    ...file({ orders: [...reported.orders, ...rush.orders], links: [...reported.links, ...rush.links] }),
    runHourRules: [
      {
        id: "wire-cut-filters",
        machine: "wire-cut",
        counter,
        limit: 7_200,
        operations: remaining(later.operations, ["2402/10", "2403/10"]),
      },
    ],
    now: instant(nowMinute),
    published: inInstants(planned.plan, instant),
    freeze: instant(Math.round(frozenUntil(here).diff(origin, "minutes").minutes)),
  };
}

/** A day ahead; a freeze that would end in a weekend, when nothing starts, reaches to Monday noon. */
function frozenUntil(here: DateTime): DateTime {
  const ahead = here.plus({ hours: FREEZE_HOURS });
  const monday = ahead.startOf("week").plus({ weeks: ahead.weekday === 1 ? 0 : 1, hours: 12 });
  return ahead.weekday >= 6 || (ahead.weekday === 1 && ahead < monday) ? monday : ahead;
}

/** Operations of a run-hour list that are not done yet (all of them when all are: the schema wants one). */
function remaining(
  operations: readonly { id: string; pieces: number; progress: { done: readonly { pieces: number }[] } }[],
  list: string[],
): string[] {
  const open = list.filter((id) => {
    const operation = operations.find((o) => o.id === id);
    return operation === undefined || operation.progress.done.reduce((sum, lot) => sum + lot.pieces, 0) < operation.pieces;
  });
  return open.length > 0 ? open : list;
}

function inInstants(plan: Plan, instant: (minute: number) => string): NonNullable<ProblemFileInput["published"]> {
  return {
    operations: plan.operations.map((planned) => ({
      operation: planned.operation,
      lots: planned.lots.map((lot) => ({
        mode: lot.mode,
        pieces: lot.pieces,
        start: instant(lot.start),
        end: instant(lot.end),
        phases: lot.phases.map((phase) => ({
          phase: phase.phase,
          work: phase.work.map(([start, end]): [string, string] => [instant(start), instant(end)]),
          crews: [...phase.crews],
        })),
      })),
    })),
  };
}
