/**
 * Slow, plain second opinions on the four classical problems: verification minute by minute from the starts alone, and the
 * optimum by enumeration for tiny instances. Shares nothing with the searches but the instance types.
 */
import type { FlexibleJobShop, JobShop, JobShopWithSetups, Project } from "../../src/core/problem/classical.ts";

/** What is wrong with these starts; nothing if the schedule is feasible and has the stated makespan. */
export function faultsOfJobShop(shop: JobShop, starts: ArrayLike<number>, makespan: number): string[] {
  return faultsOfSetups(
    {
      ...shop,
      jobs: shop.jobs.map((job) => job.map((operation) => ({ ...operation, family: 0 }))),
      firstSetup: [0],
      setup: [[0]],
    },
    starts,
    makespan,
  );
}

export function faultsOfSetups(shop: JobShopWithSetups, starts: ArrayLike<number>, makespan: number): string[] {
  const faults: string[] = [];
  const placed: { start: number; end: number; machine: number; family: number; name: string }[] = [];
  let x = 0;
  for (const [j, job] of shop.jobs.entries()) {
    let ready = 0;
    for (const { machine, duration, family } of job) {
      const start = starts[x] ?? Number.NaN;
      if (!(start >= ready)) faults.push(`operation ${x} of job ${j} starts at ${start}, before ${ready}`);
      ready = start + duration;
      placed.push({ start, end: ready, machine, family, name: `operation ${x}` });
      x += 1;
    }
  }
  for (let m = 0; m < shop.machines; m += 1) {
    const row = placed.filter((p) => p.machine === m).sort((a, b) => a.start - b.start || a.end - b.end);
    for (const [k, p] of row.entries()) {
      const before = row[k - 1];
      const free =
        before === undefined ? (shop.firstSetup[p.family] ?? 0) : before.end + (shop.setup[before.family]?.[p.family] ?? 0);
      if (p.start < free) faults.push(`${p.name} starts at ${p.start} on machine ${m}, which is ready at ${free}`);
    }
  }
  const end = Math.max(0, ...placed.map((p) => p.end));
  if (end !== makespan) faults.push(`the makespan is ${end}, not ${makespan}`);
  return faults;
}

export function faultsOfFlexible(
  shop: FlexibleJobShop,
  starts: ArrayLike<number>,
  machines: ArrayLike<number>,
  makespan: number,
): string[] {
  const faults: string[] = [];
  let x = 0;
  const jobs = shop.jobs.map((job) =>
    job.map((choices) => {
      const options = choices.filter((choice) => choice.machine === machines[x]);
      if (options.length === 0) faults.push(`operation ${x} cannot run on machine ${machines[x]}`);
      x += 1;
      return { machine: machines[x - 1] ?? -1, duration: Math.min(...options.map((choice) => choice.duration)) };
    }),
  );
  return [...faults, ...faultsOfJobShop({ machines: shop.machines, jobs }, starts, makespan)];
}

export function faultsOfProject(project: Project, starts: ArrayLike<number>, makespan: number): string[] {
  const faults: string[] = [];
  const at = (a: number): number => starts[a] ?? Number.NaN;
  for (const [a, activity] of project.activities.entries()) {
    if (!(at(a) >= 0)) faults.push(`activity ${a} has start ${at(a)}`);
    for (const b of activity.successors) {
      if (at(b) < at(a) + activity.duration) faults.push(`activity ${b} starts before ${a} ends`);
    }
  }
  for (let t = 0; t < makespan; t += 1) {
    for (const [r, capacity] of project.capacities.entries()) {
      const used = project.activities.reduce(
        (sum, activity, a) => sum + (at(a) <= t && t < at(a) + activity.duration ? (activity.demands[r] ?? 0) : 0),
        0,
      );
      if (used > capacity) faults.push(`at ${t} supply ${r} gives ${used} of ${capacity}`);
    }
  }
  const end = Math.max(0, ...project.activities.map((activity, a) => at(a) + activity.duration));
  if (end !== makespan) faults.push(`the makespan is ${end}, not ${makespan}`);
  return faults;
}

/** Optimal makespan of a job shop with setups and alternatives, by trying every order in which operations can be appended. */
export function bestByEnumeration(shop: {
  readonly machines: number;
  readonly jobs: readonly (readonly {
    readonly family: number;
    readonly choices: readonly { machine: number; duration: number }[];
  }[])[];
  readonly firstSetup: readonly number[];
  readonly setup: readonly (readonly number[])[];
}): number {
  let best = Number.POSITIVE_INFINITY;
  const next = shop.jobs.map(() => 0);
  const jobReady = shop.jobs.map(() => 0);
  const machineReady = new Array<number>(shop.machines).fill(0);
  const lastFamily = new Array<number>(shop.machines).fill(-1);
  const extend = (makespan: number): void => {
    if (makespan >= best) return;
    let open = false;
    for (const [j, job] of shop.jobs.entries()) {
      const operation = job[next[j] ?? 0];
      if (operation === undefined) continue;
      open = true;
      for (const { machine, duration } of operation.choices) {
        const [ready, free, family] = [jobReady[j] ?? 0, machineReady[machine] ?? 0, lastFamily[machine] ?? -1];
        const setup = family < 0 ? (shop.firstSetup[operation.family] ?? 0) : (shop.setup[family]?.[operation.family] ?? 0);
        const end = Math.max(ready, free + setup) + duration;
        next[j] = (next[j] ?? 0) + 1;
        jobReady[j] = end;
        machineReady[machine] = end;
        lastFamily[machine] = operation.family;
        extend(Math.max(makespan, end));
        next[j] = (next[j] ?? 0) - 1;
        jobReady[j] = ready;
        machineReady[machine] = free;
        lastFamily[machine] = family;
      }
    }
    if (!open) best = makespan;
  };
  extend(0);
  return best;
}

/** Optimal makespan of a project: the serial scheme over every precedence-feasible list reaches an optimum (active schedules). */
export function bestProjectByEnumeration(project: Project): number {
  const { activities, capacities } = project;
  const horizon = activities.reduce((sum, activity) => sum + activity.duration, 0);
  const used = capacities.map(() => new Array<number>(horizon + 1).fill(0));
  const starts = activities.map(() => -1);
  let best = Number.POSITIVE_INFINITY;
  const predecessors = activities.map((_, b) =>
    activities.flatMap((activity, a) => (activity.successors.includes(b) ? [a] : [])),
  );
  const extend = (makespan: number): void => {
    if (makespan >= best) return;
    let open = false;
    for (const [b, activity] of activities.entries()) {
      if (starts[b] !== -1) continue;
      open = true;
      const before = predecessors[b] ?? [];
      if (before.some((a) => starts[a] === -1)) continue;
      let start = Math.max(0, ...before.map((a) => (starts[a] ?? 0) + (activities[a]?.duration ?? 0)));
      const fits = (from: number): boolean =>
        capacities.every((capacity, r) => {
          for (let t = from; t < from + activity.duration; t += 1) {
            if ((used[r]?.[t] ?? 0) + (activity.demands[r] ?? 0) > capacity) return false;
          }
          return true;
        });
      while (!fits(start)) start += 1;
      const draw = (sign: number): void => {
        for (const [r, row] of used.entries()) {
          for (let t = start; t < start + activity.duration; t += 1) row[t] = (row[t] ?? 0) + sign * (activity.demands[r] ?? 0);
        }
      };
      starts[b] = start;
      draw(1);
      extend(Math.max(makespan, start + activity.duration));
      draw(-1);
      starts[b] = -1;
    }
    if (!open) best = makespan;
  };
  extend(0);
  return best;
}
