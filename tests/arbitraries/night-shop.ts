/**
 * Random tiny shops with nights, from a seed: half-hours for minutes, an early shift of eight hours on three days, one or two
 * machines that may work alone, some work that needs people throughout and some that runs alone after its setup. Small enough
 * to enumerate every plan. Same seed, same shop.
 */
import type { Interval } from "../../src/core/calendar/minute.ts";
import { sumOfSteps } from "../../src/core/calendar/step-function.ts";
import { createRandom } from "../../src/core/ground/prng.ts";
import type { Operation } from "../../src/core/orders/operation.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { crew, machine, mode, need, operation, order, phase, shop } from "../core/solve/shop.ts";

/** Half-hours. */
const DAY = 48;
const DAYS = 3;

export function nightShop(seed: number): Problem {
  const random = createRandom(seed);
  const between = (low: number, high: number): number => low + random.int(high - low + 1);
  const shifts = Array.from({ length: DAYS + 2 }, (_, d): Interval => [(d - 2) * DAY + 14, (d - 2) * DAY + 30]);
  const machines = Array.from({ length: between(1, 2) }, (_, i) =>
    machine(`m${i}`, {
      unattended: { kind: "allowed", windows: null, maxMinutes: random.int(3) === 0 ? between(12, 28) : null },
    }),
  );
  const count = between(3, 4);
  const operations = Array.from({ length: count }, (_, i): Operation => {
    const alone = i === 0 || random.int(2) === 0;
    const at = machines.filter((_, k) => machines.length === 1 || k === i % 2 || random.int(3) === 0).map(({ id }) => id);
    const phases = alone
      ? [
          phase("prepare", "solid", between(1, 3), { needs: [need("set")] }),
          phase("run", "solid", between(6, 24), { maxWait: 0 }),
        ]
      : [phase("run", "solid", between(3, 8), { needs: [need("set")] })];
    return operation(
      `w${i}`,
      at.map((id) => mode([id], phases, { id: `on ${id}` })),
      { order: `o${i}` },
    );
  });
  const setters = crew("setters", ["set"]);
  return {
    ...shop({
      machines,
      crews: [
        {
          ...setters,
          present: shifts,
          headcount: sumOfSteps(shifts.map((interval) => ({ interval, amount: 100 * between(1, 2) }))),
        },
      ],
      orders: operations.map((_, i) => order(`o${i}`, { due: random.int(4) === 0 ? null : between(20, DAY * DAYS) })),
      operations,
    }),
    now: 14,
    horizon: DAY * DAYS,
  };
}
