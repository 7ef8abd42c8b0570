/** Small invented shops for engine tests: defaults for everything, so that a test names only what it is about. */
import type { Intervals } from "../../../src/core/calendar/intervals.ts";
import { constantStep, sumOfSteps } from "../../../src/core/calendar/step-function.ts";
import type { KitSpan, Link } from "../../../src/core/orders/link.ts";
import type { Mode, Operation, Phase } from "../../../src/core/orders/operation.ts";
import type { Order } from "../../../src/core/orders/order.ts";
import type { Crew } from "../../../src/core/plant/crew.ts";
import type { Machine } from "../../../src/core/plant/machine.ts";
import { DEFAULT_WEIGHTS } from "../../../src/core/problem/objective.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export const HORIZON = 28 * 1440;
export const BEGIN = -14 * 1440;

/** Monday to Friday from..until, origin Monday 00:00. */
export function weekdays(from: number, until: number, horizon = HORIZON): Intervals {
  const out: [number, number][] = [];
  for (let day = -14; day * 1440 < horizon; day++) {
    if (((day % 7) + 7) % 7 >= 5) continue;
    out.push([day * 1440 + from, Math.min(horizon, day * 1440 + until)]);
  }
  return out;
}

export const always = (horizon = HORIZON): Intervals => [[BEGIN, horizon]];

export function crew(
  id: string,
  skills: readonly string[],
  people = 100,
  shift: Intervals = weekdays(420, 900),
  unsocial: Intervals = [],
): Crew {
  return {
    id,
    name: id,
    skills,
    headcount: sumOfSteps(shift.map((interval) => ({ interval, amount: people }))),
    present: shift,
    unsocial,
    shifts: shift.map(([start, end]) => ({ name: "day", start, end, people })),
  };
}

export function machine(id: string, changes: Partial<Machine> = {}): Machine {
  return {
    id,
    name: id,
    group: "shop",
    kind: "machine",
    open: always(),
    closures: [],
    setup: { kind: "none" },
    family: null,
    unattended: { kind: "never" },
    calibrations: [],
    abilities: [],
    ...changes,
  };
}

export const phase = (kind: Phase["kind"], flow: Phase["flow"], minutes: number, changes: Partial<Phase> = {}): Phase => ({
  kind,
  flow,
  work: { kind: "fixed", minutes },
  needs: [],
  draws: [],
  maxWait: null,
  ...changes,
});

export const need = (skill: string, amount = 100) => ({ skill, amount });

export const mode = (machines: readonly string[], phases: readonly Phase[], changes: Partial<Mode> = {}): Mode => ({
  id: machines.join("+") || "bench",
  machines,
  families: machines.map(() => null),
  calendar: null,
  phases,
  ...changes,
});

export function operation(id: string, modes: readonly Mode[], changes: Partial<Operation> = {}): Operation {
  return {
    id,
    order: "o1",
    name: id,
    piecesPerUnit: 1,
    pieces: 1,
    window: { start: null, end: null },
    modes,
    startSkill: null,
    selfStart: false,
    prepareEarly: false,
    split: null,
    needsCalibrations: [],
    calibrates: [],
    kits: [],
    pin: null,
    progress: { done: [], running: [] },
    ...changes,
  };
}

export function order(id: string, changes: Partial<Order> = {}): Order {
  return {
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
    ...changes,
  };
}

export const lag = (from: string, to: string, minLag = 0, maxLag: number | null = null): Link => ({
  kind: "lag",
  id: `${from}>${to}`,
  from,
  to,
  minLag,
  maxLag,
});
export const span = (kit: string, from: string, to: string, count = 1): KitSpan => ({
  id: `${kit}:${from}>${to}`,
  kit,
  count,
  from,
  to,
});

export function shop(changes: Partial<Problem>): Problem {
  return {
    name: "test shop",
    zone: "Europe/Berlin",
    origin: "2026-01-04T23:00:00Z",
    now: 0,
    horizon: HORIZON,
    calendars: [],
    machines: [],
    crews: [],
    supplies: [],
    kits: [],
    orders: [order("o1")],
    operations: [],
    links: [],
    kitSpans: [],
    runHourRules: [],
    published: null,
    freeze: null,
    weights: DEFAULT_WEIGHTS,
    ...changes,
  };
}

export const supply = (id: string, amount: number, horizon = HORIZON) => ({
  id,
  name: id,
  unit: "kW",
  amount: constantStep(BEGIN, horizon, amount),
});
export const kit = (id: string, count: number, horizon = HORIZON) => ({
  id,
  name: id,
  count: constantStep(BEGIN, horizon, count),
});
