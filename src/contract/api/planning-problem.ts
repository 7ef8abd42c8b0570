/**
 * The compiled planning problem and plan as the browser receives them: core/problem written as schemas, so that what
 * leaves the server is checked like what comes in. Minutes throughout; see core/problem/problem.ts for the meanings.
 */

import { z } from "zod";
import { type CheckResult, CONFLICT_KINDS } from "../../core/check/conflict.ts";
import { COST_PARTS, type CostPart } from "../../core/problem/objective.ts";
import type { Plan } from "../../core/problem/plan.ts";
import type { Problem } from "../../core/problem/problem.ts";
import { asListOfLots } from "../file/order-schema.ts";

const minute = z.int();
const interval = z.tuple([minute, minute]);
const intervals = z.array(interval);
const steps = z.object({ at: z.array(minute), value: z.array(z.int()) });
const family = z.union([z.string(), z.int()]);
const nullableInt = z.int().nullable();

const plannedPhase = z.strictObject({ phase: z.int().min(0), work: intervals, crews: z.array(z.string()) });
const plannedLot = z.strictObject({
  mode: z.string(),
  pieces: z.int().min(0),
  start: minute,
  end: minute,
  phases: z.array(plannedPhase).max(1000),
});

export const planSchema = z
  .strictObject({
    operations: z.array(z.strictObject({ operation: z.string(), lots: z.array(plannedLot).max(1000) })).max(100_000),
  })
  .meta({ id: "PlanInMinutes", description: "Every lot, worked interval and crew, in minutes since the origin." });

const parts = Object.fromEntries(COST_PARTS.map((part) => [part, z.number()])) as Record<CostPart, z.ZodNumber>;
export const costSchema = z.object({ parts: z.object(parts), total: z.number() }).meta({ id: "Cost" });

export const conflictSchema = z
  .object({
    kind: z.enum(CONFLICT_KINDS),
    operations: z.array(z.string()),
    resource: z.string().nullable(),
    interval,
    amount: z.number(),
    sentence: z.string(),
  })
  .meta({ id: "Conflict" });

export const checkResultSchema = z.object({ conflicts: z.array(conflictSchema), cost: costSchema }).meta({ id: "CheckResult" });

const setup = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("none") }),
  z.object({
    kind: z.literal("table"),
    table: z.object({ id: z.string(), name: z.string(), families: z.array(z.string()), minutes: z.array(z.array(z.int())) }),
  }),
  z.object({ kind: z.literal("temperature"), rampPerMinute: z.int(), settling: z.int() }),
]);

const machine = z.object({
  id: z.string(),
  name: z.string(),
  group: z.string(),
  kind: z.enum(["machine", "rig"]),
  open: intervals,
  closures: z.array(z.object({ start: minute, end: minute, reason: z.string() })),
  setup,
  family: family.nullable(),
  unattended: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("never") }),
    z.object({ kind: z.literal("allowed"), windows: intervals.nullable(), maxMinutes: nullableInt }),
  ]),
  calibrations: z.array(z.object({ name: z.string(), due: minute, interval: minute })),
  abilities: z.array(z.object({ name: z.string(), unit: z.string(), from: z.number(), to: z.number() })),
});

const crew = z.object({
  id: z.string(),
  name: z.string(),
  skills: z.array(z.string()),
  headcount: steps,
  present: intervals,
  unsocial: intervals,
  shifts: z.array(z.object({ name: z.string(), start: minute, end: minute, people: z.int() })),
});

const order = z.object({
  id: z.string(),
  name: z.string(),
  kind: z.enum(["production", "prototype", "campaign", "maintenance"]),
  quantity: z.int(),
  scrapPerMille: z.int(),
  release: minute,
  due: nullableInt,
  deadline: nullableInt,
  weight: z.int(),
  requester: z.string().nullable(),
});

const phase = z.object({
  kind: z.enum(["prepare", "run", "clear"]),
  flow: z.enum(["solid", "pausable", "piecewise"]),
  work: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("fixed"), minutes: z.int() }),
    z.object({ kind: z.literal("perPiece"), seconds: z.int() }),
  ]),
  needs: z.array(z.object({ skill: z.string(), amount: z.int() })),
  draws: z.array(z.object({ supply: z.string(), amount: z.int() })),
  maxWait: nullableInt,
});

/** What really happened so far, as the core has it. */
export const progressViewSchema = z.object({
  done: z.array(z.object({ mode: z.string(), pieces: z.int(), start: minute, end: minute, scrap: z.int().exactOptional() })),
  running: z.preprocess(
    asListOfLots,
    z.array(
      z.object({
        mode: z.string(),
        pieces: z.int(),
        start: minute,
        phase: z.int(),
        crews: z.array(z.string()),
        remaining: minute,
        working: z.boolean(),
      }),
    ),
  ),
});

const operation = z.object({
  id: z.string(),
  order: z.string(),
  name: z.string(),
  piecesPerUnit: z.int(),
  pieces: z.int(),
  window: z.object({ start: nullableInt, end: nullableInt }),
  modes: z.array(
    z.object({
      id: z.string(),
      machines: z.array(z.string()),
      families: z.array(family.nullable()),
      calendar: z.string().nullable(),
      phases: z.array(phase),
    }),
  ),
  startSkill: z.string().nullable(),
  selfStart: z.boolean(),
  prepareEarly: z.boolean(),
  split: z.object({ lots: z.int(), minPieces: z.int() }).nullable(),
  needsCalibrations: z.array(z.string()),
  calibrates: z.array(z.string()),
  kits: z.array(z.object({ kit: z.string(), count: z.int() })),
  pin: z.object({ machines: z.array(z.string()).nullable(), start: nullableInt }).nullable(),
  progress: progressViewSchema,
});

const linkEnds = { id: z.string(), from: z.string(), to: z.string() };
const link = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("lag"), ...linkEnds, minLag: minute, maxLag: nullableInt }),
  z.object({ kind: z.literal("sameMachine"), ...linkEnds }),
  z.object({ kind: z.literal("transfer"), ...linkEnds, pieces: z.int() }),
]);

export const planningProblemSchema = z
  .object({
    name: z.string(),
    zone: z.string(),
    origin: z.string(),
    now: minute,
    horizon: minute,
    calendars: z.array(z.object({ id: z.string(), name: z.string(), open: intervals })),
    machines: z.array(machine),
    crews: z.array(crew),
    supplies: z.array(z.object({ id: z.string(), name: z.string(), unit: z.string(), amount: steps })),
    kits: z.array(z.object({ id: z.string(), name: z.string(), count: steps })),
    orders: z.array(order),
    operations: z.array(operation),
    links: z.array(link),
    kitSpans: z.array(z.object({ id: z.string(), kit: z.string(), count: z.int(), from: z.string(), to: z.string() })),
    runHourRules: z.array(
      z.object({ id: z.string(), machine: z.string(), counter: minute, limit: minute, operations: z.array(z.string()) }),
    ),
    published: planSchema.nullable(),
    freeze: nullableInt,
    weights: z.object(parts),
  })
  .meta({ id: "PlanningProblem", description: "The planning problem with calendars compiled, in minutes since the origin." });

/** What was received is a Problem; a field that one of the two lacks breaks the build here. */
export const asProblem = (received: z.infer<typeof planningProblemSchema>): Problem => received;
export const asPlan = (received: z.infer<typeof planSchema>): Plan => received;
export const asCheckResult = (received: z.infer<typeof checkResultSchema>): CheckResult => received;
