/** The draft plan, what publishing it would change for whom, and what was published when. */
import { z } from "zod";
import { entity, id, idOf, minutes, moment } from "../file/field.ts";
import { acknowledgedCautionSchema, acknowledgementsSchema, cautionSchema } from "./caution.ts";
import { heldSlotSchema } from "./hold.ts";
import { checkResultSchema, conflictSchema, planningProblemSchema, planSchema } from "./planning-problem.ts";

const publishedHead = z.object({ version: z.int(), publishedAt: z.string(), by: z.string() });

export const draftSchema = z
  .object({
    revision: z.int().meta({ description: "The ETag of the draft, without quotes." }),
    canUndo: z.boolean(),
    canRedo: z.boolean(),
    basedOn: z.int().nullable().meta({ description: "Published version it grew from." }),
    plan: planSchema,
    note: z.string(),
  })
  .meta({ id: "Draft" });

export const planViewSchema = z
  .object({
    problem: planningProblemSchema,
    published: publishedHead.nullable(),
    draft: draftSchema,
    check: checkResultSchema,
    assumed: z
      .array(z.string())
      .meta({ description: "Operations whose progress is taken from the published plan: nobody has reported it." }),
    holds: z.array(heldSlotSchema).meta({ description: "Slots held now, the next to end first." }),
  })
  .meta({ id: "PlanView" });
export type PlanView = z.infer<typeof planViewSchema>;

export const draftInputSchema = z
  .strictObject({ plan: planSchema, note: z.string().max(500).default("") })
  .meta({ id: "DraftInput" });

/** What every change of the draft answers: the new draft and the checker's word on it. */
export const draftAnswerSchema = z.object({ draft: draftSchema, check: checkResultSchema }).meta({ id: "DraftAnswer" });
export type DraftAnswer = z.infer<typeof draftAnswerSchema>;

export const pinInputSchema = z
  .strictObject({
    operation: idOf("operation"),
    pin: entity({
      machines: z.array(idOf("machine")).nullable().default(null),
      start: moment("Start of the first lot.").nullable().default(null),
    })
      .nullable()
      .meta({ description: "null lifts the pin." }),
  })
  .meta({ id: "PinInput" });

const placed = z.object({
  start: z.int(),
  end: z.int(),
  machines: z.array(z.string()),
  crews: z.array(z.string()),
  lots: z.int(),
});
export const operationChangeSchema = z
  .object({
    operation: z.string(),
    name: z.string(),
    order: z.string(),
    kind: z.enum(["added", "removed", "moved"]),
    before: placed.nullable(),
    after: placed.nullable(),
    sentence: z.string(),
  })
  .meta({ id: "OperationChange" });
export type OperationChange = z.infer<typeof operationChangeSchema>;

const changesFor = z.object({ id: z.string(), name: z.string(), changes: z.array(operationChangeSchema) });
export const planChangesSchema = z
  .object({
    machines: z
      .array(changesFor)
      .meta({ description: 'By machine, only those concerned; work without a machine under the id "".' }),
    crews: z.array(changesFor),
    changed: z.int().meta({ description: "Operations that change." }),
    becomeLate: z.array(
      z.object({ order: z.string(), name: z.string(), due: z.int(), before: z.int().nullable(), after: z.int(), late: z.int() }),
    ),
    noLongerLate: z.array(z.object({ order: z.string(), name: z.string() })),
    conflicts: z.array(conflictSchema),
  })
  .meta({ id: "PlanChanges" });
export type PlanChanges = z.infer<typeof planChangesSchema>;

/** What whoever publishes is shown first. */
export const publishCheckSchema = planChangesSchema
  .extend({
    cautions: z.array(cautionSchema).meta({ description: "Each has to be acknowledged by name before this is published." }),
    mayPublish: z.boolean().meta({ description: "Whether the one who asks may publish; else they may propose." }),
  })
  .meta({ id: "PublishCheck" });
export type PublishCheck = z.infer<typeof publishCheckSchema>;

export const publishInputSchema = z
  .strictObject({
    note: z.string().max(1000).default(""),
    acknowledgedBy: z.string().max(200).optional().meta({ description: "Name of whoever has read the conflicts." }),
    cautions: acknowledgementsSchema.default([]).meta({ description: "One for each caution of the draft (see /plan/changes)." }),
    proposal: z.int().optional().meta({ description: "The proposal that is meant; refused when the draft is another by now." }),
  })
  .meta({ id: "PublishInput" });

const versionHead = { ...publishedHead.shape, note: z.string(), acknowledgedBy: z.string().nullable() };
export const versionHeadSchema = z.object(versionHead);
export const versionListSchema = z
  .object({ items: z.array(z.object(versionHead)), total: z.int(), page: z.int(), size: z.int() })
  .meta({ id: "VersionList" });
export const versionSchema = z
  .object({
    ...versionHead,
    plan: planSchema,
    changes: planChangesSchema,
    cautions: z.array(acknowledgedCautionSchema).meta({ description: "As they were acknowledged, with the names." }),
  })
  .meta({ id: "PublishedVersion" });
export type VersionView = z.infer<typeof versionSchema>;

const whichLot = z
  .int()
  .min(0)
  .max(1000)
  .optional()
  .meta({ description: "Which of several lots that run side by side, from 0 in the order of their starts." });

const reportNote = z.string().trim().max(500).optional().meta({ description: "Kept with the report." });

export const progressInputSchema = z
  .discriminatedUnion("kind", [
    z.strictObject({
      kind: z.literal("started"),
      operation: id("operation"),
      mode: idOf("mode").optional().meta({ description: "Left out: as published." }),
      pieces: z.int().min(1).optional().meta({ description: "Left out: as published, else all that are left." }),
      start: moment("Real start; left out: now.").optional(),
      cautions: acknowledgementsSchema
        .optional()
        .meta({ description: "One for each caution of the operation (see /plan/cautions)." }),
    }),
    z.strictObject({
      kind: z.literal("remaining"),
      operation: id("operation"),
      lot: whichLot,
      remaining: minutes("Worked minutes still to do in the current phase."),
      working: z.boolean().default(true),
      phase: z.int().min(0).max(1000).optional().meta({ description: "Index of the phase it is in; left out: unchanged." }),
      note: reportNote,
    }),
    z.strictObject({
      kind: z.literal("done"),
      operation: id("operation"),
      lot: whichLot,
      end: moment("Real end; left out: now.").optional(),
      scrap: z.int().min(0).max(1_000_000).optional().meta({ description: "Pieces of it that came out bad; left out: none." }),
      note: reportNote,
    }),
    z.strictObject({ kind: z.literal("withdrawn"), operation: id("operation") }),
  ])
  .meta({
    id: "ProgressInput",
    description:
      "What an operator reports. `withdrawn` takes the last report back: a start is no start, and what was reported as done runs again.",
  });
export type ProgressInput = z.infer<typeof progressInputSchema>;
