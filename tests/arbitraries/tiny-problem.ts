/**
 * Tiny random shops from a seed: one to five operations on one to three machines, a few crews, every rule of the
 * planning problem switched on now and then. Small enough for enumeration and for the minute-by-minute checker.
 * Same seed, same problem; a failing law prints the seed.
 */

import { normalise, subtract } from "../../src/core/calendar/intervals.ts";
import type { Interval } from "../../src/core/calendar/minute.ts";
import { constantStep, sumOfSteps } from "../../src/core/calendar/step-function.ts";
import { createRandom } from "../../src/core/ground/prng.ts";
import type { KitSpan, Link } from "../../src/core/orders/link.ts";
import type { Mode, Operation, Phase } from "../../src/core/orders/operation.ts";
import type { Order } from "../../src/core/orders/order.ts";
import type { Crew } from "../../src/core/plant/crew.ts";
import type { Machine } from "../../src/core/plant/machine.ts";
import { DEFAULT_WEIGHTS } from "../../src/core/problem/objective.ts";
import type { Problem, RunHourRule } from "../../src/core/problem/problem.ts";

export type TinyOptions = {
  /** Most operations; default 4. */
  readonly operations?: number;
  /** Length of the planning span in minutes; default 120. */
  readonly horizon?: number;
  /** Leave out what enumeration cannot reach (split batches). */
  readonly enumerable?: boolean;
};

const LEAD = -14 * 1440;

export function tinyProblem(seed: number, options: TinyOptions = {}): Problem {
  const random = createRandom(seed);
  const chance = (p: number): boolean => random.next() < p;
  const between = (low: number, high: number): number => low + random.int(high - low + 1);
  const pick = <T>(list: readonly T[]): T => list[random.int(list.length)] as T;
  const horizon = options.horizon ?? 120;
  const now = chance(0.3) ? between(1, 15) : 0;

  const day = 40; // a short "day": shifts repeat every 40 minutes
  const shiftIntervals = (from: number, length: number): Interval[] => {
    const out: Interval[] = [];
    for (let d = -2; d * day < horizon; d++) out.push([d * day + from, d * day + from + length]);
    return out;
  };

  const skills = ["turn", "test"];
  const crews: Crew[] = Array.from({ length: chance(0.2) ? 0 : between(1, 2) }, (_, i) => {
    const from = between(0, 12);
    const present = normalise(shiftIntervals(from, between(14, 36)).map(([a, b]): Interval => [a, Math.min(b, a + 39)]));
    const pause: Interval[] = chance(0.4) ? present.map(([a]): Interval => [a + 6, a + 6 + between(1, 4)]) : [];
    const people = pick([100, 100, 150, 200]);
    return {
      id: `crew${i}`,
      name: `Crew ${i}`,
      skills: chance(0.5) ? skills : [skills[i % 2] as string],
      headcount: sumOfSteps(subtract(present, normalise(pause)).map((interval) => ({ interval, amount: people }))),
      present,
      unsocial: chance(0.3) ? present.slice(0, 1) : [],
      shifts: [],
    };
  });
  const offered = [...new Set(crews.flatMap((c) => c.skills))];

  const families = ["A", "B", "C"];
  const table = {
    id: "table",
    name: "Table",
    families,
    minutes: families.map((f) => families.map((g) => (f === g ? between(0, 1) : between(1, 5)))),
  };
  const machines: Machine[] = Array.from({ length: between(1, 3) }, (_, i) => {
    const always: Interval[] = [[LEAD, horizon + 10]];
    const closed: Interval[] = chance(0.3) ? [[between(10, 60), between(61, 80)]] : [];
    const rule = chance(0.6) ? "table" : "none";
    return {
      id: `m${i}`,
      name: `Machine ${i}`,
      group: "Group",
      kind: i === 2 ? "rig" : "machine",
      open: subtract(always, normalise(closed)),
      closures: [],
      setup:
        rule === "table"
          ? { kind: "table", table }
          : chance(0.3)
            ? { kind: "temperature", rampPerMinute: 2000, settling: 2 }
            : { kind: "none" },
      family: rule === "table" ? pick(families) : null,
      unattended: chance(0.4)
        ? { kind: "never" }
        : {
            kind: "allowed",
            windows: chance(0.3) ? normalise(shiftIntervals(between(0, 30), 20)) : null,
            maxMinutes: chance(0.4) ? between(3, 15) : null,
          },
      calibrations: chance(0.3) ? [{ name: "force", due: between(30, horizon), interval: 50 }] : [],
      abilities: [],
    };
  });

  const supplies = chance(0.3)
    ? [
        {
          id: "dc",
          name: "DC supply",
          unit: "kW",
          amount: sumOfSteps([
            { interval: [LEAD, horizon + 10] as const, amount: 10 },
            { interval: [50, 60] as const, amount: -6 },
          ]),
        },
      ]
    : [];
  const kits = chance(0.3) ? [{ id: "fixture", name: "Fixture", count: constantStep(LEAD, horizon + 10, 1) }] : [];

  const orders: Order[] = Array.from({ length: between(1, 2) }, (_, i) => ({
    id: `o${i}`,
    name: `Order ${i}`,
    kind: pick(["production", "prototype", "campaign"] as const),
    quantity: between(1, 4),
    scrapPerMille: 0,
    release: chance(0.3) ? between(0, 20) : 0,
    due: chance(0.8) ? between(10, 70) : null,
    deadline: chance(0.1) ? between(70, horizon) : null,
    weight: between(1, 3),
    requester: null,
  }));

  const calendarId = "outside";
  const calendars = [{ id: calendarId, name: "Outside", open: normalise(shiftIntervals(0, 25)) }];

  const phase = (kind: Phase["kind"], machine: boolean, perPiece: boolean): Phase => {
    const attended = offered.length > 0 && (!machine || kind !== "run" ? chance(machine ? 0.85 : 0.4) : chance(0.5));
    const flow = perPiece ? pick(["solid", "pausable", "piecewise"] as const) : pick(["solid", "pausable"] as const);
    return {
      kind,
      flow,
      work: perPiece
        ? { kind: "perPiece", seconds: pick([60, 90, 150, 200]) }
        : { kind: "fixed", minutes: kind === "run" ? between(1, 9) : between(0, 3) },
      needs: attended
        ? Array.from({ length: chance(0.1) ? 2 : 1 }, () => ({ skill: pick(offered), amount: pick([50, 100, 100]) }))
        : [],
      draws: supplies.length > 0 && chance(0.4) ? [{ supply: "dc", amount: between(2, 8) }] : [],
      maxWait: kind !== "prepare" && chance(0.1) ? between(5, 30) : null,
    };
  };

  const operations: Operation[] = [];
  const count = between(1, options.operations ?? 4);
  for (let i = 0; i < count; i++) {
    const order = pick(orders);
    const perPiece = chance(0.4);
    const bench = chance(0.12);
    const modes: Mode[] = Array.from({ length: bench ? 1 : between(1, 2) }, (_, k) => {
      const both = !bench && machines.length > 1 && chance(0.12);
      const on = bench ? [] : both ? machines.slice(0, 2) : [pick(machines)];
      const withFamily = chance(0.7);
      const phases: Phase[] = [];
      const hasPrepare = !bench && (withFamily || chance(0.5));
      if (hasPrepare) phases.push({ ...phase("prepare", true, false), maxWait: null });
      phases.push(phase("run", !bench, perPiece));
      if (!bench && chance(0.4)) phases.push(phase("clear", true, false));
      return {
        id: `x${k}`,
        machines: on.map((m) => m.id),
        families: on.map((m) =>
          !withFamily || m.setup.kind === "none" ? null : m.setup.kind === "table" ? pick(families) : pick([20000, 30000, 45000]),
        ),
        calendar: bench && chance(0.6) ? calendarId : null,
        phases,
      };
    });
    const split = !options.enumerable && perPiece && order.quantity > 1 && chance(0.4) ? { lots: 2, minPieces: 1 } : null;
    operations.push({
      id: `p${i}`,
      order: order.id,
      name: `Operation ${i}`,
      piecesPerUnit: 1,
      pieces: order.quantity,
      window: { start: chance(0.1) ? between(0, 20) : null, end: chance(0.05) ? between(80, horizon) : null },
      modes,
      startSkill: offered.length > 0 && chance(0.2) ? pick(offered) : null,
      selfStart: chance(0.2),
      prepareEarly: chance(0.3),
      split,
      needsCalibrations: chance(0.3) ? ["force"] : [],
      calibrates: chance(0.08) ? ["force"] : [],
      kits: kits.length > 0 && chance(0.5) ? [{ kit: "fixture", count: 1 }] : [],
      pin: chance(0.08) ? { machines: null, start: between(now, 50) } : null,
      progress: { done: [], running: [] },
    });
  }

  const links: Link[] = [];
  for (let i = 1; i < operations.length; i++) {
    if (!chance(0.6)) continue;
    const from = operations[random.int(i)] as Operation;
    const to = operations[i] as Operation;
    const perPieceInAll = (op: Operation): boolean => op.modes.every((m) => m.phases.some((p) => p.work.kind === "perPiece"));
    const id = `l${i}`;
    if (perPieceInAll(from) && perPieceInAll(to) && from.pieces === to.pieces && chance(0.6))
      links.push({ kind: "transfer", id, from: from.id, to: to.id, pieces: between(1, 2) });
    else if (chance(0.12)) links.push({ kind: "sameMachine", id, from: from.id, to: to.id });
    else
      links.push({
        kind: "lag",
        id,
        from: from.id,
        to: to.id,
        minLag: chance(0.3) ? between(1, 8) : 0,
        maxLag: chance(0.25) ? between(10, 45) : null,
      });
  }
  const kitSpans: KitSpan[] = [];
  const lag = links.find((l) => l.kind === "lag");
  if (kits.length > 0 && lag && chance(0.3)) kitSpans.push({ id: "span", kit: "fixture", count: 1, from: lag.from, to: lag.to });

  const runHourRules: RunHourRule[] =
    operations.length > 1 && chance(0.15)
      ? [
          {
            id: "hours",
            machine: "m0",
            counter: between(0, 5),
            limit: between(8, 25),
            operations: [(operations[operations.length - 1] as Operation).id],
          },
        ]
      : [];

  return {
    name: `tiny ${seed}`,
    zone: "Europe/Berlin",
    origin: "2026-01-05T00:00:00Z",
    now,
    horizon,
    calendars,
    machines,
    crews,
    supplies,
    kits,
    orders,
    operations,
    links,
    kitSpans,
    runHourRules,
    published: null,
    freeze: null,
    weights: DEFAULT_WEIGHTS,
  };
}
