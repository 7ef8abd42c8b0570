/** A shop of 30 machines with so many operations of three phases, one after the other; the density of a busy week at any number. */

import { createRandom } from "../../../src/core/ground/prng.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
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

export function manyBars(count: number): { readonly problem: Problem; readonly plan: Plan } {
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
    const start = (free[at] ?? 0) + random.int(GAP_MAX);
    const id = `${1000 + Math.floor(i / 4)}/${((i % 4) + 1) * 10}`;
    operations.push(
      operation(id, {
        order: `${1000 + Math.floor(i / 4)}`,
        machines: [`m${at}`],
        phases: [prepare(60), unattended(run), clear(20)],
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
  const orders = [...new Set(operations.map((each) => each.order))].map((id) => order(id, { name: "Valve body", due: 100_000 }));
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
  return { problem, plan: plan(problem, ...puts) };
}
