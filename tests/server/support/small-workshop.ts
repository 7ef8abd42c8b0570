/**
 * A workshop small enough to plan by hand: two mills that any order may use, one crew on days, clock standing at Monday
 * 07:00 (minute 420) of a week in UTC. Every job: 60 minutes attended, and X2 follows X1.
 */
import type { ProblemFileInput } from "../../../src/contract/problem-file.ts";
import type { PlannedOperation } from "../../../src/core/problem/plan.ts";

type OrderInput = NonNullable<ProblemFileInput["orders"]>[number];

export const jobOrder = (id: string, due: number | null = 2_000, operations = 1): OrderInput => ({
  id,
  name: `Order ${id}`,
  due,
  operations: Array.from({ length: operations }, (_, i) => ({
    id: `${id}/${i + 1}`,
    modes: ["mill-a", "mill-b"].map((machine) => ({
      id: machine,
      machines: [machine],
      phases: [
        {
          kind: "run" as const,
          flow: "solid" as const,
          work: { kind: "fixed" as const, minutes: 60 },
          needs: [{ skill: "mill", amount: 50 }],
        },
      ],
    })),
  })),
});

export const smallWorkshop = (): ProblemFileInput => ({
  format: "slotwright-problem",
  version: 1,
  name: "Small workshop",
  zone: "UTC",
  origin: "2026-06-08",
  now: 420,
  horizon: 20_160,
  calendars: [{ id: "days", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00" }] }],
  machines: [
    { id: "mill-a", name: "Mill A", calendar: "days" },
    { id: "mill-b", name: "Mill B", calendar: "days" },
  ],
  crews: [{ id: "millers", name: "Millers", skills: ["mill"], calendar: "days" }],
  orders: [jobOrder("P"), jobOrder("Q"), jobOrder("X", 2_000, 2)],
  links: [{ kind: "lag", id: "X-1-2", from: "X/1", to: "X/2" }],
});

/** A job placed by hand. */
export const at = (operation: string, machine: "mill-a" | "mill-b", start: number): PlannedOperation => ({
  operation,
  lots: [
    { mode: machine, pieces: 1, start, end: start + 60, phases: [{ phase: 0, work: [[start, start + 60]], crews: ["millers"] }] },
  ],
});

/** A plan without conflicts. */
export const goodPlan = () => ({
  operations: [at("P/1", "mill-a", 420), at("Q/1", "mill-b", 420), at("X/1", "mill-a", 480), at("X/2", "mill-b", 540)],
});
