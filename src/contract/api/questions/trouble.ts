/**
 * "Something went wrong": what one trouble breaks in the plan as it lies, and the answers that mend it. The answer carries the
 * edits of the shop that say so; sent as a step together with one of the plans they are taken in, and taken back as one.
 */
import { z } from "zod";
import { idOf, minutes, moment, PIECES_MAX, whole } from "../../file/field.ts";
import { conflictSchema, planSchema } from "../planning-problem.ts";
import { scenarioIdSchema } from "../scenario-id.ts";
import { type ShopEdit, shopEditSchema } from "../step.ts";

const reason = z.string().max(500).default("").meta({ description: "What people should read there." });
const from = moment("From when; left out: now.").optional();

export const troubleSchema = z
  .discriminatedUnion("kind", [
    z.strictObject({
      kind: z.literal("machineStopped"),
      machine: idOf("machine"),
      from,
      until: moment("Until when; a date means its 24:00; null: nobody knows, planned as standing to the horizon.")
        .nullable()
        .default(null),
      reason,
    }),
    z.strictObject({
      kind: z.literal("machineRuns"),
      machine: idOf("machine"),
      from: moment("From when it runs again; left out: now.").optional(),
    }),
    z.strictObject({
      kind: z.literal("personAbsent"),
      crew: idOf("crew"),
      from,
      until: moment("Until when; a date means its 24:00."),
      people: whole(1, 1_000_000, "How many are away, in hundredths of a person; null: all.").nullable().default(null),
      reason,
    }),
    z.strictObject({ kind: z.literal("materialLate"), order: idOf("order"), release: moment("When the material is there.") }),
    z.strictObject({
      kind: z.literal("piecesScrapped"),
      lostAt: idOf("operation").meta({ description: "Where they were lost: they must pass it again." }),
      from: idOf("operation")
        .nullable()
        .default(null)
        .meta({ description: "Where they begin again; null: at the beginning of the route." }),
      pieces: whole(1, PIECES_MAX, "Good pieces missing."),
    }),
    z.strictObject({
      kind: z.literal("runStopped"),
      operation: idOf("operation"),
      lot: whole(0, 1000, "Which of several running lots, from 0 by start; left out: the one that runs.").optional(),
      remaining: minutes("Worked minutes still to do in its current phase."),
    }),
    z.strictObject({
      kind: z.literal("dateChanged"),
      order: idOf("order"),
      due: moment("Left out: as before; null: nothing is promised any more; a date means its 24:00.").nullable().optional(),
      deadline: moment("Left out: as before; null: none; a date means its 24:00.").nullable().optional(),
    }),
    z.strictObject({
      kind: z.literal("quantityChanged"),
      order: idOf("order"),
      quantity: whole(1, PIECES_MAX, "Good pieces wanted now."),
    }),
  ])
  .meta({ id: "Trouble" });
/** As told: moments as people write them. */
export type ToldTrouble = z.output<typeof troubleSchema>;

export const troubleInputSchema = z
  .strictObject({ kind: z.literal("trouble"), scenario: scenarioIdSchema, trouble: troubleSchema })
  .meta({ id: "TroubleInput" });

const minute = z.int().nullable();
const orderShift = z.object({
  order: z.string(),
  due: minute,
  before: minute.meta({ description: "Completion; null: not planned." }),
  after: minute,
  lateBefore: z.int(),
  lateAfter: z.int(),
});

export const repairAnswerSchema = z
  .object({
    kind: z.enum(["leastMovement", "leastLateness"]),
    plan: planSchema,
    conflicts: z.array(conflictSchema),
    moved: z
      .array(
        z.object({
          operation: z.string(),
          order: z.string(),
          from: minute,
          to: minute,
          machinesBefore: z.array(z.string()),
          machinesAfter: z.array(z.string()),
        }),
      )
      .meta({ description: "Operations that lie elsewhere; work that is new is not among them." }),
    orders: z.array(orderShift).meta({ description: "Orders that end elsewhere." }),
    toldAnew: z.object({ machines: z.array(z.string()), crews: z.array(z.string()) }),
    added: z.object({ order: z.string(), end: minute }).nullable().meta({ description: "The order that makes pieces again." }),
    lateMinutes: z.int().meta({ description: "Minutes of lateness of all orders together." }),
    cost: z.number(),
  })
  .meta({ id: "RepairAnswer" });
export type RepairAnswer = z.infer<typeof repairAnswerSchema>;

export const troubleAnswerSchema = z
  .object({
    edits: z.array(shopEditSchema as z.ZodType<ShopEdit>).meta({ description: "What the trouble changes in the shop." }),
    breaks: z.object({
      conflicts: z.array(conflictSchema).meta({ description: "Conflicts of the plan as it lies that it had not before." }),
      orders: z.array(orderShift).meta({ description: "Orders that are late by another amount although nothing moved." }),
    }),
    lateMinutes: z.int().meta({ description: "Minutes of lateness of all orders if the plan stays as it lies." }),
    answers: z.array(repairAnswerSchema).meta({ description: "Empty while they are looked for; best first." }),
  })
  .meta({ id: "TroubleAnswer" });
export type TroubleAnswer = z.infer<typeof troubleAnswerSchema>;
