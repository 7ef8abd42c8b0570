/** Changes of a what-if on a small shop: each form makes exactly its edits, the changed shop compiles, and what others use stays as it is. */
import { expect, test } from "vitest";
import { type ProblemFile, problemFileSchema, readProblemFile } from "../../src/contract/problem-file.ts";
import { type ScenarioChangeInput, scenarioChangeSchema } from "../../src/contract/scenario/change.ts";
import { changedProblem } from "../../src/contract/scenario/changed-problem.ts";
import { applyChanges } from "../../src/contract/scenario/edits-of-changes.ts";
import { totalMinutes } from "../../src/core/calendar/intervals.ts";
import { valueAt } from "../../src/core/calendar/step-function.ts";
import { present } from "../../src/core/ground/invariant.ts";
import type { Problem } from "../../src/core/problem/problem.ts";
import { smallShop } from "./small-shop.ts";

const file: ProblemFile = problemFileSchema.parse(smallShop());
const before = (() => {
  const read = readProblemFile(smallShop());
  if (!read.ok) throw new Error(JSON.stringify(read.error));
  return read.value;
})();
const DAY = 1440;

function changed(...changes: ScenarioChangeInput[]): Problem {
  const result = changedProblem(
    file,
    before,
    changes.map((change) => scenarioChangeSchema.parse(change)),
  );
  if (!result.ok) throw new Error(JSON.stringify(result.error));
  return result.value;
}
const machine = (problem: Problem, id: string) =>
  present(
    problem.machines.find((each) => each.id === id),
    id,
  );
const crew = (problem: Problem, id: string) =>
  present(
    problem.crews.find((each) => each.id === id),
    id,
  );
const operation = (problem: Problem, id: string) =>
  present(
    problem.operations.find((each) => each.id === id),
    id,
  );

test("no change, no difference", () => {
  expect(changed()).toEqual(before);
});

test("a machine down takes exactly its open minutes of that time", () => {
  const problem = changed({
    kind: "machineDown",
    machine: "mill",
    start: "2026-06-10T07:00",
    end: "2026-06-10T10:00",
    reason: "belt",
  });
  expect(totalMinutes(machine(before, "mill").open) - totalMinutes(machine(problem, "mill").open)).toBe(180);
  expect(machine(problem, "mill").closures.at(-1)).toMatchObject({ start: 2 * DAY + 420, reason: "belt" });
});

test("overtime of one crew leaves others that share the calendar alone, and opens the machines named", () => {
  const overtime = {
    kind: "moreHours",
    crew: "setters",
    machines: ["mill"],
    when: { start: "2026-06-12T15:00", end: "2026-06-12T17:00" },
  } satisfies ScenarioChangeInput;
  const problem = changed(overtime);
  const friday = 4 * DAY + 900;
  expect(valueAt(crew(problem, "setters").headcount, friday + 60)).toBe(200);
  expect(valueAt(crew(problem, "setters").headcount, friday + 120)).toBe(0);
  expect(crew(problem, "rigs")).toEqual(crew(before, "rigs"));
  expect(totalMinutes(machine(problem, "mill").open) - totalMinutes(machine(before, "mill").open)).toBe(120);
  // A second change of the same crew finds its own calendar and adds to it.
  const again = changed(overtime, { ...overtime, people: 100, when: { start: "2026-06-12T17:00", end: "2026-06-12T18:00" } });
  expect(valueAt(crew(again, "setters").headcount, friday + 150)).toBe(100);
  expect(
    applyChanges(file, [scenarioChangeSchema.parse(overtime), scenarioChangeSchema.parse(overtime)]).file.calendars,
  ).toHaveLength(4);
});

test("a second shift repeats on its weekdays, over midnight too, and not on others", () => {
  const problem = changed({
    kind: "moreHours",
    crew: "rigs",
    when: { from: "2026-06-12", last: "2026-06-16", days: [1, 2, 5], begin: "22:00", until: "06:00" },
  });
  const added = totalMinutes(crew(problem, "rigs").present) - totalMinutes(crew(before, "rigs").present);
  expect(added).toBe(3 * 480); // Friday 12th, Monday 15th, Tuesday 16th
});

test("fewer people, an order put off, another machine, a split, a purchase", () => {
  const fewer = changed({ kind: "fewerPeople", crew: "setters", start: "2026-06-12", end: "2026-06-12", people: 100 });
  expect(valueAt(crew(fewer, "setters").headcount, 4 * DAY + 480)).toBe(100);

  const later = changed({ kind: "order", order: "A", due: "2026-06-17", weight: 5 });
  expect(later.orders.find(({ id }) => id === "A")).toMatchObject({ due: 10 * DAY, weight: 5, quantity: 24 });
  expect(changed({ kind: "order", order: "A", due: null }).orders.find(({ id }) => id === "A")?.due).toBeNull();

  const qualified = operation(changed({ kind: "qualify", operation: "A1", machine: "chamber" }), "A1");
  expect(qualified.modes.map(({ machines, families }) => [machines, families])).toEqual([
    [["mill"], ["T"]],
    [["chamber"], [null]], // the chamber's set-up rule knows no vices
  ]);
  expect(operation(changed({ kind: "split", operation: "A1", lots: 3, minPieces: 8 }), "A1").split).toEqual({
    lots: 3,
    minPieces: 8,
  });
  const bought = applyChanges(file, [scenarioChangeSchema.parse({ kind: "buy", operation: "A1", minutes: 7200 })]).file;
  expect(bought.orders[0]?.operations[0]?.modes.at(-1)).toMatchObject({
    id: "bought",
    machines: [],
    phases: [{ work: { kind: "fixed", minutes: 7200 }, needs: [] }],
  });
});

test("what is bought comes all at once: where pieces were handed on, the next waits for all of them", () => {
  const problem = changed({ kind: "buy", operation: "A1", minutes: 7200 });
  expect(operation(problem, "A1")).toMatchObject({ split: null, modes: [{ machines: [] }] });
  expect(problem.links).toEqual([
    { kind: "lag", id: "A1>A2", from: "A1", to: "A2", minLag: 0, maxLag: null },
    ...before.links.filter(({ id }) => id === "R1>A1"),
  ]);
  expect(problem.operations.filter(({ id }) => id !== "A1")).toEqual(before.operations.filter(({ id }) => id !== "A1"));
  // where nothing is handed on it may still be made
  expect(operation(changed({ kind: "buy", operation: "R2", minutes: 600 }), "R2").modes).toHaveLength(2);
});

test("one more machine may do all that the other does", () => {
  const problem = changed({ kind: "extraMachine", like: "mill", id: "mill-b" });
  expect(machine(problem, "mill-b")).toMatchObject({ setup: machine(before, "mill").setup, closures: [] });
  for (const { id, modes } of before.operations)
    expect(operation(problem, id).modes.filter(({ machines }) => machines.includes("mill-b"))).toHaveLength(
      modes.filter(({ machines }) => machines.includes("mill")).length,
    );
});

const route = {
  id: "shaft",
  operations: [
    {
      id: "1",
      modes: [
        {
          id: "m",
          machines: ["mill"],
          phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 } }],
        },
      ],
    },
    {
      id: "2",
      modes: [{ id: "c", machines: ["chamber"], phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 } }] }],
    },
  ],
  links: [{ kind: "lag", id: "l", from: "1", to: "2", minLag: 30 }],
} as const;

test("so many orders a week, with ids, dates and links of their own", () => {
  const change = {
    kind: "newOrders",
    prefix: "C",
    route,
    perWeek: 2,
    quantity: 3,
    from: "2026-06-09",
    weeks: 2,
    leadDays: 3,
  } as unknown as ScenarioChangeInput;
  const problem = changed(change);
  const added = problem.orders.filter(({ id }) => !before.orders.some((order) => order.id === id));
  expect(added.map(({ id, release, due, quantity }) => [id, release, due, quantity])).toEqual([
    ["C-1-1", DAY, 5 * DAY, 3],
    ["C-1-2", DAY, 5 * DAY, 3],
    ["C-2-1", 8 * DAY, 12 * DAY, 3],
    ["C-2-2", 8 * DAY, 12 * DAY, 3],
  ]);
  expect(problem.links.filter(({ from }) => from.startsWith("C-")).map(({ from, to }) => [from, to])).toContainEqual([
    "C-2-1/10",
    "C-2-1/20",
  ]);
  // Twice the same contract: the second takes another prefix instead of writing over the first.
  expect(changed(change, change).orders).toHaveLength(before.orders.length + 8);
});

test("a change of something that is gone is said and left out; the others hold", () => {
  const { troubles, edits } = applyChanges(file, [
    scenarioChangeSchema.parse({ kind: "machineDown", machine: "lathe", start: 0, end: 60 }),
    scenarioChangeSchema.parse({ kind: "fewerPeople", crew: "rigs", start: 0, end: 60 }),
    scenarioChangeSchema.parse({ kind: "qualify", operation: "A1", mode: "laser", machine: "chamber" }),
  ]);
  expect(troubles.map(({ change, field }) => [change, field])).toEqual([
    [0, "machine"],
    [2, "mode"],
  ]);
  expect(edits.map(({ kind, id }) => [kind, id])).toEqual([["crews", "rigs"]]);
});

test("hours alone are compiled alone: the same shop as when all of it is compiled", () => {
  const [first] = file.orders;
  if (first === undefined) throw new Error("no orders");
  // an order as it is: nothing changes, but everything is compiled
  const same: ScenarioChangeInput = {
    kind: "edits",
    edits: [{ kind: "orders", id: first.id, after: first }],
  } as ScenarioChangeInput;
  const hours: ScenarioChangeInput[] = [
    ...file.machines.flatMap(({ id }): ScenarioChangeInput[] => [
      { kind: "machineDown", machine: id, start: "2026-06-10T07:00", end: "2026-06-10T10:00", reason: "belt" },
      {
        kind: "moreHours",
        crew: null,
        machines: [id],
        people: null,
        unsocial: true,
        when: { start: "2026-06-13T07:00", end: "2026-06-13T12:00" },
      },
    ]),
    ...file.crews.flatMap(({ id }): ScenarioChangeInput[] => [
      { kind: "fewerPeople", crew: id, start: "2026-06-10T07:00", end: "2026-06-10T10:00", people: null, reason: "ill" },
      {
        kind: "moreHours",
        crew: id,
        machines: [],
        people: null,
        unsocial: true,
        when: { start: "2026-06-13T07:00", end: "2026-06-13T12:00" },
      },
    ]),
  ];
  for (const change of hours) expect(changed(change)).toEqual(changed(change, same));
  expect(changed(...hours)).not.toEqual(before);
  expect(changed(...hours)).toEqual(changed(...hours, same));
});
