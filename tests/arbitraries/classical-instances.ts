/** Random classical instances, small enough for enumeration when asked for few operations. */
import fc from "fast-check";
import type { FlexibleJobShop, JobShop, JobShopWithSetups, Project } from "../../src/core/problem/classical.ts";

type Size = { readonly jobsMax: number; readonly machinesMax: number; readonly stepsMax: number };

/** Jobs of any length, machines in any order and also twice, durations of 0 included. */
export const jobShops = ({ jobsMax, machinesMax, stepsMax }: Size): fc.Arbitrary<JobShop> =>
  fc.integer({ min: 1, max: machinesMax }).chain((machines) =>
    fc.record({
      machines: fc.constant(machines),
      jobs: fc.array(
        fc.array(fc.record({ machine: fc.integer({ min: 0, max: machines - 1 }), duration: fc.integer({ min: 0, max: 9 }) }), {
          minLength: 1,
          maxLength: stepsMax,
        }),
        { minLength: 1, maxLength: jobsMax },
      ),
    }),
  );

export const flexibleShops = ({ jobsMax, machinesMax, stepsMax }: Size): fc.Arbitrary<FlexibleJobShop> =>
  fc.integer({ min: 1, max: machinesMax }).chain((machines) =>
    fc.record({
      machines: fc.constant(machines),
      jobs: fc.array(
        fc.array(
          fc.uniqueArray(
            fc.record({ machine: fc.integer({ min: 0, max: machines - 1 }), duration: fc.integer({ min: 1, max: 9 }) }),
            {
              minLength: 1,
              maxLength: machines,
              selector: (choice) => choice.machine,
            },
          ),
          { minLength: 1, maxLength: stepsMax },
        ),
        { minLength: 1, maxLength: jobsMax },
      ),
    }),
  );

/** Setups that keep the triangle inequality, as the published ones do: differences round a ring. */
export const shopsWithSetups = (size: Size): fc.Arbitrary<JobShopWithSetups> =>
  fc
    .record({ shop: jobShops(size), families: fc.integer({ min: 1, max: 3 }), step: fc.integer({ min: 0, max: 5 }) })
    .chain(({ shop, families, step }) =>
      fc
        .array(fc.integer({ min: 0, max: families - 1 }), {
          minLength: shop.jobs.flat().length,
          maxLength: shop.jobs.flat().length,
        })
        .map((drawn) => {
          let x = -1;
          return {
            machines: shop.machines,
            jobs: shop.jobs.map((job) =>
              job.map((operation) => {
                x += 1;
                return { ...operation, duration: operation.duration + 1, family: drawn[x] ?? 0 };
              }),
            ),
            firstSetup: Array.from({ length: families }, (_, f) => step * (f + 1)),
            setup: Array.from({ length: families }, (_, a) =>
              Array.from({ length: families }, (_, b) => step * ((b - a + families) % families)),
            ),
          };
        }),
    );

export const projects = (activitiesMax: number): fc.Arbitrary<Project> =>
  fc
    .record({
      capacities: fc.array(fc.integer({ min: 1, max: 6 }), { minLength: 1, maxLength: 3 }),
      count: fc.integer({ min: 1, max: activitiesMax }),
    })
    .chain(({ capacities, count }) =>
      fc.record({
        capacities: fc.constant(capacities),
        activities: fc.tuple(
          ...Array.from({ length: count }, (_, a) =>
            fc.record({
              duration: fc.integer({ min: 0, max: 6 }),
              demands: fc.tuple(...capacities.map((capacity) => fc.integer({ min: 0, max: capacity }))),
              // Links only to later numbers: no cycle can arise.
              successors: fc.subarray(
                Array.from({ length: count - a - 1 }, (_, k) => a + 1 + k),
                { maxLength: Math.min(2, count - a - 1) },
              ),
            }),
          ),
        ),
      }),
    );
