/** Moving by hand: only the moved operation changes, its own flow stays right wherever it lands, and "first fit" really fits. */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import type { ConflictKind } from "../../../src/core/check/conflict.ts";
import { createRandom } from "../../../src/core/ground/prng.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import { createMover } from "../../../src/core/plan/move.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

/** What a bar may never break by being dragged: its own phases. Whom it meets there is another matter. */
const OWN: ReadonlySet<ConflictKind> = new Set<ConflictKind>([
  "wrongWork",
  "setupShort",
  "flowBroken",
  "restedThoughWorkable",
  "phaseOrder",
  "lotsWrong",
  "crewNotOffered",
  "modeNotOffered",
]);

test("a dragged operation keeps its flow, leaves the others alone, and fits where first fit says so", () => {
  let fits = 0;
  for (let seed = 1; seed <= 100; seed++) {
    const problem = tinyProblem(seed);
    const { plan } = makePlan(problem, { seed, iterations: 10 });
    const mover = createMover(problem);
    const random = createRandom(seed);
    for (const planned of plan.operations) {
      const operation = problem.operations.find(({ id }) => id === planned.operation)!;
      const mode = operation.modes[random.int(operation.modes.length)]!;
      const at = problem.now + random.int(60);
      const moved = mover.place(plan, operation.id, mode.id, at);
      for (const other of moved.operations) {
        if (other.operation !== operation.id) expect(plan.operations).toContain(other);
      }
      const own = check(problem, moved).conflicts.filter(
        (conflict) => OWN.has(conflict.kind) && conflict.operations.includes(operation.id) && conflict.operations.length === 1,
      );
      expect({ seed, operation: operation.id, at, own }).toEqual({ seed, operation: operation.id, at, own: [] });
      const first = mover.firstFit(plan, operation.id, mode.id, at);
      if (first === null) continue;
      fits++;
      expect(first).toBeGreaterThanOrEqual(at);
      const there = check(problem, mover.place(plan, operation.id, mode.id, first)).conflicts;
      const left = there.filter((conflict) => conflict.operations.includes(operation.id));
      expect({ seed, operation: operation.id, at, first, left }).toEqual({ seed, operation: operation.id, at, first, left: [] });
    }
  }
  expect(fits).toBeGreaterThan(80);
});
