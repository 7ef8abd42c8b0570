/** Upkeep that comes again: rules by which maintenance and calibration orders are made ahead, and what they ask for now. */
import { z } from "zod";
import { AMOUNT_MAX, entity, id, idOf, MINUTES_MAX, name, notes, whole } from "../file/field.ts";

const DATE = /^\d{4}-\d{2}-\d{2}$/;

const triggerSchema = z
  .discriminatedUnion("kind", [
    entity({
      kind: z.literal("days"),
      every: whole(1, 3_660, "Every so many days."),
      first: z
        .string()
        .regex(DATE, "expected a date such as 2026-06-08")
        .refine(
          (text) => !Number.isNaN(Date.parse(text)) && new Date(text).toISOString().startsWith(text),
          "there is no such date",
        )
        .meta({ description: "A date on which it was or will be due; the others are counted from it." }),
      counted: z.enum(["grid", "lastDone"]).default("grid").meta({
        description: "grid: from that date on, whatever was done. lastDone: from the day it was last done, one at a time.",
      }),
    }),
    entity({ kind: z.literal("runHours"), rule: idOf("run-hour rule") }),
    entity({
      kind: z.literal("calibration"),
      calibration: z.string().min(1).max(100).meta({ description: "Name of a calibration of the machine." }),
    }),
  ])
  .meta({ id: "UpkeepTrigger", description: "By days, by run hours, or before a calibration lapses." });

export const upkeepRuleSchema = entity({
  id: id("upkeep rule"),
  name: name.optional(),
  notes: notes.optional(),
  machine: idOf("machine"),
  trigger: triggerSchema,
  aheadDays: whole(1, 400, "An order is made so many days before it is due.").default(30),
  earlyDays: whole(0, 400, "It may be done so many days early.").default(14),
  lateDays: whole(0, 400, "By days: it may be done so many days late. A calibration is never done late.").default(0),
  task: entity({
    title: z.string().min(1).max(200).meta({ description: "What is done." }),
    minutes: whole(1, MINUTES_MAX, "How long it takes. Whole minutes."),
    skill: z.string().min(1).max(100).meta({ description: "Skill of who does it." }),
    people: whole(1, AMOUNT_MAX, "Hundredths of a person.").default(100),
  }).meta({ description: "The work of each time." }),
}).meta({ id: "UpkeepRule", description: "Maintenance or calibration that comes again." });
export type UpkeepRuleInFile = z.infer<typeof upkeepRuleSchema>;

/** made: the order is in the book. removed: it was, and a person took it out. due: it would be made now. */
export const upkeepViewSchema = z
  .object({
    rules: z.array(
      z.object({
        rule: z.string(),
        occasions: z.array(
          z.object({
            occasion: z.string(),
            state: z.enum(["due", "made", "removed"]),
            order: z.string(),
            due: z.int().nullable().meta({ description: "Minute; null: not known, or past." }),
          }),
        ),
      }),
    ),
  })
  .meta({ id: "UpkeepView" });
export type UpkeepView = z.infer<typeof upkeepViewSchema>;

export const upkeepInputSchema = z
  .strictObject({
    rule: idOf("upkeep rule").nullable().default(null).meta({ description: "null: all rules." }),
    again: z
      .boolean()
      .default(false)
      .meta({ description: "Also make what was made before and removed by a person. Only for one rule." }),
  })
  .meta({ id: "UpkeepInput" });
export type UpkeepInput = z.infer<typeof upkeepInputSchema>;

export const upkeepMadeSchema = z
  .object({
    made: z.array(z.object({ rule: z.string(), occasion: z.string(), order: z.string() })),
    failed: z.array(z.object({ rule: z.string(), occasion: z.string(), reason: z.string() })).meta({
      description: "What could not be made, and why: the rule needs a look.",
    }),
  })
  .meta({ id: "UpkeepMade" });
export type UpkeepMade = z.infer<typeof upkeepMadeSchema>;
