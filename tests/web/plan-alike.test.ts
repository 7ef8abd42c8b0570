/** A newer reading of the plan is what the server said, made of the older one's parts wherever both say the same. */
import { expect, test } from "vitest";
import type { PlanView } from "../../src/contract/api/plan.ts";
import { keptAlike } from "../../web/client/plan-alike.ts";

const problem = { name: "Shop", now: 0 } as unknown as PlanView["problem"];
const lot = (start: number) => ({ mode: "m", pieces: 1, start, end: start + 10, phases: [] });
const reading = (revision: number, start: number): PlanView => ({
  problem,
  published: { version: 1, publishedAt: "2026-11-02T06:00:00Z", by: "Anna" },
  draft: {
    ...{ revision, canUndo: true, canRedo: false, basedOn: 1, note: "" },
    plan: { operations: [{ operation: "A", lots: [lot(start)] }] },
  },
  check: { conflicts: [], cost: { parts: {}, total: 0 } } as unknown as PlanView["check"],
  assumed: ["A"],
  holds: [],
});

test("the same again is the very same reading", () => {
  const old = reading(3, 60);
  expect(keptAlike(old, reading(3, 60))).toBe(old);
  expect(keptAlike(undefined, old)).toBe(old);
});

test("another revision with the same plan keeps the plan; another plan keeps the rest", () => {
  const old = reading(3, 60);
  const numbered = keptAlike(old, reading(4, 60));
  expect(numbered).toStrictEqual(reading(4, 60));
  expect(numbered.draft.plan).toBe(old.draft.plan);
  const moved = keptAlike(old, reading(4, 90));
  expect(moved).toStrictEqual(reading(4, 90));
  expect(moved.check).toBe(old.check);
  expect(moved.holds).toBe(old.holds);
});

test("another problem is taken as it comes, whatever else is the same", () => {
  const old = reading(3, 60);
  const later = { ...reading(3, 60), problem: { ...problem, now: 1 } };
  const read = keptAlike(old, later);
  expect(read).toStrictEqual(later);
  expect(read.problem).toBe(later.problem);
  expect(read.draft).toBe(old.draft);
});
