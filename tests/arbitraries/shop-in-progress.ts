/**
 * A tiny shop in the middle of its plan: the engine's plan was published and followed to a random minute, then reality drifts a
 * little (running work takes longer or shorter). Same seed, same shop.
 */
import { createRandom } from "../../src/core/ground/prng.ts";
import { makePlan } from "../../src/core/plan/make-plan.ts";
import type { Plan } from "../../src/core/problem/plan.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { advance } from "../../src/core/track/advance.ts";
import { tinyProblem } from "./tiny-problem.ts";

export type ShopInProgress = {
  readonly problem: Problem;
  readonly published: Plan;
  readonly drifted: boolean;
  readonly clean: boolean;
  /** Two lots of one operation run at once. */
  readonly sideBySide: boolean;
};

/** `twins`: every machine has a twin and every batch may be cut, so that lots of one operation run side by side. */
export function shopInProgress(seed: number, drift = true, twins = false): ShopInProgress {
  const random = createRandom(seed * 31 + 5);
  const before = twins ? withTwins(tinyProblem(seed)) : tinyProblem(seed);
  const outcome = makePlan(before, { seed, iterations: 40 });
  const last = Math.max(before.now + 1, ...outcome.plan.operations.flatMap((planned) => planned.lots.map((lot) => lot.end)));
  const both = outcome.plan.operations.flatMap(({ lots }) =>
    lots.slice(1).filter((lot, i) => lot.start < (lots[i]?.end ?? 0) - 1),
  );
  const now = twins && both[0] ? both[0].start + 1 : before.now + 1 + random.int(last - before.now);
  const followed = advance(before, outcome.plan, now);
  let drifted = false;
  const operations = followed.operations.map((operation) => {
    const running = operation.progress.running.map((lot) => {
      if (!drift || lot.remaining === 0 || random.next() < 0.5) return lot;
      drifted = true;
      return { ...lot, remaining: Math.max(1, lot.remaining + random.int(7) - 3) };
    });
    return { ...operation, progress: { ...operation.progress, running } };
  });
  return {
    problem: { ...followed, operations, published: outcome.plan, freeze: random.next() < 0.7 ? now + random.int(25) : null },
    published: outcome.plan,
    drifted,
    clean: outcome.conflicts.length === 0,
    sideBySide: operations.some(({ progress }) => progress.running.length > 1),
  };
}

const twinOf = (id: string): string => `${id} twin`;

function withTwins(problem: Problem): Problem {
  return {
    ...problem,
    machines: problem.machines.flatMap((machine) => [machine, { ...machine, id: twinOf(machine.id) }]),
    operations: problem.operations.map((operation) => ({
      ...operation,
      split: operation.pieces > 1 ? { lots: 3, minPieces: 1 } : null,
      modes: operation.modes.flatMap((mode) =>
        mode.machines.length === 0 ? [mode] : [mode, { ...mode, id: twinOf(mode.id), machines: mode.machines.map(twinOf) }],
      ),
    })),
  };
}
