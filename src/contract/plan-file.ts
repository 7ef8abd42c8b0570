/**
 * The plan file: the one written form of a plan (JSON, versioned). Intervals are [start, end) in plan minutes; local times stand
 * beside them for people and are not read back. Reading promises a well-formed Plan for the given problem, not a good one:
 * that is the checker's business.
 */
import { z } from "zod";
import { localText, wallClock } from "../core/calendar/wall-clock.ts";
import { err, type Fault, ok, type Result } from "../core/ground/result.ts";
import type { Plan } from "../core/problem/plan.ts";
import type { Problem } from "../core/problem/problem.ts";
import { faultList, faultsOfSchema } from "./file/faults.ts";
import { entity, notes } from "./file/field.ts";
import { readJsonText } from "./file/json-text.ts";
import { minuteOfMoment } from "./file/moment.ts";
import { planBodySchema } from "./file/plan-schema.ts";
import { readPlanBody } from "./file/read-plan.ts";

export const PLAN_FORMAT = "slotwright-plan";
export const PLAN_VERSION = 1;

export const planFileSchema = entity({
  $schema: z.string().optional().meta({ description: "Address of this schema, for editors." }),
  format: z.literal(PLAN_FORMAT),
  version: z.literal(PLAN_VERSION),
  problem: z.string().max(200).optional().meta({ description: "Name of the problem it belongs to; for people." }),
  origin: z
    .string()
    .max(40)
    .optional()
    .meta({ description: "Minute 0 of the problem, an instant in UTC; must agree with the problem's when given." }),
  notes: notes.optional(),
  ...planBodySchema.shape,
}).meta({ id: "PlanFile", title: "Slotwright plan file, version 1" });

export type PlanFile = z.infer<typeof planFileSchema>;

export function readPlanFile(json: unknown, problem: Problem): Result<Plan, readonly Fault[]> {
  const parsed = planFileSchema.safeParse(json, { reportInput: true });
  if (!parsed.success) return err(faultsOfSchema(parsed.error));
  const faults = faultList();
  if (parsed.data.origin !== undefined && Date.parse(parsed.data.origin) !== Date.parse(problem.origin))
    faults.add(
      ["origin"],
      `is ${parsed.data.origin}, but minute 0 of the problem is ${problem.origin}; the plan belongs to another problem`,
    );
  const clock = wallClock(problem.zone, problem.origin);
  const operations = new Map(problem.operations.map((operation) => [operation.id, operation]));
  const plan = readPlanBody(parsed.data, [], operations, faults, (path, moment, side) => {
    const result = minuteOfMoment(moment, side, clock);
    if (result.ok) return result.value;
    faults.add(path, result.error);
    return 0;
  });
  return faults.faults.length > 0 ? err(faults.faults) : ok(plan);
}

/** The same from the text of a file; the faults then name lines too. */
export function readPlanText(text: string, problem: Problem): Result<Plan, readonly Fault[]> {
  const json = readJsonText(text);
  if (!json.ok) return json;
  const result = readPlanFile(json.value.value, problem);
  return result.ok ? result : err(json.value.withLines(result.error));
}

export function writePlanFile(problem: Problem, plan: Plan, note?: string): PlanFile {
  const clock = wallClock(problem.zone, problem.origin);
  return {
    format: PLAN_FORMAT,
    version: PLAN_VERSION,
    problem: problem.name,
    origin: problem.origin,
    ...(note === undefined ? {} : { notes: note }),
    operations: plan.operations.map(({ operation, lots }) => ({
      operation,
      lots: lots.map(({ mode, pieces, start, end, phases }) => ({
        mode,
        pieces,
        start,
        end,
        startLocal: localText(clock, start),
        endLocal: localText(clock, end),
        phases: phases.map(({ phase, work, crews }) => ({
          phase,
          work: work.map(([from, until]): [number, number] => [from, until]),
          crews: [...crews],
        })),
      })),
    })),
  };
}
