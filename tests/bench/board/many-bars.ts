/**
 * A shop of 30 machines with so many operations of three phases, one after the other; the density of a busy week at any number. Shares
 * of the work carry what a draft can carry: moved against the published plan, held, pinned, rush, late, two at once.
 */

import { createRandom } from "../../../src/core/ground/prng.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import type { Held } from "../../../web/board/board-model.ts";
import {
  clear,
  crew,
  machine,
  operation,
  order,
  plan,
  prepare,
  put,
  shop,
  steps,
  unattended,
  weekdays,
} from "../../core/check/shop.ts";

const MACHINES = 30;
const GAP_MAX = 120;

export type ManyBars = {
  readonly problem: Problem;
  readonly plan: Plan;
  readonly holds: readonly Held[];
  /** A plan that is offered over it. */
  readonly offered: Plan;
};

/** Of so many, one. */
const MOVED = 20;
const HELD = 40;
const PINNED = 25;
const RUSH = 15;
const LATE = 20;
const AT_ONCE = 60;
const OFFERED = 50;

export function manyBars(count: number): ManyBars {
  const random = createRandom(42);
  const machines = Array.from({ length: MACHINES }, (_, i) =>
    machine(`m${i}`, { name: `Machine ${i + 1}`, group: `Group ${Math.floor(i / 6) + 1}`, kind: i >= 24 ? "rig" : "machine" }),
  );
  const operations: ReturnType<typeof operation>[] = [];
  const puts: ReturnType<typeof put>[] = [];
  const free = new Array<number>(MACHINES).fill(0);
  for (let i = 0; i < count; i++) {
    const at = i % MACHINES;
    const run = 240 + random.int(480);
    const gap = random.int(GAP_MAX);
    const start = Math.max(0, (free[at] ?? 0) + (i % AT_ONCE === AT_ONCE - 1 ? -30 : gap));
    const id = `${1000 + Math.floor(i / 4)}/${((i % 4) + 1) * 10}`;
    operations.push(
      operation(id, {
        order: `${1000 + Math.floor(i / 4)}`,
        machines: [`m${at}`],
        phases: [prepare(60), unattended(run), clear(20)],
        pin: i % PINNED === 3 ? { machines: null, start } : null,
      }),
    );
    puts.push(
      put(id, [
        [start, start + 60],
        [start + 60, start + 60 + run],
        [start + 60 + run, start + 80 + run],
      ]),
    );
    free[at] = start + 80 + run;
  }
  const orders = [...new Set(operations.map((each) => each.order))].map((id, i) =>
    order(id, {
      name: "Valve body",
      kind: i % RUSH === 0 ? "prototype" : "production",
      due: i % LATE === 1 ? Math.max(1, Math.floor((i * 4 * 620) / MACHINES) - 600) : 10_000_000,
    }),
  );
  const shift = weekdays(360, 1320);
  const problem = shop({
    machines,
    operations,
    orders,
    crews: [
      crew("day", {
        shift,
        people: 1000,
        headcount: steps(shift, 1000),
        shifts: shift.map(([start, end]) => ({ name: "Early", start, end, people: 1000 })),
      }),
    ],
    horizon: Math.max(28 * 1440, ...free) + 1440,
  });
  const draft = plan(problem, ...puts);
  const later = (of: Plan, every: number, minutes: number): Plan => ({
    operations: of.operations.map((planned, i) =>
      i % every !== 0
        ? planned
        : {
            ...planned,
            lots: planned.lots.map((lot) => ({
              ...lot,
              start: lot.start + minutes,
              end: lot.end + minutes,
              phases: lot.phases.map((phase) => ({
                ...phase,
                work: phase.work.map(([from, until]) => [from + minutes, until + minutes] as const),
              })),
            })),
          },
    ),
  });
  return {
    problem: { ...problem, published: later(draft, MOVED, 200) },
    plan: draft,
    holds: orders
      .filter((_, i) => i % HELD === 2)
      .map(({ id }) => ({ order: id, until: problem.horizon, heldBy: "Planner on duty", note: "" })),
    offered: later(draft, OFFERED, 300),
  };
}
