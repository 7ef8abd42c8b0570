/**
 * The problem file: the one written form of a planning problem (JSON, versioned), and its reading into a compiled Problem.
 * Promises: whatever `readProblemFile` accepts is a Problem that may be trusted - ids exist and are unique, setup tables are full,
 * amounts are whole, links have no cycle. What merely cannot hold (a pin, a deadline, too few people) is not refused here:
 * that is for the checker to say. Refusals name the place, what was found and what would make it right, all of them at once.
 */
import { z } from "zod";
import { err, type Fault, ok, type Result } from "../core/ground/result.ts";
import type { Problem } from "../core/problem/problem.ts";
import { calendarSchema } from "./file/calendar-schema.ts";
import { compileProblem } from "./file/compile-problem.ts";
import { faultsOfSchema } from "./file/faults.ts";
import { entity, listOf, moment, notes } from "./file/field.ts";
import { readJsonText } from "./file/json-text.ts";
import { kitSpanSchema, linkSchema, runHourRuleSchema } from "./file/link-schema.ts";
import { orderSchema } from "./file/order-schema.ts";
import { planBodySchema } from "./file/plan-schema.ts";
import { crewSchema, kitSchema, machineSchema, setupTableSchema, supplySchema } from "./file/plant-schema.ts";
import { weightsSchema } from "./file/weights-schema.ts";
import { faultsOfSettled, settledSchema } from "./settled.ts";

export const PROBLEM_FORMAT = "slotwright-problem";
export const PROBLEM_VERSION = 1;

export const problemFileSchema = entity({
  $schema: z.string().optional().meta({ description: "Address of this schema, for editors." }),
  format: z.literal(PROBLEM_FORMAT),
  version: z.literal(PROBLEM_VERSION),
  name: z.string().min(1).max(200).meta({ description: "Name of the problem." }),
  notes: notes.optional(),
  zone: z.string().min(1).max(100).default("UTC").meta({ description: "IANA time zone of the site, for example Europe/Berlin." }),
  origin: z
    .string()
    .max(40)
    .meta({ description: "Minute 0: a local date (its 00:00), a local date and time, or an instant with offset or Z." }),
  now: moment("Nothing starts before it; not before the origin. A date means its 00:00.").default(0),
  horizon: moment("Everything planned ends at or before it. A date means its 24:00."),
  calendars: listOf(calendarSchema, "Calendars.").default([]),
  machines: listOf(machineSchema, "Machines and rigs.").default([]),
  crews: listOf(crewSchema, "Crews. None: somebody is always on site and able to start.").default([]),
  supplies: listOf(supplySchema, "Supplies.").default([]),
  kits: listOf(kitSchema, "Kits.").default([]),
  setupTables: listOf(setupTableSchema, "Setup tables.").default([]),
  orders: listOf(orderSchema, "The order book.").default([]),
  links: listOf(linkSchema, "Links between operations, also across orders.").default([]),
  kitSpans: listOf(kitSpanSchema, "Kits held over several operations.").default([]),
  runHourRules: listOf(runHourRuleSchema, "Maintenance due by run hours.").default([]),
  published: planBodySchema.nullable().default(null).meta({ description: "The published plan; null: none." }),
  freeze: moment("Published work that starts before it is frozen; null: nothing is. A date means its 00:00.")
    .nullable()
    .default(null),
  weights: weightsSchema.prefault({}),
  settled: settledSchema.optional(),
}).meta({ id: "ProblemFile", title: "Slotwright problem file, version 1" });

/** As read: defaults filled in. */
export type ProblemFile = z.infer<typeof problemFileSchema>;
/** As written by people: everything with a default may be left out. */
export type ProblemFileInput = z.input<typeof problemFileSchema>;

export function readProblemFile(json: unknown): Result<Problem, readonly Fault[]> {
  const parsed = problemFileSchema.safeParse(json, { reportInput: true });
  if (!parsed.success) return err(faultsOfSchema(parsed.error));
  const { problem, faults: found } = compileProblem(parsed.data);
  const faults = [...found, ...(parsed.data.settled ? faultsOfSettled(parsed.data.settled, parsed.data) : [])];
  return faults.length > 0 || problem === null ? err(faults) : ok(problem);
}

/** The same from the text of a file; the faults then name lines too. */
export function readProblemText(text: string): Result<Problem, readonly Fault[]> {
  const json = readJsonText(text);
  if (!json.ok) return json;
  const result = readProblemFile(json.value.value);
  return result.ok ? result : err(json.value.withLines(result.error));
}
