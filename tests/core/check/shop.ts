/**
 * A compact way to write small shops and plans in tests: every field has a default, so a test shows only what it is about.
 * The default shop is that of the worked examples: minute 0 is a Monday 00:00 (UTC), one crew "day" of 100 on Mon-Fri 07:00-15:00
 * without breaks, machines open at all times, horizon four weeks, now = 0. Orders that an operation names and nobody lists are made up.
 * Knows nothing of the checker or the engine.
 */

import type { Intervals } from "../../../src/core/calendar/intervals.ts";
import type { Interval, Minute } from "../../../src/core/calendar/minute.ts";
import { CALENDAR_LEAD_MINUTES } from "../../../src/core/calendar/minute.ts";
import { constantStep, type StepFunction, sumOfSteps } from "../../../src/core/calendar/step-function.ts";
import { present } from "../../../src/core/ground/invariant.ts";
import type { Link } from "../../../src/core/orders/link.ts";
import type { Flow, Mode, Need, Operation, Phase, PhaseKind, Progress, Work } from "../../../src/core/orders/operation.ts";
import { workMinutes } from "../../../src/core/orders/operation.ts";
import { type Order, piecesToStart } from "../../../src/core/orders/order.ts";
import type { Crew } from "../../../src/core/plant/crew.ts";
import type { Machine } from "../../../src/core/plant/machine.ts";
import type { SetupRule } from "../../../src/core/plant/setup.ts";
import type { Kit, Supply } from "../../../src/core/plant/supply.ts";
import { DEFAULT_WEIGHTS } from "../../../src/core/problem/objective.ts";
import type { Plan, PlannedLot, PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export const DAY = 1440;
export const WEEKS_4 = 28 * DAY;
/** Open from the first compiled minute to the end of four weeks. */
export const ALWAYS: Intervals = [[-CALENDAR_LEAD_MINUTES, WEEKS_4]];

/** Mon-Fri `from`..`until` (minutes of the day), from two weeks before the origin to four weeks after it. */
export function weekdays(from: Minute, until: Minute): Intervals {
  const out: Interval[] = [];
  for (let day = -14; day < 28; day++) if (((day % 7) + 7) % 7 < 5) out.push([day * DAY + from, day * DAY + until]);
  return out;
}

export const steps = (intervals: Intervals, amount: number): StepFunction =>
  sumOfSteps(intervals.map((interval) => ({ interval, amount })));

export const constant = (amount: number): StepFunction => constantStep(-CALENDAR_LEAD_MINUTES, WEEKS_4, amount);

/** A crew with skill "work", one person, Mon-Fri 07:00-15:00. `shift` sets presence and headcount at once. */
export function crew(id: string, given: Partial<Crew> & { shift?: Intervals; people?: number } = {}): Crew {
  const { shift = weekdays(420, 900), people = 100, ...rest } = given;
  return {
    id,
    name: `Crew ${id}`,
    skills: ["work"],
    headcount: steps(shift, people),
    present: shift,
    unsocial: [],
    shifts: [],
    ...rest,
  };
}

/** Always open, no setup, unattended work at any time without limit. */
export function machine(id: string, given: Partial<Machine> = {}): Machine {
  return {
    id,
    name: `Machine ${id}`,
    group: "Floor",
    kind: "machine",
    open: ALWAYS,
    closures: [],
    setup: { kind: "none" },
    family: null,
    unattended: { kind: "allowed", windows: null, maxMinutes: null },
    calibrations: [],
    abilities: [],
    ...given,
  };
}

export const table = (families: readonly string[], minutes: readonly (readonly number[])[]): SetupRule => ({
  kind: "table",
  table: { id: "table", name: "Table", families, minutes },
});

export const supply = (id: string, amount: number | StepFunction): Supply => ({
  id,
  name: `Supply ${id}`,
  unit: "kW",
  amount: typeof amount === "number" ? constant(amount) : amount,
});

export const kit = (id: string, count: number | StepFunction): Kit => ({
  id,
  name: `Kit ${id}`,
  count: typeof count === "number" ? constant(count) : count,
});

export function order(id: string, given: Partial<Order> = {}): Order {
  return {
    id,
    name: `Order ${id}`,
    kind: "production",
    quantity: 1,
    scrapPerMille: 0,
    release: 0,
    due: null,
    deadline: null,
    weight: 1,
    requester: null,
    ...given,
  };
}

type PhaseOptions = Partial<Omit<Phase, "kind" | "work" | "needs">> & { needs?: readonly Need[] | number };

/** Minutes (fixed) or `{ seconds }` per piece; attended by 100 of skill "work", solid. `needs: 50` is short for half a person. */
function phase(kind: PhaseKind, work: number | { seconds: number }, options: PhaseOptions = {}): Phase {
  const { needs = 100, ...rest } = options;
  const fixed: Work = typeof work === "number" ? { kind: "fixed", minutes: work } : { kind: "perPiece", seconds: work.seconds };
  return {
    kind,
    flow: "solid" as Flow,
    work: fixed,
    needs: typeof needs === "number" ? (needs === 0 ? [] : [{ skill: "work", amount: needs }]) : needs,
    draws: [],
    maxWait: null,
    ...rest,
  };
}
export const prepare = (work: number | { seconds: number }, options?: PhaseOptions): Phase => phase("prepare", work, options);
export const run = (work: number | { seconds: number }, options?: PhaseOptions): Phase => phase("run", work, options);
export const clear = (work: number | { seconds: number }, options?: PhaseOptions): Phase => phase("clear", work, options);
/** A run that needs nobody. */
export const unattended = (work: number | { seconds: number }, options: PhaseOptions = {}): Phase =>
  phase("run", work, { needs: 0, ...options });

export const mode = (id: string, machines: readonly string[], phases: readonly Phase[], given: Partial<Mode> = {}): Mode => ({
  id,
  machines,
  families: machines.map(() => null),
  calendar: null,
  phases,
  ...given,
});

type OperationOptions = Partial<Omit<Operation, "id" | "progress">> & {
  /** Short for one mode "a" on these machines with these phases. */
  machines?: readonly string[];
  phases?: readonly Phase[];
  family?: string | number;
  /** Short for an outside process or bench work: the calendar of the one mode, which then has no machine. */
  calendar?: string;
  progress?: Partial<Progress>;
};

/** One piece on machine "m" in mode "a": a solid attended run of 60 minutes. Belongs to order "o". */
export function operation(id: string, given: OperationOptions = {}): Operation {
  const {
    machines = given.calendar === undefined ? ["m"] : [],
    phases = [run(60)],
    family,
    calendar = null,
    progress,
    ...rest
  } = given;
  return {
    id,
    order: "o",
    name: `Operation ${id}`,
    piecesPerUnit: 1,
    pieces: 1,
    window: { start: null, end: null },
    modes: [mode("a", machines, phases, { calendar, families: machines.map(() => family ?? null) })],
    startSkill: null,
    selfStart: false,
    prepareEarly: false,
    split: null,
    needsCalibrations: [],
    calibrates: [],
    kits: [],
    pin: null,
    progress: { done: [], running: [], ...progress },
    ...rest,
  };
}

export const lag = (from: string, to: string, minLag: Minute, maxLag: Minute | null = null): Link => ({
  kind: "lag",
  id: `${from}>${to}`,
  from,
  to,
  minLag,
  maxLag,
});
export const transfer = (from: string, to: string, pieces: number): Link => ({
  kind: "transfer",
  id: `${from}>${to}`,
  from,
  to,
  pieces,
});
export const sameMachine = (from: string, to: string): Link => ({ kind: "sameMachine", id: `${from}=${to}`, from, to });

/** Machines and orders that operations name and the test does not list are made with their defaults. */
export function shop(given: Partial<Problem>): Problem {
  const operations = given.operations ?? [];
  const machines = new Map((given.machines ?? []).map((m) => [m.id, m]));
  const orders = new Map((given.orders ?? []).map((o) => [o.id, o]));
  for (const op of operations) {
    for (const m of op.modes.flatMap((offered) => offered.machines)) if (!machines.has(m)) machines.set(m, machine(m));
    if (!orders.has(op.order)) orders.set(op.order, order(op.order, { quantity: op.pieces }));
  }
  return {
    name: "Test shop",
    zone: "UTC",
    origin: "2026-01-05T00:00:00Z",
    now: 0,
    horizon: WEEKS_4,
    calendars: [],
    crews: [crew("day")],
    supplies: [],
    kits: [],
    links: [],
    kitSpans: [],
    runHourRules: [],
    published: null,
    freeze: null,
    weights: DEFAULT_WEIGHTS,
    ...given,
    machines: [...machines.values()],
    orders: [...orders.values()],
    operations,
  };
}

/** Where one phase works: one stretch or several. */
export type Worked = Interval | Intervals;

export type Put = {
  readonly operation: string;
  /** Worked stretches of the lot's phases in order; null leaves a phase out. */
  readonly phases: readonly (Worked | null)[];
  readonly mode?: string;
  readonly pieces?: number;
  /** Number of the first phase given (a running lot goes on with its current one). */
  readonly from?: number;
  /** Crews of each phase given, each with one crew a need. Default: the first crew that has the skill. */
  readonly crews?: readonly (readonly string[])[];
  readonly start?: Minute;
  readonly end?: Minute;
};

export const put = (id: string, phases: readonly (Worked | null)[], options: Omit<Put, "operation" | "phases"> = {}): Put => ({
  operation: id,
  phases,
  ...options,
});

const isOne = (worked: Worked): worked is Interval => typeof worked[0] === "number";

/** A plan of what is put, and nothing else. Several puts of an operation are its lots in that order. */
export function plan(problem: Problem, ...puts: readonly Put[]): Plan {
  const operations = new Map<string, PlannedLot[]>();
  for (const given of puts) {
    const lots = operations.get(given.operation) ?? [];
    operations.set(given.operation, [...lots, lotOf(problem, given)]);
  }
  return { operations: [...operations].map(([id, lots]): PlannedOperation => ({ operation: id, lots })) };
}

function lotOf(problem: Problem, given: Put): PlannedLot {
  const op = present(
    problem.operations.find(({ id }) => id === given.operation),
    `operation ${given.operation}`,
  );
  const chosen = given.mode ?? op.modes[0]?.id ?? "a";
  const offered = op.modes.find(({ id }) => id === chosen) ?? op.modes[0];
  const phases = given.phases.flatMap((worked, i) => {
    if (worked === null) return [];
    const index = i + (given.from ?? 0);
    const crews =
      given.crews?.[i] ??
      (offered?.phases[index]?.needs ?? []).map(
        ({ skill }) => problem.crews.find(({ skills }) => skills.includes(skill))?.id ?? "nobody",
      );
    return [{ phase: index, work: isOne(worked) ? [worked] : worked, crews }];
  });
  const ends = phases.flatMap(({ work }) => work.map(([, until]) => until));
  const starts = phases.flatMap(({ work }) => work.map(([from]) => from));
  const start = given.start ?? (starts.length > 0 ? Math.min(...starts) : problem.now);
  return {
    mode: chosen,
    pieces: given.pieces ?? op.pieces,
    start,
    end: given.end ?? (ends.length > 0 ? Math.max(...ends) : start),
    phases,
  };
}

/** Whole worked minutes of a piece phase, to say lengths in tests without arithmetic. */
export const minutesFor = (pieces: number, seconds: number): number => workMinutes({ kind: "perPiece", seconds }, pieces);

/** Pieces to start, as orders say it. */
export const started = (good: number, scrap: number): number => piecesToStart(good, scrap);
