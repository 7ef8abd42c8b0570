/**
 * Laws of the classical searches on random tiny instances, against enumeration: every schedule is feasible, none beats the
 * optimum, no bound exceeds it, proofs are true, and the same seed gives the same bytes.
 */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { flexibleBound } from "../../../../src/core/solve/classical/flexible-bound.ts";
import { solve, solveFlexibleJobShop, solveJobShopWithSetups } from "../../../../src/core/solve/classical/flexible-job-shop.ts";
import { solveJobShop } from "../../../../src/core/solve/classical/job-shop.ts";
import { jobShopBound } from "../../../../src/core/solve/classical/job-shop-bound.ts";
import { solveRcpsp } from "../../../../src/core/solve/classical/project.ts";
import { projectBound } from "../../../../src/core/solve/classical/project-bound.ts";
import { proveJobShop } from "../../../../src/core/solve/exact/job-shop-branch-and-bound.ts";
import { flexibleShops, jobShops, projects, shopsWithSetups } from "../../../arbitraries/classical-instances.ts";
import {
  bestByEnumeration,
  bestProjectByEnumeration,
  faultsOfFlexible,
  faultsOfJobShop,
  faultsOfProject,
  faultsOfSetups,
} from "../../../reference/classical-schedules.ts";

const TINY = { jobsMax: 3, machinesMax: 3, stepsMax: 3 };
const runs = { numRuns: 150 };

const withChoices = (shop: Parameters<typeof solveJobShop>[0]) => ({
  machines: shop.machines,
  jobs: shop.jobs.map((job) => job.map((operation) => ({ family: 0, choices: [operation] }))),
  firstSetup: [0],
  setup: [[0]],
});

describe("job shop", () => {
  test("feasible, not below the optimum, bound not above it; the exact search agrees with enumeration", () => {
    fc.assert(
      fc.property(jobShops(TINY), fc.nat(1000), (shop, seed) => {
        const optimum = bestByEnumeration(withChoices(shop));
        expect(jobShopBound(shop)).toBeLessThanOrEqual(optimum);
        const outcome = solveJobShop(shop, { seed, maxIterations: 2000 });
        expect(faultsOfJobShop(shop, outcome.starts, outcome.makespan)).toEqual([]);
        expect(outcome.makespan).toBe(optimum); // tiny: the exact slices always finish
        expect(outcome.proven).toBe(true);
        expect(outcome.lowerBound).toBe(optimum);
        const proof = proveJobShop(shop, optimum + 3, { maxNodes: 100_000 });
        expect([proof.proven, proof.makespan, proof.lowerBound]).toEqual([true, optimum, optimum]);
        if (proof.starts !== undefined) expect(faultsOfJobShop(shop, proof.starts, optimum)).toEqual([]);
      }),
      runs,
    );
  });

  test("larger shops with machines visited twice and work of no duration stay feasible", () => {
    fc.assert(
      fc.property(jobShops({ jobsMax: 12, machinesMax: 5, stepsMax: 8 }), fc.nat(1000), (shop, seed) => {
        const outcome = solveJobShop(shop, { seed, maxIterations: 3000 });
        expect(faultsOfJobShop(shop, outcome.starts, outcome.makespan)).toEqual([]);
        expect(outcome.lowerBound).toBeLessThanOrEqual(outcome.makespan);
      }),
      { numRuns: 60 },
    );
  });
});

describe("flexible job shop and setups", () => {
  test("flexible: feasible, not below the optimum, bound not above it", () => {
    fc.assert(
      fc.property(flexibleShops({ ...TINY, stepsMax: 2 }), fc.nat(1000), (shop, seed) => {
        const instance = {
          ...withChoices({ machines: shop.machines, jobs: [] }),
          jobs: shop.jobs.map((job) => job.map((choices) => ({ family: 0, choices }))),
        };
        const optimum = bestByEnumeration(instance);
        expect(flexibleBound(instance)).toBeLessThanOrEqual(optimum);
        const outcome = solveFlexibleJobShop(shop, { seed, maxIterations: 20_000 });
        expect(faultsOfFlexible(shop, outcome.starts, outcome.machine, outcome.makespan)).toEqual([]);
        expect(outcome.makespan).toBe(optimum);
        if (outcome.proven) expect(outcome.lowerBound).toBe(optimum);
      }),
      runs,
    );
  });

  test("setups: feasible, not below the optimum", () => {
    fc.assert(
      fc.property(shopsWithSetups(TINY), fc.nat(1000), (shop, seed) => {
        const optimum = bestByEnumeration({
          ...shop,
          jobs: shop.jobs.map((job) =>
            job.map(({ family, machine, duration }) => ({ family, choices: [{ machine, duration }] })),
          ),
        });
        const outcome = solveJobShopWithSetups(shop, { seed, maxIterations: 4000 });
        expect(faultsOfSetups(shop, outcome.starts, outcome.makespan)).toEqual([]);
        expect(outcome.makespan).toBeGreaterThanOrEqual(optimum);
        expect(outcome.makespan).toBeLessThanOrEqual(optimum * 1.2); // a search without proof, but tiny
        expect(outcome.lowerBound).toBeLessThanOrEqual(optimum);
      }),
      runs,
    );
  });

  test("larger flexible shops stay feasible", () => {
    fc.assert(
      fc.property(flexibleShops({ jobsMax: 10, machinesMax: 5, stepsMax: 6 }), fc.nat(1000), (shop, seed) => {
        const outcome = solveFlexibleJobShop(shop, { seed, maxIterations: 3000 });
        expect(faultsOfFlexible(shop, outcome.starts, outcome.machine, outcome.makespan)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});

describe("project", () => {
  test("feasible, not below the optimum, bound not above it", () => {
    fc.assert(
      fc.property(projects(6), fc.nat(1000), (project, seed) => {
        const optimum = bestProjectByEnumeration(project);
        expect(projectBound(project)).toBeLessThanOrEqual(optimum);
        const outcome = solveRcpsp(project, { seed, maxIterations: 3000 });
        expect(faultsOfProject(project, outcome.starts, outcome.makespan)).toEqual([]);
        expect(outcome.makespan).toBe(optimum);
        if (outcome.proven) expect(outcome.lowerBound).toBe(optimum);
      }),
      runs,
    );
  });

  test("supplies too wide for one packed word, and larger projects, stay feasible", () => {
    fc.assert(
      fc.property(projects(25), fc.integer({ min: 1, max: 90_000 }), fc.nat(1000), (drawn, scale, seed) => {
        const project = {
          capacities: drawn.capacities.map((capacity) => capacity * scale),
          activities: drawn.activities.map((activity) => ({
            ...activity,
            demands: activity.demands.map((demand) => demand * scale),
          })),
        };
        const outcome = solveRcpsp(project, { seed, maxIterations: 600 });
        expect(faultsOfProject(project, outcome.starts, outcome.makespan)).toEqual([]);
        // Scaling supplies and demands alike changes nothing.
        const plain = solveRcpsp(drawn, { seed, maxIterations: 600 });
        expect(outcome.makespan).toBe(plain.makespan);
      }),
      { numRuns: 40 },
    );
  });
});

describe("same seed, same bytes", () => {
  test.each([
    [
      "job shop",
      jobShops({ jobsMax: 8, machinesMax: 4, stepsMax: 5 }),
      (instance: never, seed: number) => solveJobShop(instance, { seed, maxIterations: 5000 }),
    ],
    [
      "flexible",
      flexibleShops({ jobsMax: 8, machinesMax: 4, stepsMax: 5 }),
      (instance: never, seed: number) => solveFlexibleJobShop(instance, { seed, maxIterations: 5000 }),
    ],
    [
      "setups",
      shopsWithSetups({ jobsMax: 8, machinesMax: 4, stepsMax: 5 }),
      (instance: never, seed: number) => solveJobShopWithSetups(instance, { seed, maxIterations: 5000 }),
    ],
    ["project", projects(20), (instance: never, seed: number) => solveRcpsp(instance, { seed, maxIterations: 2000 })],
  ] as const)("%s", (_, instances, run) => {
    fc.assert(
      fc.property(instances as fc.Arbitrary<never>, fc.nat(1000), (instance, seed) => {
        expect(run(instance, seed)).toEqual(run(instance, seed));
      }),
      { numRuns: 10 },
    );
  });
});

test("a round starts from the pool of the one before and never gets worse", () => {
  fc.assert(
    fc.property(
      jobShops({ jobsMax: 8, machinesMax: 4, stepsMax: 5 }),
      flexibleShops({ jobsMax: 8, machinesMax: 4, stepsMax: 5 }),
      projects(20),
      (shop, flexible, project) => {
        const first = [
          solveJobShop(shop, { seed: 1, maxIterations: 300 }),
          solveFlexibleJobShop(flexible, { seed: 1, maxIterations: 300 }),
          solveRcpsp(project, { seed: 1, maxIterations: 60 }),
        ];
        const pools = first.map((outcome) => outcome.pool);
        const second = [
          solveJobShop(shop, { seed: 2, maxIterations: 1, initialPool: pools[0] ?? [] }),
          solveFlexibleJobShop(flexible, { seed: 2, maxIterations: 1, initialPool: pools[1] ?? [] }),
          solveRcpsp(project, { seed: 2, maxIterations: 1, initialPool: pools[2] ?? [] }),
        ];
        for (const [k, outcome] of second.entries())
          expect(outcome.makespan).toBeLessThanOrEqual(first[k]?.makespan ?? Number.NaN);
      },
    ),
    { numRuns: 30 },
  );
});

test("a stop is obeyed at once and still gives a feasible schedule", () => {
  const instance = {
    machines: 3,
    jobs: Array.from({ length: 30 }, (_, j) =>
      [0, 1, 2].map((k) => ({ machine: (j + k) % 3, duration: 1 + ((j * 7 + k * 5) % 9) })),
    ),
  };
  const outcome = solveJobShop(instance, { seed: 1, shouldStop: () => true });
  expect(outcome.iterations).toBe(0);
  expect(faultsOfJobShop(instance, outcome.starts, outcome.makespan)).toEqual([]);
  expect(solve(withChoices(instance), { seed: 1, shouldStop: () => true }).iterations).toBe(0);
});
