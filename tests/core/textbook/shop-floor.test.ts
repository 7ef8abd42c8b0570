/** Worked cases with setups, supplies, shifts and nights, through the real engine. Own data, recomputed by enumeration, unless a source stands beside. */
import { describe, expect, test } from "vitest";
import { type OrderInput, plan, run, shop } from "./shop.ts";

const setupJob = (id: string, family: string | number, minutes: number, more: Partial<OrderInput> = {}): OrderInput => ({
  id,
  ...more,
  operations: [
    {
      id,
      modes: [
        {
          id: "m",
          machines: ["m"],
          families: [family],
          phases: [
            { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 0 } },
            { kind: "run", flow: "solid", work: { kind: "fixed", minutes } },
          ],
        },
      ],
    },
  ],
});

describe("setups", () => {
  test("[S13] weighted tardiness with setups, data of the ATCS example (Lee, Bhaskaran, Pinedo 1997), enumerated: 98", () => {
    const table = {
      id: "t",
      families: ["0", "1", "2", "3", "4"],
      minutes: [
        [0, 1, 1, 3, 4],
        [0, 0, 4, 1, 3],
        [0, 0, 0, 1, 0],
        [0, 1, 2, 0, 3],
        [0, 4, 3, 1, 0],
      ],
    };
    const due = [12, 37, 21, 22];
    const weights = [2, 4, 2, 5];
    const orders = [13, 9, 13, 10].map((p, i) => setupJob(`J${i + 1}`, `${i + 1}`, p, { due: due[i], weight: weights[i] }));
    const problem = shop({
      machines: [{ id: "m", setup: { kind: "table", table: "t" }, family: "0" }],
      setupTables: [table],
      orders,
      cost: "tardiness",
      horizon: 200,
    });
    expect(plan(problem).cost.total).toBe(98);
  });
  test("[S22] setups alone, an asymmetric path: 65", () => {
    const table = {
      id: "t",
      families: ["0", "1", "2", "3", "4"],
      minutes: [
        [0, 15, 10, 60, 25],
        [0, 0, 40, 10, 60],
        [0, 60, 0, 40, 20],
        [0, 60, 40, 0, 25],
        [0, 45, 15, 25, 0],
      ],
    };
    const orders = [1, 2, 3, 4].map((i) => setupJob(`J${i}`, `${i}`, 1));
    const problem = shop({
      machines: [{ id: "m", setup: { kind: "table", table: "t" }, family: "0" }],
      setupTables: [table],
      orders,
      cost: "setup",
      horizon: 600,
    });
    expect(plan(problem).cost.total).toBe(65);
  });
  test("[S26] chamber temperatures at double scale (1 K/min), start and end at 23 degC: 250", () => {
    const jobs: [string, number][] = [
      ["A", 85],
      ["B", -40],
      ["C", 60],
      ["D", -40],
      ["E", 23],
    ];
    const orders = [...jobs, ["end", 23] as [string, number]].map(([id, celsius]) => setupJob(id, celsius * 1000, 1));
    const links = jobs.map(([id]) => ({ kind: "lag" as const, id: `${id}-end`, from: id, to: "end" }));
    const problem = shop({
      machines: [{ id: "m", setup: { kind: "temperature", rampPerMinute: 1000, settling: 0 }, family: 23_000 }],
      orders,
      links,
      cost: "setup",
      horizon: 2_000,
    });
    expect(plan(problem).cost.total).toBe(250);
  });
  test("[S27] fixture families, start V: 125", () => {
    const table = {
      id: "t",
      families: ["V", "T", "R"],
      minutes: [
        [10, 50, 70],
        [45, 15, 40],
        [60, 55, 15],
      ],
    };
    const orders = ["T", "V", "R", "V", "T"].map((family, i) => setupJob(`J${i + 1}`, family, 1));
    const problem = shop({
      machines: [{ id: "m", setup: { kind: "table", table: "t" }, family: "V" }],
      setupTables: [table],
      orders,
      cost: "setup",
      horizon: 1_000,
    });
    expect(plan(problem).cost.total).toBe(125);
  });
});

describe("supplies", () => {
  const activity = (id: string, minutes: number, draws: Record<string, number>): OrderInput => ({
    id,
    operations: [
      {
        id,
        modes: [
          {
            id: "any",
            phases: [
              {
                kind: "run",
                flow: "solid",
                work: { kind: "fixed", minutes },
                draws: Object.entries(draws)
                  .filter(([, amount]) => amount > 0)
                  .map(([supply, amount]) => ({ supply, amount })),
              },
            ],
          },
        ],
      },
    ],
  });
  test("[S19] ten activities of a MIP library's manual (two supplies of 6 and 8): 21", () => {
    const p = [3, 2, 5, 4, 2, 3, 4, 2, 4, 6];
    const use = [
      [5, 1],
      [0, 4],
      [1, 4],
      [1, 3],
      [3, 2],
      [3, 1],
      [2, 4],
      [4, 0],
      [5, 2],
      [2, 5],
    ];
    const pairs = [
      [1, 4],
      [1, 5],
      [2, 9],
      [2, 10],
      [3, 8],
      [4, 6],
      [4, 7],
      [5, 9],
      [5, 10],
      [6, 8],
      [6, 9],
      [7, 8],
    ];
    const orders = p.map((minutes, i) => activity(`A${i + 1}`, minutes, { r1: use[i]?.[0] ?? 0, r2: use[i]?.[1] ?? 0 }));
    const links = pairs.map(([a, b]) => ({ kind: "lag" as const, id: `${a}-${b}`, from: `A${a}`, to: `A${b}` }));
    const supplies = [
      { id: "r1", amount: 6 },
      { id: "r2", amount: 8 },
    ];
    expect(plan(shop({ machines: [], supplies, orders, links, cost: "makespan", horizon: 100 })).cost.total).toBe(21);
  });
  test("[S20] six activities, survey example (Kolisch and Hartmann 1999, from memory): 13", () => {
    const p = [3, 4, 2, 2, 1, 4];
    const r = [2, 3, 4, 4, 3, 2];
    const pairs = [
      [1, 3],
      [3, 5],
      [2, 4],
      [4, 6],
    ];
    const orders = p.map((minutes, i) => activity(`A${i + 1}`, minutes, { r: r[i] ?? 0 }));
    const links = pairs.map(([a, b]) => ({ kind: "lag" as const, id: `${a}-${b}`, from: `A${a}`, to: `A${b}` }));
    expect(
      plan(shop({ machines: [], supplies: [{ id: "r", amount: 4 }], orders, links, cost: "makespan", horizon: 100 })).cost.total,
    ).toBe(13);
  });
  test("[S24] DC supply of 150 kW and three equal dynos: 15 h, without the limit 10 h", () => {
    const jobs: [string, number, number][] = [
      ["A", 8, 90],
      ["B", 6, 60],
      ["C", 5, 80],
      ["D", 4, 70],
      ["E", 3, 50],
      ["F", 2, 100],
    ];
    const machines = ["dyno1", "dyno2", "dyno3"];
    const best = (limit: number): number => {
      const orders = jobs.map(
        ([id, hours, kw]): OrderInput => ({
          id,
          operations: [
            {
              id,
              modes: machines.map((machine) => ({
                id: machine,
                machines: [machine],
                phases: [
                  {
                    kind: "run" as const,
                    flow: "solid" as const,
                    work: { kind: "fixed" as const, minutes: hours * 60 },
                    draws: [{ supply: "dc", amount: kw }],
                  },
                ],
              })),
            },
          ],
        }),
      );
      return (
        plan(shop({ machines, supplies: [{ id: "dc", amount: limit }], orders, cost: "makespan", horizon: 60 * 60 })).cost.total /
        60
      );
    };
    expect([best(150), best(1_000)]).toEqual([15, 10]);
  });
});

describe("shifts and nights", () => {
  const week = { id: "day", weekly: [{ days: [1, 2, 3, 4, 5] as (1 | 2 | 3 | 4 | 5)[], from: "07:00", until: "15:00" }] };
  test("[S25] setups in the shift, runs alone at any hour, machine blocked till unloaded: Thursday 07:30", () => {
    const orders = [
      ["A", 10],
      ["B", 20],
      ["C", 5],
      ["D", 16],
    ].map(
      ([id, hours]): OrderInput => ({
        id: `${id}`,
        operations: [
          {
            id: `${id}`,
            modes: [
              {
                id: "m",
                machines: ["m"],
                phases: [
                  { kind: "prepare", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "s" }] },
                  { kind: "run", flow: "solid", work: { kind: "fixed", minutes: Number(hours) * 60 } },
                  { kind: "clear", flow: "solid", work: { kind: "fixed", minutes: 30 }, needs: [{ skill: "s" }] },
                ],
              },
            ],
          },
        ],
      }),
    );
    const problem = shop({
      machines: [{ id: "m", unattended: { kind: "allowed" } }],
      calendars: [week],
      crews: [{ id: "c", skills: ["s"], calendar: "day", people: 100 }],
      orders,
      cost: "makespan",
      horizon: 14 * 1440,
    });
    expect(plan(problem).cost.total).toBe(3 * 1440 + 450);
  });

  const attended = (release: string | number, minutes: number, breaks: { from: string; until: string }[] = []): number => {
    const problem = shop({
      machines: ["m"],
      zone: "UTC",
      origin: "2026-06-08T00:00:00Z",
      calendars: [{ id: "day", weekly: [{ days: [1, 2, 3, 4, 5], from: "07:00", until: "15:00", breaks }] }],
      crews: [{ id: "c", skills: ["s"], calendar: "day", people: 100 }],
      orders: [
        {
          id: "J",
          release,
          operations: [
            {
              id: "J",
              modes: [
                {
                  id: "m",
                  machines: ["m"],
                  phases: [{ kind: "run", flow: "pausable", work: { kind: "fixed", minutes }, needs: [{ skill: "s" }] }],
                },
              ],
            },
          ],
        },
      ],
      cost: "makespan",
      horizon: 21 * 1440,
    });
    return plan(problem).cost.total;
  };
  const at = (dayFromMonday: number, hours: number): number => dayFromMonday * 1440 + Math.round(hours * 60);
  test("[C1] 20 h of attended, resumable work from Wednesday 10:00 end Friday 14:00 (own arithmetic)", () => {
    expect(attended("2026-06-10T10:00", 1200)).toBe(at(4, 14));
  });
  test("[C2] the same with a daily break 11:00-11:30 ends Monday 07:30 (own arithmetic)", () => {
    expect(attended("2026-06-10T10:00", 1200, [{ from: "11:00", until: "11:30" }])).toBe(at(7, 7.5));
  });
  test("[C3, C4] cured 24 h, used within 72 h: Monday 07:00 to 14:00 are the possible starts; within 60 h nothing fits (own arithmetic)", () => {
    const bond = (maxLag: number): ReturnType<typeof shop> =>
      shop({
        machines: [],
        calendars: [week],
        crews: [{ id: "c", skills: ["s"], calendar: "day", people: 100 }],
        orders: [
          {
            id: "J",
            operations: [
              {
                id: "bond",
                pin: { start: "2026-06-12T13:30" },
                modes: [
                  {
                    id: "b",
                    phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 30 }, needs: [{ skill: "s" }] }],
                  },
                ],
              },
            ],
          },
          {
            id: "K",
            operations: [
              {
                id: "use",
                modes: [
                  {
                    id: "b",
                    phases: [{ kind: "run", flow: "solid", work: { kind: "fixed", minutes: 60 }, needs: [{ skill: "s" }] }],
                  },
                ],
              },
            ],
          },
        ],
        links: [{ kind: "lag", id: "cure", from: "bond", to: "use", minLag: 1440, maxLag }],
        cost: "makespan",
        horizon: 21 * 1440,
      });
    const outcome = plan(bond(72 * 60));
    const start = outcome.plan.operations.find((planned) => planned.operation === "use")?.lots[0]?.start;
    expect(start).toBe(at(7, 7));
    expect(() => plan(bond(60 * 60))).toThrow(/./);
  });
  test("[C5] calibration valid through 2026-05-15, 120 h from Monday 08:00 end 8 h too late (own arithmetic)", () => {
    const problem = shop({
      machines: [
        { id: "m", unattended: { kind: "allowed" }, calibrations: [{ name: "torque", due: "2026-05-15", interval: 1000 }] },
      ],
      origin: "2026-05-11T00:00:00Z",
      orders: [
        { id: "J", operations: [run("J", "m", 120 * 60, { needsCalibrations: ["torque"], pin: { start: "2026-05-11T08:00" } })] },
      ],
      cost: "makespan",
      horizon: 21 * 1440,
    });
    expect(() => plan(problem)).toThrow(/calibration/i);
  });
});
