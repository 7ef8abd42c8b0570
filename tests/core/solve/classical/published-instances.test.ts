/** Published and textbook instances with known optimum, each with its source; schedules verified by plain second code. */
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { MK01, T2_PS01 } from "../../../../seed/instances/flexible-and-setups.ts";
import { FT06, FT10, LA01 } from "../../../../seed/instances/job-shops.ts";
import { J301_1 } from "../../../../seed/instances/projects.ts";
import { taillard } from "../../../../seed/taillard.ts";
import type { Fault, Result } from "../../../../src/core/ground/result.ts";
import type { FlexibleJobShop, JobShop, Project } from "../../../../src/core/problem/classical.ts";
import { readFlexibleJobShop } from "../../../../src/core/problem/formats/flexible-job-shop.ts";
import { readJobShop } from "../../../../src/core/problem/formats/job-shop.ts";
import { readJobShopWithSetups } from "../../../../src/core/problem/formats/job-shop-with-setups.ts";
import { readPsplib } from "../../../../src/core/problem/formats/psplib.ts";
import { solveFlexibleJobShop, solveJobShopWithSetups } from "../../../../src/core/solve/classical/flexible-job-shop.ts";
import { solveJobShop } from "../../../../src/core/solve/classical/job-shop.ts";
import { solveRcpsp } from "../../../../src/core/solve/classical/project.ts";
import { faultsOfFlexible, faultsOfJobShop, faultsOfProject, faultsOfSetups } from "../../../reference/classical-schedules.ts";

function value<T>(result: Result<T, Fault>): T {
  if (!result.ok) throw new Error(`${result.error.at}: ${result.error.message}`);
  return result.value;
}

const shop = (machines: number, jobs: readonly (readonly (readonly [number, number])[])[]): JobShop => ({
  machines,
  jobs: jobs.map((job) => job.map(([machine, duration]) => ({ machine, duration }))),
});

describe("job shop: optimum reached and proven", () => {
  test.each<[string, JobShop, number]>([
    // S.M. Johnson, Optimal two- and three-stage production schedules with setup times included, Nav. Res. Log. Q. 1, 1954;
    // the data as remembered, the optimum by Johnson's rule and by enumeration.
    [
      "two machines in line, five jobs (Johnson 1954)",
      shop(
        2,
        [
          [4, 5],
          [4, 1],
          [30, 4],
          [6, 30],
          [2, 3],
        ].map(([a, b]) => [
          [0, a ?? 0],
          [1, b ?? 0],
        ]),
      ),
      47,
    ],
    [
      "two machines in line, own data, by Johnson's rule",
      shop(
        2,
        [
          [3, 6],
          [5, 2],
          [1, 2],
          [6, 6],
          [7, 5],
        ].map(([a, b]) => [
          [0, a ?? 0],
          [1, b ?? 0],
        ]),
      ),
      24,
    ],
    // J.R. Jackson, Nav. Res. Log. Q. 3, 1956: his rule on own data; the optimum is the load of machine B.
    [
      "two machines, both directions (Jackson 1956)",
      shop(2, [
        [
          [0, 4],
          [1, 6],
        ],
        [
          [0, 5],
          [1, 2],
        ],
        [
          [0, 3],
          [1, 3],
        ],
        [
          [1, 2],
          [0, 5],
        ],
        [
          [1, 6],
          [0, 1],
        ],
        [[0, 2]],
        [[1, 3]],
      ]),
      22,
    ],
    ["ft06 (Fisher and Thompson 1963)", value(readJobShop(FT06)), 55],
    ["la01 (Lawrence 1984)", value(readJobShop(LA01)), 666],
    ["ft10 (Fisher and Thompson 1963; optimum Carlier and Pinson 1989)", value(readJobShop(FT10)), 930],
  ])("%s", (_, instance, optimum) => {
    const outcome = solveJobShop(instance, { seed: 1, maxIterations: 3_000_000 });
    expect(faultsOfJobShop(instance, outcome.starts, outcome.makespan)).toEqual([]);
    expect([outcome.makespan, outcome.lowerBound, outcome.proven]).toEqual([optimum, optimum, true]);
  });

  test("ta21 by a small budget: within 4 % of the best known 1642, and never below it (E. Taillard's tables; proven 1642)", () => {
    const instance = taillard("ta21");
    const outcome = solveJobShop(instance, { seed: 1, maxIterations: 100_000 });
    expect(faultsOfJobShop(instance, outcome.starts, outcome.makespan)).toEqual([]);
    expect(outcome.makespan).toBeGreaterThanOrEqual(1642);
    expect(outcome.makespan).toBeLessThanOrEqual(1642 * 1.04);
  });
});

describe("flexible job shop and setups: optimum reached", () => {
  const rows = (table: readonly (readonly (readonly number[])[])[]): FlexibleJobShop => ({
    machines: 5,
    jobs: table.map((job) => job.map((times) => times.map((duration, machine) => ({ machine, duration })))),
  });
  const [M3, M5, W] = [0, 1, 2];
  test.each<[string, FlexibleJobShop, number]>([
    // I. Kacem, S. Hammadi, P. Borne, Approach by localization and multiobjective evolutionary optimization for flexible
    // job-shop scheduling problems, IEEE Trans. SMC C 32, 2002: 4 jobs on 5 machines.
    [
      "Kacem 4 x 5",
      rows([
        [
          [2, 5, 4, 1, 2],
          [5, 4, 5, 7, 5],
          [4, 5, 5, 4, 5],
        ],
        [
          [2, 5, 4, 7, 8],
          [5, 6, 9, 8, 5],
          [4, 5, 4, 54, 5],
        ],
        [
          [9, 8, 6, 7, 9],
          [6, 1, 2, 5, 4],
          [2, 5, 4, 2, 4],
          [4, 5, 2, 1, 5],
        ],
        [
          [1, 5, 2, 4, 12],
          [5, 1, 2, 1, 2],
        ],
      ]),
      11,
    ],
    // Own example, optimum by enumeration.
    [
      "two machining centres and a wire cutter",
      {
        machines: 3,
        jobs: [
          [
            [
              { machine: M3, duration: 4 },
              { machine: M5, duration: 3 },
            ],
            [{ machine: W, duration: 6 }],
          ],
          [
            [
              { machine: M3, duration: 3 },
              { machine: M5, duration: 3 },
            ],
            [{ machine: M5, duration: 2 }],
          ],
          [
            [{ machine: M5, duration: 5 }],
            [
              { machine: M3, duration: 2 },
              { machine: M5, duration: 1 },
            ],
          ],
        ],
      },
      10,
    ],
    ["mk01 (Brandimarte 1993)", value(readFlexibleJobShop(MK01)), 40],
  ])("%s", (_, instance, optimum) => {
    const outcome = solveFlexibleJobShop(instance, { seed: 1, maxIterations: 200_000 });
    expect(faultsOfFlexible(instance, outcome.starts, outcome.machine, outcome.makespan)).toEqual([]);
    expect(outcome.makespan).toBe(optimum);
  });

  test("t2-ps01 (Brucker and Thiele 1996)", () => {
    const instance = value(readJobShopWithSetups(T2_PS01));
    const outcome = solveJobShopWithSetups(instance, { seed: 1, maxIterations: 600_000, lowerBound: 798 });
    expect(faultsOfSetups(instance, outcome.starts, outcome.makespan)).toEqual([]);
    expect(outcome.makespan).toBe(798);
  });
});

describe("project: optimum reached", () => {
  const project = (capacities: number[], p: number[], r: number[][], links: Record<number, number[]>): Project => ({
    capacities,
    activities: p.map((duration, a) => ({ duration, demands: r[a] ?? [], successors: (links[a + 1] ?? []).map((b) => b - 1) })),
  });
  test.each<[string, Project, number]>([
    // The worked example of a mixed-integer library's manual; optimum confirmed by enumeration of all 4,068 lists.
    [
      "ten activities, two supplies",
      project(
        [6, 8],
        [3, 2, 5, 4, 2, 3, 4, 2, 4, 6],
        [
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
        ],
        { 1: [4, 5], 2: [9, 10], 3: [8], 4: [6, 7], 5: [9, 10], 6: [8, 9], 7: [8] },
      ),
      21,
    ],
    // R. Kolisch, S. Hartmann, Heuristic algorithms for the RCPSP, in J. Weglarz (ed.), Project Scheduling, 1999: the example
    // as remembered; optimum by enumeration.
    [
      "six activities, one supply",
      project([4], [3, 4, 2, 2, 1, 4], [[2], [3], [4], [4], [3], [2]], { 1: [3], 3: [5], 2: [4], 4: [6] }),
      13,
    ],
    ["j301_1 (Kolisch and Sprecher 1997; Demeulemeester and Herroelen 1997)", value(readPsplib(J301_1)), 43],
  ])("%s", (_, instance, optimum) => {
    const outcome = solveRcpsp(instance, { seed: 1, maxIterations: 60_000 });
    expect(faultsOfProject(instance, outcome.starts, outcome.makespan)).toEqual([]);
    expect(outcome.makespan).toBe(optimum);
  });
});

/** The large collection is not part of this repository; a handful is tried where it lies beside it. */
const COLLECTION = path.resolve(import.meta.dirname, "../../../../../shared/benchmarks");
describe.skipIf(!existsSync(COLLECTION))("a handful of the large collection (skipped where it is absent)", () => {
  const text = (file: string): string => readFileSync(path.join(COLLECTION, file), "utf8");

  test("Taillard's generator equals the stored files, number for number", () => {
    for (const name of ["ta01", "ta15", "ta28", "ta50"])
      expect(taillard(name)).toEqual(value(readJobShop(text(`jobshop/${name}.txt`))));
  });

  test("j120: feasible and not below the proven bound 104", () => {
    const instance = value(readPsplib(text("rcpsp/j120/j1201_1.sm")));
    const outcome = solveRcpsp(instance, { seed: 1, maxIterations: 3000 });
    expect(faultsOfProject(instance, outcome.starts, outcome.makespan)).toEqual([]);
    expect(outcome.makespan).toBeGreaterThanOrEqual(104);
    expect(outcome.makespan).toBeLessThanOrEqual(115);
  });

  test("mk03: proven 204 by its bound", () => {
    const instance = value(readFlexibleJobShop(text("flexible/mk03.txt")));
    const outcome = solveFlexibleJobShop(instance, { seed: 1, maxIterations: 200_000 });
    expect(faultsOfFlexible(instance, outcome.starts, outcome.machine, outcome.makespan)).toEqual([]);
    expect([outcome.makespan, outcome.proven]).toEqual([204, true]);
  });
});
