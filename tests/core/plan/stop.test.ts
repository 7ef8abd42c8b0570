/**
 * Somebody stops a run: at whatever look it is heard, the plan handed over is complete and judged as a fresh checker judges it; who is
 * in a hurry gets one that was judged on the way, never a better one than the run ends with. A judgement broken off leaves nothing
 * behind that a later one would trust.
 */
import { expect, test } from "vitest";
import { generateShop } from "../../../seed/shop-generator.ts";
import { readProblemFile } from "../../../src/contract/problem-file.ts";
import { check, checkUnless } from "../../../src/core/check/checker.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";

function shop() {
  const read = readProblemFile(generateShop("60", 3));
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
}

/** A run that is stopped at its n-th look. */
function stoppedAt(look: number, hurried: boolean) {
  let looks = 0;
  const shouldStop = () => ++looks >= look;
  return makePlan(shop(), { seed: 1, shouldStop, hurry: () => hurried });
}

test("a hurried stop hands over a judged plan, at most as good as the one of a stop that waits", () => {
  for (const look of [1, 2_000]) {
    const hurried = stoppedAt(look, true);
    expect({ look, conflicts: hurried.conflicts }).toEqual({ look, conflicts: [] });
    expect(hurried.plan.operations).toHaveLength(60);
    expect(check(shop(), hurried.plan)).toEqual({ conflicts: [], cost: hurried.cost });
    expect(hurried.cost.total).toBeGreaterThanOrEqual(stoppedAt(look, false).cost.total);
  }
});

test("a judgement broken off anywhere says nothing, and the next one is that of a checker that never saw the plan", () => {
  const problem = shop();
  const { plan } = makePlan(problem, { seed: 2, iterations: 50 });
  const [first, ...others] = plan.operations;
  if (first === undefined) throw new Error("a plan without operations");
  const early = first.lots.map((lot) => ({ ...lot, start: lot.start - 5, end: lot.end - 5 }));
  const broken = { operations: [{ ...first, lots: early }, ...others] };
  const fresh = check(structuredClone(problem), broken);
  expect(fresh.conflicts.length).toBeGreaterThan(0);
  for (let breath = 1, done = false; !done; breath++) {
    let breaths = 0;
    const judgement = checkUnless(problem, breath % 2 === 0 ? plan : structuredClone(broken), () => ++breaths >= breath);
    done = judgement !== null;
    expect(check(problem, broken)).toEqual(fresh);
  }
});
