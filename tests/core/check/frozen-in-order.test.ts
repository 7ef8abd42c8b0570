/**
 * Frozen work against the definition followed word by word: one operation after the other, each checked beside what was
 * kept so far (the planning problem, section 4). The product answers with few checks; here there is one for each operation.
 * Batches are left out: C53 of src/core/check/SPEC.md reads them together.
 */
import { expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { frozenWork } from "../../../src/core/check/frozen.ts";
import type { PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { randomPlan } from "../../arbitraries/random-plan.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";

function oneByOne(problem: Problem): { kept: string[]; freed: string[] } {
  const free: Problem = { ...problem, published: null, freeze: null, runHourRules: [] };
  const frozen = (problem.published?.operations ?? []).filter(({ lots }) => (lots[0]?.start ?? 0) < (problem.freeze ?? 0));
  const key = ({ lots, operation }: PlannedOperation): [number, string] => [lots[0]?.start ?? 0, operation];
  frozen.sort((a, b) => key(a)[0] - key(b)[0] || (key(a)[1] < key(b)[1] ? -1 : 1));
  const kept: PlannedOperation[] = [];
  const freed: string[] = [];
  for (const planned of frozen) {
    const follows = problem.links.some(
      (link) => link.kind !== "sameMachine" && link.to === planned.operation && freed.includes(link.from),
    );
    const operations = [...kept, planned];
    const ids = operations.map(({ operation }) => operation as string);
    const wrong = check(free, { operations }).conflicts.some((conflict) => conflict.operations.some((id) => ids.includes(id)));
    if (follows || wrong) freed.push(planned.operation);
    else kept.push(planned);
  }
  return { kept: kept.map(({ operation }) => operation), freed };
}

test("the same is kept and freed as one by one", () => {
  let keptSome = 0;
  let freedSome = 0;
  for (let seed = 1; seed <= 600; seed++) {
    const base = tinyProblem(seed, { enumerable: true, operations: 6 });
    const published = randomPlan(base, seed);
    const whole = published.operations.filter(({ lots }) => lots.length === 1);
    const problem: Problem = { ...base, published: { operations: whole }, freeze: 40 };
    const { kept, freed } = frozenWork(problem);
    keptSome += Math.min(kept.length, 1);
    freedSome += Math.min(freed.length, 1);
    expect({ seed, kept: kept.map(({ operation }) => operation), freed: freed.map(({ operation }) => operation) }).toEqual({
      seed,
      ...oneByOne(problem),
    });
  }
  // Both outcomes really occur, so the comparison means something.
  expect(Math.min(keptSome, freedSome)).toBeGreaterThan(100);
});
