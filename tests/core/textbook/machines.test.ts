/**
 * Worked cases of the scheduling literature on one or several machines, through the real engine; the answer is the optimum.
 * Sources beside each; answers marked E there were recomputed by enumeration, X proven by an exact solver.
 */
import { describe, expect, test } from "vitest";
import { type OrderInput, plan, run, shop } from "./shop.ts";

/** One job per entry on one machine "m". */
const single = (p: readonly number[], more: (i: number) => Partial<OrderInput> = () => ({})): OrderInput[] =>
  p.map((minutes, i) => ({ id: `J${i + 1}`, ...more(i), operations: [run(`J${i + 1}`, "m", minutes)] }));
const flow = (rows: readonly (readonly number[])[]): OrderInput[] =>
  rows.map((row, i) => ({ id: `J${i + 1}`, operations: row.map((minutes, k) => run(`J${i + 1}/${k}`, `m${k}`, minutes)) }));

describe("flow and job shops, makespan", () => {
  test("[S1] two machines, Johnson 1954 (data from memory): 47", () => {
    const orders = flow([4, 4, 30, 6, 2].map((a, i) => [a, [5, 1, 4, 30, 3][i] as number]));
    expect(plan(shop({ machines: ["m0", "m1"], orders, cost: "makespan", horizon: 200 })).cost.total).toBe(47);
  });
  test("[S2] two machines, own data, enumerated: 24", () => {
    const orders = flow([3, 5, 1, 6, 7].map((a, i) => [a, [6, 2, 2, 6, 5][i] as number]));
    expect(plan(shop({ machines: ["m0", "m1"], orders, cost: "makespan", horizon: 200 })).cost.total).toBe(24);
  });
  test("[S3] two-machine job shop after Jackson 1956, own data, enumerated: 22", () => {
    const ab = (id: string, a: number, b: number): OrderInput => ({
      id,
      operations: [run(`${id}a`, "A", a), run(`${id}b`, "B", b)],
    });
    const orders: OrderInput[] = [
      ab("1", 4, 6),
      ab("2", 5, 2),
      ab("3", 3, 3),
      { id: "4", operations: [run("4b", "B", 2), run("4a", "A", 5)] },
      { id: "5", operations: [run("5b", "B", 6), run("5a", "A", 1)] },
      { id: "6", operations: [run("6a", "A", 2)] },
      { id: "7", operations: [run("7b", "B", 3)] },
    ];
    expect(plan(shop({ machines: ["A", "B"], orders, cost: "makespan", horizon: 200 })).cost.total).toBe(22);
  });
  test("[S16] FT06, Fisher and Thompson in Muth and Thompson 1963: 55, proven", () => {
    const rows = [
      "2 1 0 3 1 6 3 7 5 3 4 6",
      "1 8 2 5 4 10 5 10 0 10 3 4",
      "2 5 3 4 5 8 0 9 1 1 4 7",
      "1 5 0 5 2 5 3 3 4 8 5 9",
      "2 9 1 3 4 5 5 4 0 3 3 1",
      "1 3 3 3 5 9 0 10 4 4 2 1",
    ];
    const orders = rows.map((row, i): OrderInput => {
      const numbers = row.split(" ").map(Number);
      return {
        id: `J${i}`,
        operations: Array.from({ length: 6 }, (_, k) => run(`J${i}/${k}`, `m${numbers[2 * k]}`, numbers[2 * k + 1])),
      };
    });
    const outcome = plan(
      shop({ machines: ["m0", "m1", "m2", "m3", "m4", "m5"], orders, cost: "makespan", horizon: 400 }),
      20_000,
    );
    expect(outcome.cost.total).toBe(55);
    expect(outcome.bound.kind === "within" ? outcome.bound.lowerBound : 55).toBeLessThanOrEqual(55);
  });
  test("[S17] flexible 4x5, Kacem, Hammadi, Borne 2002: 11, the shortest path of job 2", () => {
    const table = [
      "2 5 4 1 2;5 4 5 7 5;4 5 5 4 5",
      "2 5 4 7 8;5 6 9 8 5;4 5 4 54 5",
      "9 8 6 7 9;6 1 2 5 4;2 5 4 2 4;4 5 2 1 5",
      "1 5 2 4 12;5 1 2 1 2",
    ];
    const orders = table.map(
      (job, i): OrderInput => ({
        id: `J${i}`,
        operations: job
          .split(";")
          .map((row, k) => run(`J${i}/${k}`, Object.fromEntries(row.split(" ").map((t, m) => [`m${m}`, Number(t)])))),
      }),
    );
    expect(plan(shop({ machines: ["m0", "m1", "m2", "m3", "m4"], orders, cost: "makespan", horizon: 400 })).cost.total).toBe(11);
  });
  test("[S18] flexible toy, own, enumerated: 10", () => {
    const orders: OrderInput[] = [
      { id: "J1", operations: [run("J1a", { M3: 4, M5: 3 }), run("J1b", "W", 6)] },
      { id: "J2", operations: [run("J2a", { M3: 3, M5: 3 }), run("J2b", "M5", 2)] },
      { id: "J3", operations: [run("J3a", "M5", 5), run("J3b", { M3: 2, M5: 1 })] },
    ];
    expect(plan(shop({ machines: ["M3", "M5", "W"], orders, cost: "makespan", horizon: 200 })).cost.total).toBe(10);
  });
});

describe("one machine", () => {
  test("[S4] weighted completion times, Smith 1956, own data, enumerated: 291; unweighted 63", () => {
    const p = [10, 6, 5, 4, 2];
    const weights = [5, 10, 5, 1, 3];
    expect(
      plan(shop({ machines: ["m"], orders: single(p, (i) => ({ weight: weights[i] })), cost: "flow", horizon: 200 })).cost.total,
    ).toBe(291);
    expect(plan(shop({ machines: ["m"], orders: single(p), cost: "flow", horizon: 200 })).cost.total).toBe(63);
  });
  test("[S5] number of late jobs, Moore and Hodgson 1968 (textbook set, from memory): 2", () => {
    const due = [9, 17, 18, 19, 21];
    expect(
      plan(shop({ machines: ["m"], orders: single([7, 8, 4, 6, 6], (i) => ({ due: due[i] })), cost: "lateOrders", horizon: 200 }))
        .cost.total,
    ).toBe(2);
  });
  test("[S6] number of late jobs, ten jobs of a published exercise: 2", () => {
    const due = [48, 75, 170, 215, 205, 240, 85, 67, 100, 95];
    const orders = single([19, 23, 5, 31, 17, 8, 32, 41, 26, 18], (i) => ({ due: due[i] }));
    expect(plan(shop({ machines: ["m"], orders, cost: "lateOrders", horizon: 500 }), 10_000).cost.total).toBe(2);
  });
  test("[S7] largest lateness by due date, Jackson 1955, data of S5: 10; least total tardiness of the same set: 16", () => {
    const due = [9, 17, 18, 19, 21];
    const orders = single([7, 8, 4, 6, 6], (i) => ({ due: due[i] }));
    expect(plan(shop({ machines: ["m"], orders, cost: "maxLateness", horizon: 200 })).cost.total).toBe(10);
    expect(plan(shop({ machines: ["m"], orders, cost: "tardiness", horizon: 200 })).cost.total).toBe(16);
  });
  test("[S8] releases and largest lateness, lecture notes after Pinedo chapter 3: 5", () => {
    const r = [0, 1, 3, 5];
    const due = [8, 12, 11, 10];
    const orders = single([4, 2, 6, 5], (i) => ({ release: r[i], due: due[i] }));
    expect(plan(shop({ machines: ["m"], orders, cost: "maxLateness", horizon: 200 })).cost.total).toBe(5);
  });
  test("[S9] precedence and largest lateness, Lawler 1973, own data: 2", () => {
    const due = [5, 3, 9, 8];
    const links = [
      ["1", "2"],
      ["1", "3"],
      ["3", "4"],
    ].map(([a, b]) => ({ kind: "lag" as const, id: `${a}${b}`, from: `J${a}`, to: `J${b}` }));
    const orders = single([2, 3, 1, 4], (i) => ({ due: due[i] }));
    expect(plan(shop({ machines: ["m"], orders, links, cost: "maxLateness", horizon: 200 })).cost.total).toBe(2);
  });
  test("[S10] heads and tails, Carlier 1982 (7 jobs, from memory): 50; tails are operations without a machine", () => {
    const r = [10, 13, 11, 20, 30, 0, 30];
    const p = [5, 6, 7, 4, 3, 6, 2];
    const q = [7, 26, 24, 21, 8, 17, 0];
    const orders = p.map(
      (minutes, i): OrderInput => ({
        id: `J${i + 1}`,
        release: r[i],
        operations: [
          run(`J${i + 1}`, "m", minutes),
          {
            id: `J${i + 1}q`,
            modes: [{ id: "tail", phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: q[i] as number } }] }],
          },
        ],
      }),
    );
    expect(plan(shop({ machines: ["m"], orders, cost: "makespan", horizon: 300 }), 10_000).cost.total).toBe(50);
  });
  test("[S11] total tardiness, textbook set (from memory), enumerated: 370", () => {
    const due = [260, 266, 266, 336, 337];
    const orders = single([121, 79, 147, 83, 130], (i) => ({ due: due[i] }));
    expect(plan(shop({ machines: ["m"], orders, cost: "tardiness", horizon: 900 })).cost.total).toBe(370);
  });
  test("[S12] weighted tardiness, data of the ATC example (Vepsalainen and Morton 1987), enumerated: 55", () => {
    const due = [16, 26, 25, 27];
    const weights = [4, 1, 5, 3];
    const orders = single([12, 8, 15, 9], (i) => ({ due: due[i], weight: weights[i] }));
    expect(plan(shop({ machines: ["m"], orders, cost: "tardiness", horizon: 300 })).cost.total).toBe(55);
  });
  test("[S21] a closed window [10, 13), Lee 1996, own data: solid 21 and 51, pausable 21 and 46", () => {
    const machine = { id: "m", closures: [{ start: 10, end: 13 }] };
    const orders = (flowKind: "solid" | "pausable"): OrderInput[] =>
      [3, 4, 5, 6].map((minutes, i) => ({
        id: `J${i + 1}`,
        operations: [
          {
            id: `J${i + 1}`,
            modes: [{ id: "m", machines: ["m"], phases: [{ kind: "run", flow: flowKind, work: { kind: "fixed", minutes } }] }],
          },
        ],
      }));
    const best = (kind: "solid" | "pausable", cost: "makespan" | "flow"): number =>
      plan(shop({ machines: [machine], orders: orders(kind), cost, horizon: 100 })).cost.total;
    expect([best("solid", "makespan"), best("solid", "flow"), best("pausable", "makespan"), best("pausable", "flow")]).toEqual([
      21, 51, 21, 46,
    ]);
  });
  test("[S23] minimum and maximum lag on one cell, own, enumerated: 12 without a limit or with 4, 13 with 3", () => {
    const best = (maxLag: number | null): number => {
      const jobs = [
        [1, 3],
        [1, 3],
        [3, 1],
      ];
      const orders = jobs.map(([a], i): OrderInput => ({ id: `J${i}`, operations: [run(`J${i}a`, "m", a)] }));
      const second = jobs.map(([, b], i): OrderInput => ({ id: `K${i}`, operations: [run(`J${i}b`, "m", b)] }));
      const links = jobs.map((_, i) => ({ kind: "lag" as const, id: `L${i}`, from: `J${i}a`, to: `J${i}b`, minLag: 2, maxLag }));
      return plan(shop({ machines: ["m"], orders: [...orders, ...second], links, cost: "makespan", horizon: 100 }), 6_000).cost
        .total;
    };
    expect([best(null), best(4), best(3)]).toEqual([12, 12, 13]);
  });
});

describe("parallel machines", () => {
  /** Jobs cut into 30-minute pieces that only one machine may hold at a time: preemption in the words of the planning problem. */
  const preemptive = (hours: readonly number[], machines: readonly string[]): number => {
    const kits = hours.map((_, i) => ({ id: `K${i}`, count: 1 }));
    const pieces = hours.flatMap((h, i) =>
      Array.from(
        { length: h * 2 },
        (_, k): OrderInput => ({
          id: `J${i}/${k}`,
          operations: [run(`J${i}/${k}`, machines, 30, { kits: [{ kit: `K${i}` }] })],
        }),
      ),
    );
    return plan(shop({ machines, kits, orders: pieces, cost: "makespan", horizon: 60 * 30 }), 6_000).cost.total;
  };
  test("[S14] preemptive, McNaughton 1959: 8, 7, 6 h on two machines end after 10.5 h", () => {
    expect(preemptive([8, 7, 6], ["a", "b"])).toBe(630);
  });
  test("[S14] preemptive, McNaughton 1959: 10, 8, 7, 6, 5 h on three machines end after 12 h", () => {
    expect(preemptive([10, 8, 7, 6, 5], ["a", "b", "c"])).toBe(720);
  });
  test("[S15] four machines, the worst case of longest-first, Graham 1969: 12 where that rule gives 15", () => {
    const p = [7, 7, 6, 6, 5, 5, 4, 4, 4];
    const machines = ["a", "b", "c", "d"];
    const orders = p.map((minutes, i): OrderInput => ({ id: `J${i}`, operations: [run(`J${i}`, machines, minutes)] }));
    expect(plan(shop({ machines, orders, cost: "makespan", horizon: 100 })).cost.total).toBe(12);
    const loads = [0, 0, 0, 0];
    for (const minutes of [...p].sort((a, b) => b - a)) {
      const least = loads.indexOf(Math.min(...loads));
      loads[least] = (loads[least] ?? 0) + minutes;
    }
    expect(Math.max(...loads)).toBe(15);
  });
});
