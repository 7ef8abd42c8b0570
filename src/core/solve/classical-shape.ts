/**
 * Recognises the four classical problems in a planning problem by its shape, not by the file it came from, and turns a
 * classical solution back into a plan. Promises: a shape is recognised only when the classical problem has exactly the
 * same plans and the same makespan; anything a shop adds (people, calendars, releases, pins, a started operation, another
 * cost part) makes it return null, and the general engine takes over. O(size of the problem).
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import type { StepFunction } from "../calendar/step-function.ts";
import { valueAt } from "../calendar/step-function.ts";
import { invariant, present } from "../ground/invariant.ts";
import type { Mode, Operation, OperationId } from "../orders/operation.ts";
import { workMinutes } from "../orders/operation.ts";
import type { Machine } from "../plant/machine.ts";
import type { Family } from "../plant/setup.ts";
import type { FlexibleJobShop, JobShop, JobShopWithSetups, Project } from "../problem/classical.ts";
import { COST_PARTS } from "../problem/objective.ts";
import type { Plan, PlannedOperation } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";

export type ClassicalShape =
  | { readonly kind: "jobShop"; readonly shop: JobShop; readonly jobs: readonly (readonly Operation[])[] }
  | { readonly kind: "flexible"; readonly shop: FlexibleJobShop; readonly jobs: readonly (readonly Operation[])[] }
  | { readonly kind: "setups"; readonly shop: JobShopWithSetups; readonly jobs: readonly (readonly Operation[])[] }
  | { readonly kind: "project"; readonly project: Project; readonly operations: readonly Operation[] };

/** The classical problem that the planning problem is, or null. Minute 0 of the classical problem is `now`. */
export function classicalShape(problem: Problem): ClassicalShape | null {
  if (!bareProblem(problem)) return null;
  if (problem.operations.every((operation) => onNoMachine(operation))) return projectShape(problem);
  if (problem.supplies.length > 0 || !problem.machines.every((machine) => bareMachine(machine, problem))) return null;
  const jobs = chains(problem);
  if (jobs === null || !problem.operations.every((operation) => operation.modes.every((mode) => mode.machines.length === 1)))
    return null;
  if (problem.machines.some((machine) => machine.setup.kind !== "none")) return setupsShape(problem, jobs);
  if (!problem.operations.every((operation) => operation.modes.every(oneRun))) return null;
  const index = new Map(problem.machines.map((machine, i) => [machine.id, i]));
  const alternative = (operation: Operation, mode: Mode) => ({
    machine: present(index.get(present(mode.machines[0], "machine")), "machine"),
    duration: durationOf(operation, mode),
  });
  const machines = problem.machines.length;
  if (problem.operations.every((operation) => operation.modes.length === 1)) {
    const shopJobs = jobs.map((job) => job.map((operation) => alternative(operation, present(operation.modes[0], "mode"))));
    // The job shop's moves assume that a job visits a machine at most once; a shop that returns is flexible with one choice.
    if (shopJobs.every((job) => new Set(job.map((visit) => visit.machine)).size === job.length))
      return { kind: "jobShop", shop: { machines, jobs: shopJobs }, jobs };
  }
  return {
    kind: "flexible",
    shop: {
      machines,
      jobs: jobs.map((job) => job.map((operation) => operation.modes.map((mode) => alternative(operation, mode)))),
    },
    jobs,
  };
}

/** Nothing that a classical problem has no word for. */
function bareProblem(problem: Problem): boolean {
  return (
    problem.operations.length > 0 &&
    problem.crews.length === 0 &&
    problem.kits.length === 0 &&
    problem.kitSpans.length === 0 &&
    problem.runHourRules.length === 0 &&
    problem.published === null &&
    COST_PARTS.every((part) => (part === "makespan" ? problem.weights[part] > 0 : problem.weights[part] === 0)) &&
    problem.links.every((link) => link.kind === "lag" && link.minLag === 0 && link.maxLag === null) &&
    problem.orders.every((order) => order.release <= problem.now && order.deadline === null) &&
    problem.operations.every(bareOperation)
  );
}

function bareOperation(operation: Operation): boolean {
  return (
    operation.split === null &&
    operation.pin === null &&
    operation.window.start === null &&
    operation.window.end === null &&
    operation.needsCalibrations.length === 0 &&
    operation.kits.length === 0 &&
    operation.progress.running.length === 0 &&
    operation.progress.done.length === 0 &&
    operation.modes.every((mode) => mode.calendar === null && mode.phases.every((phase) => phase.needs.length === 0))
  );
}

/** Open from now to the horizon without a break. */
function bareMachine(machine: Machine, problem: Problem): boolean {
  return machine.open.some(([start, end]) => start <= problem.now && end >= problem.horizon);
}

const onNoMachine = (operation: Operation): boolean => operation.modes.length === 1 && operation.modes[0]?.machines.length === 0;
const oneRun = (mode: Mode): boolean =>
  mode.phases.length === 1 && mode.phases[0]?.kind === "run" && mode.phases[0].draws.length === 0;
const durationOf = (operation: Operation, mode: Mode): number =>
  mode.phases.reduce((sum, phase) => sum + workMinutes(phase.work, operation.pieces), 0);

/** Operations as jobs: each has at most one predecessor and one successor. null: not chains. */
function chains(problem: Problem): Operation[][] | null {
  const next = new Map<OperationId, OperationId>();
  const hasPrevious = new Set<OperationId>();
  for (const link of problem.links) {
    if (next.get(link.from) === link.to) continue;
    if (next.has(link.from) || hasPrevious.has(link.to)) return null;
    next.set(link.from, link.to);
    hasPrevious.add(link.to);
  }
  const byId = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const jobs: Operation[][] = [];
  for (const operation of problem.operations) {
    if (hasPrevious.has(operation.id)) continue;
    const job: Operation[] = [];
    for (let id: OperationId | undefined = operation.id; id !== undefined; id = next.get(id))
      job.push(present(byId.get(id), "operation"));
    jobs.push(job);
  }
  return jobs;
}

/** All machines under one table, standing in one family; a prepare of no minutes of its own, done while the part is still elsewhere. */
function setupsShape(problem: Problem, jobs: Operation[][]): ClassicalShape | null {
  const rule = problem.machines[0]?.setup;
  if (rule?.kind !== "table") return null;
  const { table } = rule;
  const standing = problem.machines[0]?.family ?? null;
  const alike = problem.machines.every(
    (machine) => machine.setup.kind === "table" && machine.setup.table.id === table.id && machine.family === standing,
  );
  const fits = problem.operations.every((operation) => {
    const mode = operation.modes[0];
    const [prepare, run] = mode?.phases ?? [];
    return (
      operation.modes.length === 1 &&
      operation.prepareEarly &&
      mode?.phases.length === 2 &&
      prepare?.kind === "prepare" &&
      prepare.work.kind === "fixed" &&
      prepare.work.minutes === 0 &&
      prepare.draws.length === 0 &&
      run?.kind === "run" &&
      run.draws.length === 0 &&
      run.maxWait === null &&
      mode.families[0] !== null
    );
  });
  if (!alike || !fits) return null;
  const machineIndex = new Map(problem.machines.map((machine, i) => [machine.id, i]));
  const familyIndex = (family: Family | null | undefined): number => table.families.indexOf(String(family));
  const shopJobs = jobs.map((job) =>
    job.map((operation) => {
      const mode = present(operation.modes[0], "mode");
      return {
        machine: present(machineIndex.get(present(mode.machines[0], "machine")), "machine"),
        duration: durationOf(operation, mode),
        family: familyIndex(mode.families[0]),
      };
    }),
  );
  if (!shopJobs.every((job) => new Set(job.map((visit) => visit.machine)).size === job.length)) return null;
  const firstSetup =
    standing === null ? table.families.map(() => 0) : present(table.minutes[familyIndex(standing)], "row of the setup table");
  return { kind: "setups", shop: { machines: problem.machines.length, jobs: shopJobs, firstSetup, setup: table.minutes }, jobs };
}

/** One amount from now to the horizon; null when it changes. */
function constantAmount(step: StepFunction, from: Minute, until: Minute): number | null {
  return step.at.some((at) => from < at && at < until) ? null : valueAt(step, from);
}

function projectShape(problem: Problem): ClassicalShape | null {
  const capacities = problem.supplies.map((supply) => constantAmount(supply.amount, problem.now, problem.horizon));
  const fits = problem.operations.every(
    (operation) => operation.modes[0]?.phases.every((phase) => phase.kind === "run") && operation.modes[0].phases.length <= 1,
  );
  if (!fits || !capacities.every((capacity) => capacity !== null)) return null;
  const index = new Map(problem.operations.map((operation, i) => [operation.id, i]));
  const successors: number[][] = problem.operations.map(() => []);
  for (const link of problem.links)
    successors[present(index.get(link.from), "operation")]?.push(present(index.get(link.to), "operation"));
  const activities = problem.operations.map((operation, i) => {
    const mode = present(operation.modes[0], "mode");
    const duration = durationOf(operation, mode);
    const demands = problem.supplies.map((supply) =>
      duration === 0
        ? 0
        : mode.phases.reduce(
            (sum, phase) => sum + phase.draws.reduce((s, draw) => s + (draw.supply === supply.id ? draw.amount : 0), 0),
            0,
          ),
    );
    return { duration, demands, successors: present(successors[i], "successors") };
  });
  if (activities.some((activity) => activity.demands.some((demand, i) => demand > (capacities[i] ?? 0)))) return null;
  return { kind: "project", project: { capacities, activities }, operations: problem.operations };
}

/**
 * The plan of a classical solution. `starts` of runs in minutes from now, job by job in the order of the shape
 * (activities in their order for a project); `alternatives` the chosen mode of each, all 0 when left out.
 */
export function planOfClassical(problem: Problem, shape: ClassicalShape, starts: Int32Array, alternatives?: Int32Array): Plan {
  const operations = shape.kind === "project" ? shape.operations : shape.jobs.flat();
  invariant(starts.length === operations.length, `${starts.length} starts for ${operations.length} operations`);
  const setups = shape.kind === "setups" ? setupsBefore(shape.shop, starts) : null;
  const planned = operations.map((operation, i): PlannedOperation => {
    const mode = present(operation.modes[alternatives?.[i] ?? 0], "mode");
    const runStart = problem.now + (starts[i] as number);
    const end = runStart + durationOf(operation, mode);
    const setup = setups?.[i] ?? 0;
    const runPhase = setups ? 1 : 0;
    const span = (from: Minute, until: Minute): readonly Interval[] => [[from, until]];
    return {
      operation: operation.id,
      lots: [
        {
          mode: mode.id,
          pieces: operation.pieces,
          start: runStart - setup,
          end,
          phases: [
            ...(setup > 0 ? [{ phase: 0, work: span(runStart - setup, runStart), crews: [] }] : []),
            ...(end > runStart ? [{ phase: runPhase, work: span(runStart, end), crews: [] }] : []),
          ],
        },
      ],
    };
  });
  return { operations: planned };
}

/** Setup minutes right before each run, from the order in which the runs start on their machines. */
function setupsBefore(shop: JobShopWithSetups, starts: Int32Array): number[] {
  const visits = shop.jobs.flat().map((visit, i) => ({ ...visit, i, start: starts[i] as number }));
  const setups: number[] = visits.map(() => 0);
  for (let machine = 0; machine < shop.machines; machine++) {
    const order = visits.filter((visit) => visit.machine === machine).sort((a, b) => a.start - b.start);
    order.forEach((visit, k) => {
      const before = order[k - 1];
      setups[visit.i] = present(before ? shop.setup[before.family]?.[visit.family] : shop.firstSetup[visit.family], "setup");
    });
  }
  return setups;
}
