/** Edits over a draft that others change: laid over, recognised as done, or told apart - never half, never lost. */
import { expect, test } from "vitest";
import { keptEdit, layEdits } from "../../../web/board/lay-edits.ts";
import { applyEdit, editBetween } from "../../../web/board/plan-edit.ts";
import { machine, operation, plan, put, run, shop } from "../../core/check/shop.ts";

const problem = shop({
  machines: [machine("saw")],
  operations: ["a", "b", "c"].map((id) => operation(id, { machines: ["saw"], phases: [run(60)] })),
});
const at = (a: number | null, b: number | null, c: number | null = null) =>
  plan(
    problem,
    ...Object.entries({ a, b, c }).flatMap(([id, start]) => (start === null ? [] : [put(id, [[start, start + 60]])])),
  );
const starts = (of: ReturnType<typeof at>) =>
  Object.fromEntries(of.operations.map(({ operation: id, lots }) => [id, lots[0]?.start]));
const moveA = editBetween(at(0, 100), at(500, 100), "a to 500");
const first = keptEdit("1", moveA, at(0, 100));
const second = keptEdit("2", editBetween(at(500, 100), at(700, 100), "a to 700"), applyEdit(at(0, 100), moveA));
const ids = (list: readonly { readonly id: string }[]) => list.map(({ id }) => id);

test("over a draft in which other work changed, edits are laid in order", () => {
  const laid = layEdits(at(0, 300, 900), [first, second]);
  expect([starts(laid.plan), ids(laid.over)]).toEqual([{ a: 700, b: 300, c: 900 }, ["1", "2"]]);
});

test("what arrived although its answer was lost is in the draft already, and the next edit still goes over it", () => {
  const laid = layEdits(at(500, 100), [first, second]);
  expect([starts(laid.plan), ids(laid.there), ids(laid.over)]).toEqual([{ a: 700, b: 100 }, ["1"], ["2"]]);
});

test("over the same work changed by somebody else nothing is laid: theirs stays, ours is told apart", () => {
  const laid = layEdits(at(40, 100), [first, second]);
  expect([starts(laid.plan), ids(laid.overtaken)]).toEqual([{ a: 40, b: 100 }, ["1", "2"]]);
});

test("an edit of several operations stays whole: one that was changed by somebody else holds all of it back", () => {
  const both = keptEdit("3", editBetween(at(0, 100), at(null, 600), "both"), at(0, 100));
  expect(starts(layEdits(at(0, 100), [both]).plan)).toEqual({ b: 600 });
  const laid = layEdits(at(0, 101), [both]);
  expect([starts(laid.plan), ids(laid.overtaken)]).toEqual([{ a: 0, b: 101 }, ["3"]]);
});
