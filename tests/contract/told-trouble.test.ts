/**
 * The law of troubles: the shop's file with the edits of a trouble compiles to the very problem that the trouble makes of the
 * compiled file - of the demo shop, for every kind. Moments are read as in every file; what contradicts the shop is refused at its field.
 */
import { expect, test } from "vitest";
import { demoShop } from "../../seed/demo-shop.ts";
import type { ToldTrouble } from "../../src/contract/api/questions/trouble.ts";
import { applyEditsToFile } from "../../src/contract/apply-edits.ts";
import { compileProblem } from "../../src/contract/file/compile-problem.ts";
import { type ProblemFile, problemFileSchema } from "../../src/contract/problem-file.ts";
import { tellTrouble } from "../../src/contract/told-trouble.ts";
import type { Problem } from "../../src/core/problem/problem.ts";

const file: ProblemFile = problemFileSchema.parse(demoShop("2026-06-10T07:00:00Z", { iterations: 60 }));
const compiled = (of: ProblemFile): Problem => {
  const { problem, faults } = compileProblem(of);
  if (!problem) throw new Error(JSON.stringify(faults));
  return problem;
};
const problem = compiled(file);
const [machine] = problem.machines;
const [crew] = problem.crews;
const linked = problem.links.find(({ kind }) => kind === "lag");
const lostAt = problem.operations.find(({ id }) => id === linked?.from);
const order = problem.orders.find(({ id }) => id === lostAt?.order);
const running = problem.operations.find(({ progress }) => progress.running.length === 1);
if (!machine || !crew || !lostAt || !order || !running) throw new Error("the demo shop lacks what this test is about");
const plain = problem.orders.find(({ id }) =>
  problem.operations.every((o) => o.order !== id || (o.progress.done.length === 0 && o.progress.running.length === 0)),
);
const { now } = problem;

const TOLD: readonly ToldTrouble[] = [
  { kind: "machineStopped", machine: machine.id, from: now + 30, until: now + 3_000, reason: "Spindle" },
  { kind: "machineStopped", machine: machine.id, until: null, reason: "" },
  { kind: "personAbsent", crew: crew.id, until: now + 2_000, people: null, reason: "Ill" },
  { kind: "personAbsent", crew: crew.id, from: now + 100, until: now + 2_000, people: 50, reason: "" },
  { kind: "materialLate", order: order.id, release: now + 5_000 },
  { kind: "dateChanged", order: order.id, due: now + 4_000 },
  { kind: "dateChanged", order: order.id, due: null, deadline: now + 9_000 },
  { kind: "quantityChanged", order: plain?.id ?? "", quantity: (plain?.quantity ?? 0) + 3 },
  { kind: "piecesScrapped", lostAt: lostAt.id, from: null, pieces: 1 },
  { kind: "runStopped", operation: running.id, remaining: 77 },
];

test.each(TOLD.map((told, i) => [`${i} ${told.kind}`, told] as const))("%s", (_, told) => {
  const result = tellTrouble(file, problem, told);
  if (!result.ok) throw new Error(`${result.error.at}: ${result.error.message}`);
  const edited = compiled(applyEditsToFile(file, result.value.edits as never));
  const expected = result.value.problem;
  const sorted = (of: Problem) => ({
    ...of,
    orders: [...of.orders].sort((a, b) => (a.id < b.id ? -1 : 1)),
    operations: [...of.operations].sort((a, b) => (a.id < b.id ? -1 : 1)),
    links: [...of.links].sort((a, b) => (a.id < b.id ? -1 : 1)),
    kitSpans: [...of.kitSpans].sort((a, b) => (a.id < b.id ? -1 : 1)),
  });
  // a scrap's edit writes what it repeats into the file; a run reported as stopped changes progress alone
  expect(sorted(edited)).toEqual(sorted(expected));
  expect(edited).not.toEqual(problem);
});

test("a machine that runs again: a stop of unknown end becomes one that ends there, and none if it never stood", () => {
  const stopped = (until: number | null) => {
    const told = tellTrouble(file, problem, { kind: "machineStopped", machine: machine.id, from: now, until, reason: "Spindle" });
    if (!told.ok) throw new Error(told.error.message);
    return told.value;
  };
  const open = stopped(null);
  const edited = applyEditsToFile(file, open.edits as never) as ProblemFile;
  for (const from of [now + 600, now]) {
    const told = tellTrouble(edited, open.problem, { kind: "machineRuns", machine: machine.id, from });
    if (!told.ok) throw new Error(told.error.message);
    expect(told.value.problem).toEqual(from === now ? problem : stopped(from).problem);
    expect(compiled(applyEditsToFile(edited, told.value.edits as never))).toEqual(told.value.problem);
  }
});

test("moments are read as in a file: a date is its end, a wall time is the site's", () => {
  const told = tellTrouble(file, problem, { kind: "dateChanged", order: order.id, due: "2026-06-12" });
  const again = tellTrouble(file, problem, { kind: "dateChanged", order: order.id, due: "2026-06-13T00:00" });
  if (!told.ok || !again.ok) throw new Error("refused");
  const due = (of: Problem) => of.orders.find(({ id }) => id === order.id)?.due;
  expect(due(told.value.problem)).toBe(due(again.value.problem));
});

test.each([
  ["machine", { kind: "machineStopped", machine: "none", until: null, reason: "" }],
  ["until", { kind: "machineStopped", machine: machine.id, from: 100, until: 100, reason: "" }],
  ["machine", { kind: "machineRuns", machine: "none" }],
  ["machine", { kind: "machineRuns", machine: machine.id, from: now }],
  ["until", { kind: "personAbsent", crew: crew.id, from: 0, until: "2026-02-30", people: null, reason: "" }],
  ["order", { kind: "materialLate", order: "none", release: 0 }],
  ["pieces", { kind: "piecesScrapped", lostAt: lostAt.id, from: null, pieces: order.quantity + 1 }],
  [
    "operation",
    {
      kind: "runStopped",
      operation: plain ? (problem.operations.find((o) => o.order === plain.id)?.id ?? "") : "",
      remaining: 5,
    },
  ],
] as const)("what cannot be is refused at %s", (at, told) => {
  expect(tellTrouble(file, problem, told as ToldTrouble)).toMatchObject({ ok: false, error: { at } });
});
