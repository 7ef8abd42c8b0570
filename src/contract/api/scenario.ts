/**
 * Scenarios: named what-ifs beside the plan. Each holds changes of the shop and a plan for the shop so changed; nobody follows it
 * until it is merged, and then it becomes one step of the draft. Changed with If-Match, so that two planners never overwrite each other.
 */
import { z } from "zod";
import { COST_ITEMS, type CostItem } from "../../core/scenario/money.ts";
import { scenarioChangeSchema } from "../scenario/change.ts";
import { planSchema } from "./planning-problem.ts";

export const SCENARIO_STATES = ["open", "merged", "dropped"] as const;
export type ScenarioState = (typeof SCENARIO_STATES)[number];

const name = z.string().trim().min(1).max(120);
const note = z.string().max(2000);
const changes = z.array(scenarioChangeSchema).max(200);

export const scenarioInputSchema = z
  .strictObject({
    name,
    note: note.default(""),
    from: z.uuid().nullable().default(null).meta({ description: "Scenario to branch from; null: the draft." }),
    changes: changes.default([]).meta({ description: "Added to those of `from`." }),
    plan: planSchema.nullable().default(null).meta({ description: "A plan for the changed shop; null: not planned yet." }),
  })
  .meta({ id: "ScenarioInput" });
export type ScenarioInput = z.infer<typeof scenarioInputSchema>;

export const scenarioPatchSchema = z
  .strictObject({
    name: name.optional(),
    note: note.optional(),
    changes: changes.optional(),
    plan: planSchema.nullable().optional().meta({ description: "null: back to the draft's plan." }),
  })
  .meta({ id: "ScenarioPatch", description: "What is left out stays." });
export type ScenarioPatch = z.infer<typeof scenarioPatchSchema>;

/** draft: it shows the draft's plan in the changed shop. old: planned, and changed since. */
export const PLANNED = ["draft", "planned", "old"] as const;

export const scenarioHeadSchema = z
  .object({
    id: z.string(),
    name: z.string(),
    note: z.string(),
    state: z.enum(SCENARIO_STATES),
    revision: z.int().meta({ description: "The ETag, without quotes." }),
    planned: z.enum(PLANNED),
    changes: z.int().meta({ description: "How many." }),
    basedOnDraft: z.int().nullable(),
    author: z.string(),
    createdAt: z.string(),
    changedBy: z.string(),
    changedAt: z.string(),
  })
  .meta({ id: "ScenarioHead" });
export type ScenarioHead = z.infer<typeof scenarioHeadSchema>;
export const scenarioListSchema = z.object({ items: z.array(scenarioHeadSchema) }).meta({ id: "ScenarioList" });

const trouble = z
  .object({ change: z.int().meta({ description: "Index of the change." }), field: z.string(), message: z.string() })
  .meta({ id: "ScenarioTrouble", description: "A change that speaks of what is not there any more; it is left out." });

export const scenarioSchema = scenarioHeadSchema
  .extend({ changes: z.array(scenarioChangeSchema), troubles: z.array(trouble) })
  .meta({ id: "Scenario" });
export type ScenarioView = z.infer<typeof scenarioSchema>;

export const COMPARED_MOST = 5;
export const comparisonQuerySchema = z.strictObject({
  ids: z
    .string()
    .transform((text) => text.split(",").filter((id) => id !== ""))
    .pipe(z.array(z.uuid()).min(1).max(COMPARED_MOST))
    .meta({ description: "One to five scenarios, separated by commas; the draft always stands beside them." }),
});

const minutes = z.number();
const place = z.object({ start: z.int(), end: z.int(), machines: z.array(z.string()) });
const items = Object.fromEntries(COST_ITEMS.map((item) => [item, z.number()])) as Record<CostItem, z.ZodNumber>;

export const scenarioMeasuresSchema = z.object({
  conflicts: z.int(),
  notPlanned: z.int().meta({ description: "Operations that should be in the plan and are not." }),
  lateOrders: z.int(),
  lateMinutes: minutes,
  end: minutes.meta({ description: "Minute at which the last work ends." }),
  disturbance: z.number().meta({ description: "Movement of published work, weighted by nearness." }),
  setups: z.int(),
  setupMinutes: minutes,
  waitingMinutes: minutes,
  nightMinutes: minutes.meta({ description: "Machine-minutes worked while nobody is on site." }),
  unsocialPersonMinutes: minutes,
  addedPersonMinutes: minutes.meta({ description: "Overtime: person-minutes more than today's shifts." }),
  workedPersonMinutes: minutes.meta({ description: "Of them those in which somebody is needed." }),
  addedMachineMinutes: minutes,
  cost: z.number().meta({ description: "Weighted cost of the plan." }),
});
export type ScenarioMeasures = z.infer<typeof scenarioMeasuresSchema>;

export const scenarioColumnSchema = z.object({
  id: z.string().nullable().meta({ description: "null: the draft." }),
  name: z.string(),
  fault: z.string().nullable().meta({ description: "Why it cannot be measured: the changed shop does not hold together." }),
  measures: scenarioMeasuresSchema.nullable(),
  load: z.array(z.object({ machine: z.string(), occupied: minutes, open: minutes })),
  money: z
    .object({ items: z.object(items), total: z.number() })
    .nullable()
    .meta({ description: "In the shop's currency; null: no rates are given." }),
  moved: z
    .array(
      z.object({
        operation: z.string(),
        name: z.string(),
        order: z.string(),
        from: place.nullable(),
        to: place.nullable(),
      }),
    )
    .meta({ description: "Against the draft; the first 300." }),
  movedCount: z.int(),
});
export type ScenarioColumn = z.infer<typeof scenarioColumnSchema>;

export const scenarioComparisonSchema = z
  .object({
    draftRevision: z.int(),
    from: z.int(),
    until: z.int().meta({ description: "Load is counted from `from` to this minute." }),
    currency: z.string().nullable(),
    machines: z.array(z.object({ id: z.string(), name: z.string() })),
    columns: z.array(scenarioColumnSchema).meta({ description: "The draft first." }),
    orders: z
      .array(
        z.object({
          order: z.string(),
          name: z.string(),
          sides: z.array(z.object({ due: z.int().nullable(), end: z.int().nullable(), late: minutes })),
        }),
      )
      .meta({ description: "Late in one column or ending elsewhere in two; worst first, the first 200. Sides as the columns." }),
    ordersCount: z.int(),
  })
  .meta({ id: "ScenarioComparison" });
export type ScenarioComparison = z.infer<typeof scenarioComparisonSchema>;
