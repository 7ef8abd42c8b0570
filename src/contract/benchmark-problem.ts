/**
 * The classical benchmark problems as planning problems: machines that never close, nobody needed, everything released at 0,
 * the makespan as the only cost. A plan without conflicts is a schedule of the benchmark with the same makespan, and the other
 * way round. The horizon is the length of doing everything one after the other, so every active schedule fits.
 */
import { alwaysOpen } from "../core/calendar/compile.ts";
import { CALENDAR_LEAD_MINUTES, type Minute } from "../core/calendar/minute.ts";
import { constantStep } from "../core/calendar/step-function.ts";
import type { Link } from "../core/orders/link.ts";
import type { Mode, Operation, Phase } from "../core/orders/operation.ts";
import type { Order } from "../core/orders/order.ts";
import type { Machine } from "../core/plant/machine.ts";
import type { SetupTable } from "../core/plant/setup.ts";
import type { Supply } from "../core/plant/supply.ts";
import type { FlexibleJobShop, JobShop, JobShopOperation, JobShopWithSetups, Project } from "../core/problem/classical.ts";
import { NO_WEIGHTS } from "../core/problem/objective.ts";
import type { Problem } from "../core/problem/problem.ts";

export const problemFromJobShop = (shop: JobShop, name: string): Problem =>
  problemFromFlexible({ machines: shop.machines, jobs: shop.jobs.map((job) => job.map((visit) => [visit])) }, name);

export function problemFromFlexible(shop: FlexibleJobShop, name: string): Problem {
  const horizon = Math.max(1, sum(shop.jobs.flat().map((choices) => Math.max(0, ...choices.map(({ duration }) => duration)))));
  const modesOf = (choices: readonly JobShopOperation[]): readonly Mode[] =>
    choices.map(({ machine, duration }, k) => {
      const again = choices.findIndex((choice) => choice.machine === machine) < k;
      return modeOn(again ? `${machineId(machine)}.${k}` : machineId(machine), machine, null, [solid("run", duration)]);
    });
  return bareProblem(name, horizon, {
    machines: machinesOf(shop.machines, horizon),
    ...chainsOf(
      shop.jobs.map((job) => job.map(modesOf)),
      false,
    ),
  });
}

/**
 * Setups are prepare phases of no minutes of their own, allowed before the part arrives. The setup before the first operation
 * on a machine is the way from an extra family in which every machine stands.
 */
export function problemFromSetup(shop: JobShopWithSetups, name: string): Problem {
  const families = shop.setup.map((_, family) => familyName(family));
  const longest = Math.max(0, ...shop.firstSetup, ...shop.setup.flat());
  const horizon = Math.max(1, sum(shop.jobs.flat().map(({ duration }) => duration + longest)));
  const table: SetupTable = {
    id: "setups",
    name: "Setups",
    families: [...families, "new"],
    minutes: [...shop.setup.map((row) => [...row, 0]), [...shop.firstSetup, 0]],
  };
  const machines = machinesOf(shop.machines, horizon).map(
    (machine): Machine => ({ ...machine, setup: { kind: "table", table }, family: "new" }),
  );
  const jobs = shop.jobs.map((job) =>
    job.map(({ machine, duration, family }) => [
      modeOn(machineId(machine), machine, familyName(family), [solid("prepare", 0), solid("run", duration)]),
    ]),
  );
  return bareProblem(name, horizon, { machines, ...chainsOf(jobs, true) });
}

/** Activities are work without a machine that draws supplies. The dummies stay, as instants. */
export function problemFromRcpsp(project: Project, name: string): Problem {
  const horizon = Math.max(1, sum(project.activities.map(({ duration }) => duration)));
  const supplies = project.capacities.map(
    (capacity, i): Supply => ({
      id: `r${i + 1}`,
      name: `R ${i + 1}`,
      unit: "",
      amount: constantStep(-CALENDAR_LEAD_MINUTES, horizon, capacity),
    }),
  );
  const width = String(project.activities.length).length;
  const activityId = (index: number): string => `a${String(index + 1).padStart(width, "0")}`;
  const operations = project.activities.map(({ duration, demands }, i): Operation => {
    const draws = demands.flatMap((amount, r) => (amount > 0 ? [{ supply: `r${r + 1}`, amount }] : []));
    const mode: Mode = {
      id: "any",
      machines: [],
      families: [],
      calendar: null,
      phases: duration === 0 ? [] : [{ ...solid("run", duration), draws }],
    };
    return operationOf(activityId(i), "project", [mode], false);
  });
  const links = project.activities.flatMap(({ successors }, i) =>
    [...new Set(successors)].map((next) => linkOf(activityId(i), activityId(next))),
  );
  return bareProblem(name, horizon, { machines: [], supplies, orders: [orderOf("project")], operations, links });
}

const sum = (list: readonly number[]): number => list.reduce((total, value) => total + value, 0);
const machineId = (index: number): string => `m${index}`;
const familyName = (index: number): string => `f${index}`;

const solid = (kind: Phase["kind"], minutes: number): Phase => ({
  kind,
  flow: "solid",
  work: { kind: "fixed", minutes },
  needs: [],
  draws: [],
  maxWait: null,
});

const modeOn = (id: string, machine: number, family: string | null, phases: readonly Phase[]): Mode => ({
  id,
  machines: [machineId(machine)],
  families: [family],
  calendar: null,
  phases,
});

const operationOf = (id: string, order: string, modes: readonly Mode[], prepareEarly: boolean): Operation => ({
  id,
  order,
  name: id,
  piecesPerUnit: 1,
  pieces: 1,
  window: { start: null, end: null },
  modes,
  startSkill: null,
  selfStart: false,
  prepareEarly,
  split: null,
  needsCalibrations: [],
  calibrates: [],
  kits: [],
  pin: null,
  progress: { done: [], running: [] },
});

const orderOf = (id: string): Order => ({
  id,
  name: id,
  kind: "production",
  quantity: 1,
  scrapPerMille: 0,
  release: 0,
  due: null,
  deadline: null,
  weight: 1,
  requester: null,
});

const linkOf = (from: string, to: string): Link => ({ kind: "lag", id: `${from}>${to}`, from, to, minLag: 0, maxLag: null });

const machinesOf = (count: number, horizon: Minute): readonly Machine[] =>
  Array.from({ length: count }, (_, i) => ({
    id: machineId(i),
    name: `Machine ${i}`,
    group: "",
    kind: "machine",
    open: alwaysOpen(horizon),
    closures: [],
    setup: { kind: "none" },
    family: null,
    unattended: { kind: "never" },
    calibrations: [],
    abilities: [],
  }));

type Chains = { readonly orders: readonly Order[]; readonly operations: readonly Operation[]; readonly links: readonly Link[] };

/** One order a job, its operations linked in their order. Ids sort like the indices. */
function chainsOf(jobs: readonly (readonly (readonly Mode[])[])[], prepareEarly: boolean): Chains {
  const jobWidth = String(Math.max(0, jobs.length - 1)).length;
  const stepWidth = String(Math.max(0, ...jobs.map((job) => job.length - 1))).length;
  const jobId = (j: number): string => `j${String(j).padStart(jobWidth, "0")}`;
  const stepId = (j: number, k: number): string => `${jobId(j)}.${String(k).padStart(stepWidth, "0")}`;
  return {
    orders: jobs.map((_, j) => orderOf(jobId(j))),
    operations: jobs.flatMap((job, j) => job.map((modes, k) => operationOf(stepId(j, k), jobId(j), modes, prepareEarly))),
    links: jobs.flatMap((job, j) => job.slice(1).map((_, k) => linkOf(stepId(j, k), stepId(j, k + 1)))),
  };
}

function bareProblem(
  name: string,
  horizon: Minute,
  parts: Chains & { readonly machines: readonly Machine[]; readonly supplies?: readonly Supply[] },
): Problem {
  return {
    name,
    zone: "UTC",
    origin: "2026-01-01T00:00:00Z",
    now: 0,
    horizon,
    calendars: [],
    crews: [],
    supplies: [],
    kits: [],
    kitSpans: [],
    runHourRules: [],
    published: null,
    freeze: null,
    weights: { ...NO_WEIGHTS, makespan: 1 },
    ...parts,
  };
}
