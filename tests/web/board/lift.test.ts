/** A bar in the hand: where it may go, where it really lands, what the checker says of the place in the same frame. */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import { createMover } from "../../../src/core/plan/move.ts";
import { boardModel, shopModel } from "../../../web/board/board-model.ts";
import { newConflicts } from "../../../web/board/conflict-list.ts";
import { canBeLifted, isAtHome, lifter, modeForLane, realStart } from "../../../web/board/lift.ts";
import { barsBetween, linkRoute } from "../../../web/board/link-route.ts";
import { neighbourhood, restricted, restrictedPlan } from "../../../web/board/row-problem.ts";
import { siteTime } from "../../../web/present/site-time.ts";
import { lag, machine, mode, operation, plan, put, run, shop, weekdays } from "../../core/check/shop.ts";

const first = operation("a1", { order: "a", machines: ["saw"], phases: [run(60)] });
const second = operation("a2", { order: "a", modes: [mode("m1", ["mill"], [run(60)]), mode("m2", ["router"], [run(60)])] });
const other = operation("b1", { order: "b", machines: ["mill"], phases: [run(60)] });
const elsewhere = Array.from({ length: 80 }, (_, i) =>
  operation(`x${i}`, { order: "x", machines: ["far"], phases: [run(5, { needs: 0 })] }),
);
const problem = shop({
  machines: [machine("saw"), machine("mill"), machine("router", { open: weekdays(600, 900) }), machine("far")],
  operations: [first, second, other, ...elsewhere],
  links: [lag("a1", "a2", 0)],
});
const draft = plan(
  problem,
  put("a1", [[420, 480]]),
  put("a2", [[480, 540]], { mode: "m1" }),
  put("b1", [[560, 620]]),
  ...elsewhere.map(({ id }, i) => put(id, [[420 + i * 5, 425 + i * 5]])),
);
const model = boardModel(shopModel(problem, siteTime("UTC", problem.origin, 0)), draft, check(problem, draft));
const bar = model.bars.find(({ operation: { id } }) => id === "a2")!;
const hand = lifter(model, createMover(problem), bar, false, 10);
const kinds = (lift: ReturnType<typeof hand.carried>) => lift.verdict.conflicts.map(({ kind }) => kind).sort();

describe("lifting", () => {
  test("begun work stays where it is", () => {
    expect(canBeLifted(bar)).toBe(true);
    expect(canBeLifted({ ...bar, state: "running" })).toBe(false);
  });

  test("back where it came from it is at home, whatever happened in between", () => {
    const away = hand.carried(hand.first, bar.mode, 700);
    expect(isAtHome(away)).toBe(false);
    expect(isAtHome(hand.carried(away, bar.mode, 480))).toBe(true);
  });

  test("a free place has no new conflict; the verdict of the frame knows machine and links only", () => {
    const lift = hand.carried(hand.first, bar.mode, 700);
    expect([realStart(lift), lift.verdict]).toEqual([700, { conflicts: [], wholeShop: false }]);
  });

  test("on other work, before its link, on a closed machine: each is said and kept", () => {
    expect(kinds(hand.carried(hand.first, bar.mode, 580))).toContain("machineDoubleUse");
    expect(kinds(hand.carried(hand.first, bar.mode, 450))).toContain("lagShort");
    const closed = hand.carried(hand.first, second.modes[1]!, 480);
    expect(kinds(closed)).toEqual(["machineClosed"]);
    expect(closed.bars.flatMap(({ guilty }) => guilty).length).toBeGreaterThan(0);
    expect(closed.verdict.conflicts[0]?.sentence).toMatch(/Machine router/);
  });

  test("a little before a shift it starts with the shift; in the middle of the night it stays under the hand", () => {
    const shifted = hand.carried(hand.first, bar.mode, 1860 - 20);
    expect([realStart(shifted), kinds(shifted)]).toEqual([1860, []]);
    const night = hand.carried(hand.first, bar.mode, 1200);
    expect([realStart(night), kinds(night)]).toEqual([1200, ["nobodyThere"]]);
  });

  test("what the small problem finds, the whole shop finds too", () => {
    for (const start of [450, 500, 580, 700, 880]) {
      const lift = hand.carried(hand.first, bar.mode, start);
      const whole = newConflicts(model.check.conflicts, check(problem, lift.plan).conflicts).map(
        ({ kind, operations }) => `${kind} ${operations.join()}`,
      );
      for (const { kind, operations } of lift.verdict.conflicts.filter(({ kind }) => kind !== "crewShort"))
        expect(whole).toContain(`${kind} ${operations.join()}`);
    }
  });

  test("a lane takes the mode that stands on it, the current one while it can", () => {
    const lane = (id: string) => model.lanes.ofMachine.get(id)!;
    expect(modeForLane(model, second, bar.mode, lane("mill"), new Map())?.id).toBe("m1");
    expect(modeForLane(model, second, bar.mode, lane("router"), new Map())?.id).toBe("m2");
    expect(modeForLane(model, second, bar.mode, lane("saw"), new Map())).toBeNull();
    expect([...hand.first.can].sort()).toEqual([lane("mill"), lane("router")].sort());
  });

  test("the neighbourhood holds its machines and its links and leaves the rest of the shop out", () => {
    const near = neighbourhood(problem, draft, "a2");
    expect([...near].sort()).toEqual(["a1", "a2", "b1"]);
    expect(check(restricted(problem, near), restrictedPlan(draft, near)).conflicts).toEqual([]);
  });
});

describe("links", () => {
  const boundary = (lane: number, side: "above" | "below") => lane * 30 + (side === "below" ? 30 : 0);
  const ends = { from: { x: 100, y: 15, lane: 0 }, to: { x: 300, y: 105, lane: 3 } };
  test("run along row boundaries and take the leg that crosses fewer bars", () => {
    const early = linkRoute(ends, boundary, (x) => (x < 200 ? 0 : 2));
    expect(early).toEqual([
      [100, 15],
      [108, 15],
      [108, 90],
      [292, 90],
      [292, 105],
      [300, 105],
    ]);
    const late = linkRoute(ends, boundary, (x) => (x < 200 ? 2 : 0));
    expect(late[2]).toEqual([108, 30]);
    expect(late[3]).toEqual([292, 30]);
  });
  test("bars between two rows are counted at a minute", () => {
    const lane = (id: string) => model.lanes.ofMachine.get(id)!;
    expect(barsBetween(model, 500, lane("saw"), lane("router"))).toBe(1);
    expect(barsBetween(model, 550, lane("saw"), lane("router"))).toBe(0);
  });
});
