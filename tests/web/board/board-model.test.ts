/** The board as data: rows, bars and their stretches, published places, one list of conflicts, late orders, the strip, rows by time. */
import { describe, expect, test } from "vitest";
import { check } from "../../../src/core/check/checker.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { lookNameOf, pastSegments } from "../../../web/board/bar.ts";
import { boardModel, rangeOf, shopModel } from "../../../web/board/board-model.ts";
import { dayMarksOf, MARK_ROOM } from "../../../web/board/day-marks.ts";
import { daySharesOf } from "../../../web/board/day-shares.ts";
import { haveOf, needOf, shortages } from "../../../web/board/demand.ts";
import { hitTest } from "../../../web/board/hit-test.ts";
import { laneAtY, laneTops, packed } from "../../../web/board/lanes.ts";
import { firstBar, stepFrom, stepTrouble } from "../../../web/board/neighbours.ts";
import { nextFree } from "../../../web/board/next-free.ts";
import { applyEdit, editBetween } from "../../../web/board/plan-edit.ts";
import { search } from "../../../web/board/search.ts";
import { siteTime } from "../../../web/present/site-time.ts";
import { manyBars } from "../../bench/board/many-bars.ts";
import { clear, lag, machine, operation, order, plan, prepare, put, run, shop, unattended } from "../../core/check/shop.ts";

const modelOf = (problem: Problem, draft: Plan) =>
  boardModel(shopModel(problem, siteTime(problem.zone, problem.origin, problem.now)), draft, check(problem, draft));

const overnight = operation("w", { order: "1001", machines: ["wire"], phases: [prepare(60), unattended(600), clear(30)] });
const milled = operation("m", { order: "1001", machines: ["mill"], phases: [run(120, { flow: "pausable" })] });
const rig = operation("r", { order: "1002", machines: ["dyno"], phases: [run(60)] });
const base = shop({
  machines: [
    machine("mill", { group: "Milling" }),
    machine("dyno", { group: "Rigs", kind: "rig" }),
    machine("wire", { group: "Milling" }),
  ],
  operations: [overnight, milled, rig],
  orders: [order("1001", { due: 1000, name: "Valve" }), order("1002", { kind: "prototype", name: "Hub" })],
  links: [lag("w", "m", 0)],
});
const draft = plan(
  base,
  put("w", [
    [810, 870],
    [870, 1470],
    [1860, 1890],
  ]),
  put("m", [[[1890, 2010]]]),
  put("r", [[420, 480]]),
);
const model = modelOf(base, draft);
const barOf = (id: string) => model.bars.find((bar) => bar.operation.id === id)!;

describe("rows", () => {
  test("machines stand under their group in the shop's order, rigs keep theirs", () => {
    expect(
      model.lanes.list.map((lane) =>
        lane.kind === "group" ? `# ${lane.name}` : lane.kind === "machine" ? lane.machine.id : "bench",
      ),
    ).toEqual(["# Milling", "mill", "wire", "# Rigs", "dyno"]);
    const tops = laneTops(model.lanes, "normal");
    expect(tops).toEqual([0, 21, 54, 87, 108, 141]);
    expect([0, 20, 21, 107, 140, 141, -1].map((y) => laneAtY(tops, y))).toEqual([0, 0, 1, 3, 4, null, null]);
  });

  test("work without a machine is packed into as few rows as overlap", () => {
    const { slots, rows } = packed([
      { start: 0, end: 10 },
      { start: 5, end: 15 },
      { start: 10, end: 20 },
      { start: 15, end: 16 },
    ]);
    expect([rows, slots]).toEqual([2, [0, 1, 0, 1]]);
  });
});

describe("bars", () => {
  test("height is people: setup and unload tall, the run alone low, the wait in between low and hollow", () => {
    const { segments } = barOf("w");
    expect(segments.map(({ look, tall, start, end }) => [look, tall, start, end])).toEqual([
      ["setup", true, 810, 870],
      ["run", false, 870, 1470],
      ["waits", false, 1470, 1860],
      ["unload", true, 1860, 1890],
    ]);
    expect(segments.map((_, index) => lookNameOf(segments, index))).toEqual(["setup", "unattended", "waitsForUnload", "unload"]);
  });

  test("a rest inside a phase is a pause; stretches cover the bar without a gap", () => {
    const paused = modelOf(
      base,
      plan(
        base,
        put("m", [
          [
            [800, 900],
            [1860, 1880],
          ],
        ]),
      ),
    );
    const { segments } = paused.bars.find(({ operation: { id } }) => id === "m")!;
    expect(segments.map(({ look }) => look)).toEqual(["run", "paused", "run"]);
    for (const bar of [...paused.bars, ...model.bars]) {
      expect(bar.segments.map(({ start }) => start)).toEqual([bar.start, ...bar.segments.slice(0, -1).map(({ end }) => end)]);
      expect(bar.segments.at(-1)?.end).toBe(bar.end);
    }
  });

  test("of work begun before the published plan nothing is claimed: not a wait, and tall only where people were", () => {
    const mode = milled.modes[0]!;
    const published = plan(base, put("m", [[900, 1020]])).operations[0]?.lots[0];
    const onSite = [[420, 600] as const, [840, 1200] as const];
    const stretches = pastSegments(mode, 480, 960, { ...published!, start: 480 }, onSite);
    expect(stretches.map(({ look, tall, start, end }) => [look, tall, start, end])).toEqual([
      ["past", true, 480, 600],
      ["past", false, 600, 840],
      ["past", true, 840, 900],
      ["run", true, 900, 960],
    ]);
  });

  test("running work joins what happened with what is planned, done work takes its inside from the published plan", () => {
    const running = shop({
      ...base,
      now: 1000,
      published: draft,
      operations: [
        {
          ...overnight,
          progress: {
            done: [],
            running: [{ mode: "a", pieces: 1, start: 810, phase: 1, crews: [], remaining: 470, working: true }],
          },
        },
        milled,
        { ...rig, progress: { done: [{ mode: "a", pieces: 1, start: 420, end: 470 }], running: [] } },
      ],
    });
    const now = modelOf(
      running,
      plan(
        running,
        put(
          "w",
          [
            [1000, 1470],
            [1860, 1890],
          ],
          { from: 1, start: 810 },
        ),
        put("m", [[[1890, 2010]]]),
      ),
    );
    const bar = now.bars.find(({ operation: { id } }) => id === "w")!;
    expect([bar.state, bar.segments.map(({ look, start, end }) => [look, start, end])]).toEqual([
      "running",
      [
        ["setup", 810, 870],
        ["run", 870, 1470],
        ["waits", 1470, 1860],
        ["unload", 1860, 1890],
      ],
    ]);
    const done = now.bars.find(({ operation: { id } }) => id === "r")!;
    expect([done.state, done.segments]).toEqual(["done", [{ look: "run", tall: true, start: 420, end: 470 }]]);
  });

  test("colours follow the kind of row, rush the kind of order", () => {
    expect([barOf("w").trade, barOf("r").trade, barOf("r").rush, barOf("w").rush]).toEqual(["machine", "rig", true, false]);
  });
});

describe("what changed and what is wrong", () => {
  test("published places are drawn only where they differ, and counted once an operation", () => {
    const published = shop({ ...base, published: draft });
    const same = modelOf(published, draft);
    expect([same.moved, same.phantomsOnLane.flat()]).toEqual([0, []]);
    const moved = modelOf(
      published,
      plan(
        published,
        put("w", [
          [810, 870],
          [870, 1470],
          [1860, 1890],
        ]),
        put("m", [[[1900, 2020]]]),
      ),
    );
    expect(moved.moved).toBe(2);
    expect(moved.phantomsOnLane.flat().map(({ operation: { id }, start }) => [id, start])).toEqual([
      ["m", 1890],
      ["r", 420],
    ]);
  });

  test("counter, balloons, list and strip come from one list", () => {
    const clash = modelOf(
      base,
      plan(
        base,
        put("w", [
          [420, 480],
          [480, 1080],
          [1860, 1890],
        ]),
        put("m", [[[1890, 2010]]]),
        put("r", [[420, 480]]),
      ),
    );
    const short = clash.conflicts.placed.find(({ conflict }) => conflict.kind === "crewShort");
    expect(short).toBeDefined();
    expect(clash.conflicts.count).toBe(clash.check.conflicts.length);
    const marked = clash.bars.filter((bar) => bar.conflicts.includes(short!.number - 1)).map(({ operation: { id } }) => id);
    expect(marked.sort()).toEqual(["r", "w"]);
    expect(shortages(clash, { kind: "hands" }).map(({ number }) => number)).toContain(short!.number);
    expect(shortages(clash, { kind: "supply", id: "x" })).toEqual([]);
  });

  test("work that nobody planned is listed apart, numbered on", () => {
    const missing = modelOf(base, plan(base, put("r", [[420, 480]])));
    expect(missing.conflicts.unplanned.map(({ conflict }) => conflict.operations[0])).toEqual(["m", "w"]);
    expect(missing.conflicts.unplanned[0]?.number).toBe(missing.conflicts.placed.length + 1);
  });

  test("an order is late by its last end, shown on the bar that ends it", () => {
    expect(model.late.map(({ order: { id }, late, last }) => [id, late, last])).toEqual([["1001", 1010, "m"]]);
    expect([barOf("m").late, barOf("w").late]).toEqual([1010, 0]);
  });

  test("need and head count of the strip, minute by minute", () => {
    expect(needOf(model, { kind: "hands" })).toEqual({ at: [420, 480, 810, 870, 1860, 2010], value: [100, 0, 100, 0, 100, 0] });
    expect(needOf(model, { kind: "crew", id: "nobody" }).at).toEqual([]);
    expect(haveOf(model, { kind: "crew", id: "day" })).toEqual(base.crews[0]!.headcount);
  });
});

describe("finding one's way", () => {
  const tops = laneTops(model.lanes, "normal");
  const camera = { left: 400, scale: 0.5, top: 0 };

  test("a point finds its bar, ground finds none, a short bar has a target of 24 pixels", () => {
    expect(hitTest(model, tops, camera, (900 - 400) * 0.5, 60).bar?.operation.id).toBe("w");
    expect(hitTest(model, tops, camera, (1600 - 400) * 0.5 + 2000, 60).bar).toBeNull();
    const far = { left: 0, scale: 0.05, top: 0 };
    expect(hitTest(model, tops, far, 450 * 0.05 + 10, 110).bar?.operation.id).toBe("r");
    expect(hitTest(model, tops, far, 450 * 0.05 + 14, 110).bar).toBeNull();
  });

  test("the range of a row holds exactly the bars that touch a stretch, long ones included", () => {
    const wire = model.onLane[model.lanes.ofMachine.get("wire")!]!;
    const held = (start: number, end: number) => {
      const [from, until] = rangeOf(wire, start, end);
      return wire.bars.slice(from, until).map(({ operation: { id } }) => id);
    };
    expect([held(1500, 1501), held(1890, 2000), held(0, 810), held(0, 811)]).toEqual([["w"], [], [], ["w"]]);
  });

  test("keys step along rows, between rows by time, along an order, and round the troubles", () => {
    expect(firstBar(model, 0)?.operation.id).toBe("m");
    expect(stepFrom(model, barOf("m"), "down", camera, 900)?.operation.id).toBe("w");
    expect(stepFrom(model, barOf("w"), "down", camera, 900)?.operation.id).toBe("r");
    expect(stepFrom(model, barOf("m"), "up", camera, 900)).toBeNull();
    expect(stepFrom(model, barOf("w"), "nextOfOrder", camera, 900)?.operation.id).toBe("m");
    expect(stepTrouble(model, null, "late", false)?.operation.id).toBe("m");
    expect(stepTrouble(model, barOf("r"), "rush", true)?.operation.id).toBe("r");
  });

  test("next free is the first open minute on which nothing stands", () => {
    expect(nextFree(model, "wire", 900)).toBe(1890);
    expect(nextFree(model, "dyno", 0)).toBe(0);
  });

  test("find looks through orders, operations and machines", () => {
    expect(search(model, "valve").map(({ id }) => id)).toEqual(["m", "w"]);
    expect(search(model, "machine dyno")[0]).toMatchObject({ kind: "machine", id: "dyno" });
    expect(search(model, "  ")).toEqual([]);
  });

  test("the farthest zoom adds up the minutes of each day", () => {
    const shares = [...daySharesOf(model, model.lanes.ofMachine.get("wire")!).values()];
    const sum = (pick: (share: (typeof shares)[number]) => number) => shares.reduce((total, share) => total + pick(share), 0);
    expect([sum((share) => share.attended), sum((share) => share.unattended), sum((share) => share.waiting)]).toEqual([
      90, 600, 390,
    ]);
    expect(shares).toHaveLength(2);
  });
});

describe("edits", () => {
  test("far out, marks of days keep clear of each other at any zoom, and none is lost", () => {
    const many = manyBars(600);
    const crowded = modelOf(many.problem, many.plan);
    for (const pixelsAnHour of [0.2, 0.5, 0.95]) {
      const scale = pixelsAnHour / 60;
      let [conflicts, late, joined] = [0, 0, 0];
      for (const lane of crowded.lanes.rows) {
        const marks = dayMarksOf(crowded, lane, scale);
        marks.slice(1).forEach(({ minute }, i) => {
          expect((minute - marks[i]!.minute) * scale).toBeGreaterThan(MARK_ROOM);
        });
        for (const mark of marks) [conflicts, late] = [conflicts + mark.conflicts, late + mark.late];
        joined += marks.length;
      }
      expect(conflicts).toBe(crowded.bars.reduce((sum, bar) => sum + bar.conflicts.length, 0));
      expect(late).toBe(crowded.late.length);
      expect(joined).toBeLessThan(conflicts + late);
      expect(Math.min(conflicts, late)).toBeGreaterThan(0);
    }
  });

  test("an edit turns one plan into the other and touches nothing else", () => {
    const other = plan(
      base,
      put("w", [
        [810, 870],
        [870, 1470],
        [1860, 1890],
      ]),
      put("m", [[[1950, 2070]]]),
    );
    const edit = editBetween(draft, other, "moved");
    expect(edit.changes.map(({ operation: id, planned }) => [id, planned === null])).toEqual([
      ["m", false],
      ["r", true],
    ]);
    expect(applyEdit(draft, edit)).toEqual(other);
    const newer = plan(
      base,
      put("w", [
        [420, 480],
        [480, 1080],
        [1860, 1890],
      ]),
      put("m", [[[1890, 2010]]]),
      put("r", [[500, 560]]),
    );
    const laid = applyEdit(newer, edit);
    expect(laid.operations.find(({ operation: id }) => id === "w")).toEqual(newer.operations[0]);
    expect(laid.operations.some(({ operation: id }) => id === "r")).toBe(false);
  });
});
