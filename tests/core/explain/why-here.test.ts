/**
 * Why here: by hand, and on random shops by the promise itself. Every binding is tried with a relaxation written anew here and
 * judged by the slow reference checker: with the named reasons gone the earlier place brings no new conflict; with any one of
 * them left it does.
 */
import { describe, expect, test } from "vitest";
import type { Reason } from "../../../src/core/explain/reason.ts";
import { whyHere } from "../../../src/core/explain/why-here.ts";
import { makePlan } from "../../../src/core/plan/make-plan.ts";
import type { Plan, PlannedLot } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { tinyProblem } from "../../arbitraries/tiny-problem.ts";
import { conflictKeys, referenceCheck } from "../../reference/checker.ts";
import { crew, kit, lag, operation, order, plan, put, run, shop, supply, unattended } from "../check/shop.ts";

const kinds = (problem: Problem, made: Plan, id: string): string[][] =>
  (whyHere(problem, made, id)?.bindings ?? []).map(({ reasons }) =>
    reasons.map(({ kind, resource, operations }) => [kind, resource, ...operations].join(" ")),
  );

describe("by hand: one crew, Monday's shift 420 to 900", () => {
  test("a predecessor and its cure", () => {
    const problem = shop({
      operations: [operation("x", { machines: ["m"] }), operation("y", { machines: ["n"] })],
      links: [lag("x", "y", 30)],
    });
    const made = plan(problem, put("x", [[420, 480]]), put("y", [[510, 570]]));
    expect(kinds(problem, made, "y")[0]).toEqual(["link x>y x"]);
    expect(whyHere(problem, made, "y")?.sentences[0]).toContain("30 min have to pass");
  });

  test("a busy machine; a busy person; a taken supply; a held kit", () => {
    const both = { crews: [crew("day", { people: 200 })] };
    const busy = shop({ ...both, operations: [operation("x"), operation("y")] });
    expect(kinds(busy, plan(busy, put("x", [[420, 480]]), put("y", [[480, 540]])), "y")).toContainEqual(["machineBusy m x"]);
    const person = shop({ operations: [operation("x"), operation("y", { machines: ["n"] })] });
    expect(kinds(person, plan(person, put("x", [[420, 480]]), put("y", [[480, 540]])), "y")).toContainEqual(["crewBusy day x"]);
    const drawing = (id: string, on: string) =>
      operation(id, { machines: [on], phases: [unattended(60, { draws: [{ supply: "dc", amount: 60 }] })] });
    const power = shop({ ...both, supplies: [supply("dc", 100)], operations: [drawing("x", "m"), drawing("y", "n")] });
    expect(kinds(power, plan(power, put("x", [[420, 480]]), put("y", [[480, 540]])), "y")).toContainEqual(["supplyTaken dc x"]);
    const fixed = (id: string, on: string) => operation(id, { machines: [on], kits: [{ kit: "f", count: 1 }] });
    const fixture = shop({ ...both, kits: [kit("f", 1)], operations: [fixed("x", "m"), fixed("y", "n")] });
    expect(kinds(fixture, plan(fixture, put("x", [[420, 480]]), put("y", [[480, 540]])), "y")).toContainEqual(["kitHeld f x"]);
  });

  test("the night; the release; now; a pin", () => {
    const night = shop({ operations: [operation("x")], orders: [order("o", { release: 850 })] });
    expect(kinds(night, plan(night, put("x", [[1860, 1920]])), "x")).toContainEqual(["crewAway day"]);
    expect(kinds(night, plan(night, put("x", [[1860, 1920]])), "x")).toContainEqual(["release "]);
    const atOnce = shop({ now: 430, operations: [operation("x")] });
    expect(kinds(atOnce, plan(atOnce, put("x", [[430, 490]])), "x")).toContainEqual(["now "]);
    const pinned = shop({ operations: [operation("x", { pin: { machines: null, start: 600 } })] });
    expect(kinds(pinned, plan(pinned, put("x", [[600, 660]])), "x")).toEqual([["pinned "]]);
  });

  test("two at once are named together, and what nothing forbids is a choice with its price", () => {
    const problem = shop({
      operations: [operation("x"), operation("z", { machines: ["n"] }), operation("y", { phases: [run(60)] })],
      crews: [crew("day", { people: 300 })],
      links: [lag("z", "y", 0)],
    });
    const made = plan(problem, put("x", [[420, 480]]), put("z", [[420, 480]]), put("y", [[480, 540]]));
    const together = whyHere(problem, made, "y")?.bindings[0]?.reasons.map(({ kind }) => kind);
    expect(together?.toSorted()).toEqual(["link", "machineBusy"]);
    const late = plan(problem, put("x", [[420, 480]]), put("z", [[420, 480]]), put("y", [[700, 760]]));
    const choice = whyHere(problem, late, "y")?.choice;
    expect(choice?.earlier).toBeGreaterThanOrEqual(480);
    expect(choice?.costMore).toBeLessThan(0);
  });
});

/** The relaxation of one reason, from its meaning, independent of the code under test. */
function without(
  problem: Problem,
  made: Plan,
  id: string,
  { kind, resource, operations }: Reason,
): { problem: Problem; plan: Plan } {
  const LEAD = -30_000;
  const edit = (change: Partial<Problem>) => ({ problem: { ...problem, ...change }, plan: made });
  const own = (change: (op: Problem["operations"][number]) => Problem["operations"][number]) =>
    edit({ operations: problem.operations.map((op) => (op.id === id ? change(op) : op)) });
  const flat = (value: readonly number[]) => ({ at: [LEAD, problem.horizon], value: [Math.max(...value), 0] });
  switch (kind) {
    case "now":
      return edit({ now: LEAD });
    case "release":
      return edit({ orders: problem.orders.map((entry) => ({ ...entry, release: LEAD })) });
    case "window":
      return own((op) => ({ ...op, window: { ...op.window, start: null } }));
    case "pinned":
      return own((op) => ({ ...op, pin: null }));
    case "link":
    case "transfer":
    case "useWithin":
    case "endsLater":
      return edit({ links: problem.links.filter((link) => link.id !== resource) });
    case "calibration":
      return edit({ operations: problem.operations.map((op) => ({ ...op, needsCalibrations: [] })) });
    case "runHours":
      return edit({ runHourRules: [] });
    case "phaseWait":
      return own((op) => ({
        ...op,
        modes: op.modes.map((m) => ({ ...m, phases: m.phases.map((p) => ({ ...p, maxWait: null })) })),
      }));
    case "machineClosed":
      return edit({
        machines: problem.machines.map((m) => (m.id === resource ? { ...m, open: [[LEAD, problem.horizon]] as const } : m)),
        calendars: problem.calendars.map((c) => (c.id === resource ? { ...c, open: [[LEAD, problem.horizon]] as const } : c)),
      });
    case "crewAway":
      return edit({
        crews: problem.crews.map((c) =>
          c.id === resource ? { ...c, present: [[LEAD, problem.horizon]] as const, headcount: flat(c.headcount.value) } : c,
        ),
      });
    case "supplyLow":
      return edit({ supplies: problem.supplies.map((s) => (s.id === resource ? { ...s, amount: flat(s.amount.value) } : s)) });
    case "unattended":
      return edit({
        machines: problem.machines.map((m) =>
          m.id === resource ? { ...m, unattended: { kind: "allowed", windows: null, maxMinutes: null } as const } : m,
        ),
      });
    case "nobodyToStart":
      return own((op) => ({ ...op, selfStart: true }));
    default:
      return {
        problem,
        plan: { operations: made.operations.filter((p) => !operations.includes(p.operation) || p.operation === id) },
      };
  }
}

const moved = (made: Plan, id: string, index: number, lot: PlannedLot): Plan => ({
  operations: made.operations.map((p) =>
    p.operation === id ? { ...p, lots: p.lots.map((old, i) => (i === index ? lot : old)).sort((a, b) => a.start - b.start) } : p,
  ),
});

/** Whether the place brings conflicts that the same shop without the move does not have. */
function addsConflicts(problem: Problem, made: Plan, id: string, index: number, lot: PlannedLot): boolean {
  const known = conflictKeys(referenceCheck(problem, made));
  return conflictKeys(referenceCheck(problem, moved(made, id, index, lot))).some((key) => {
    const at = known.indexOf(key);
    if (at >= 0) known.splice(at, 1);
    return at < 0;
  });
}

const SHOPS = 45;

test(`random shops: the named reasons, and only all of them, keep the lot from the earlier place (${SHOPS} shops)`, () => {
  const counts = { lots: 0, bindings: 0, choices: 0, silent: 0 };
  for (let seed = 1; seed <= SHOPS; seed++) {
    const problem = tinyProblem(seed);
    const { plan: made, conflicts } = makePlan(problem, { seed, iterations: 30 });
    if (conflicts.length > 0) continue;
    for (const { operation: id, lots } of made.operations) {
      lots.forEach((lot, index) => {
        const why = whyHere(problem, made, id, index);
        if (why === null) throw new Error(`seed ${seed}: nothing said about ${id}`);
        counts.lots++;
        if (why.choice !== null) {
          counts.choices++;
          expect(why.choice.earlier, `seed ${seed}, ${id}`).toBeLessThan(lot.start);
          expect(addsConflicts(problem, made, id, index, why.choice.lot), `seed ${seed}, ${id}: a choice`).toBe(false);
        }
        if (why.choice === null && why.bindings.length === 0) counts.silent++;
        for (const { reasons, earlier, lot: place } of why.bindings) {
          counts.bindings++;
          const label = `seed ${seed}, ${id}: ${reasons.map(({ kind, resource }) => `${kind} ${resource}`).join(", ")}`;
          expect(place.start, label).toBe(earlier);
          expect(earlier, label).toBeLessThan(lot.start);
          const gone = (list: readonly Reason[]) =>
            list.reduce((now, reason) => without(now.problem, now.plan, id, reason), { problem, plan: made });
          const all = gone(reasons);
          expect(addsConflicts(all.problem, all.plan, id, index, place), label).toBe(false);
          for (const reason of reasons) {
            const others = gone(reasons.filter((other) => other !== reason));
            expect(addsConflicts(others.problem, others.plan, id, index, place), `${label}, with ${reason.kind} left`).toBe(true);
          }
        }
      });
    }
  }
  expect(counts.lots).toBeGreaterThan(SHOPS);
  expect(counts.bindings, JSON.stringify(counts)).toBeGreaterThan(SHOPS);
  expect(counts.silent, JSON.stringify(counts)).toBeLessThan(0.05 * counts.lots);
});
