/** "Which rig is free?": windows of a length on rigs that can, what would have to move for a better one, and why the others cannot. */
import { z } from "zod";
import { AMOUNT_MAX, entity, idOf, listOf, MINUTES_MAX, moment, whole } from "../../file/field.ts";
import { scenarioIdSchema } from "../scenario-id.ts";

const minute = z.int();

export const windowWishSchema = entity({
  minutes: whole(1, MINUTES_MAX, "Length of the window, in minutes."),
  unattended: z.boolean().default(false).meta({
    description: "It may run while nobody is on site, where the rig's rule lets it; false: somebody is there throughout.",
  }),
  skill: z
    .string()
    .min(1)
    .max(100)
    .nullable()
    .default(null)
    .meta({ description: "A person of this skill for the whole time; null: nobody's time is taken." }),
  draws: listOf(
    entity({ supply: idOf("supply"), amount: whole(1, AMOUNT_MAX, "Amount for the whole time.") }),
    "Supplies drawn for the whole time.",
  ).default([]),
  machines: z
    .array(idOf("machine"))
    .max(1000)
    .nullable()
    .default(null)
    .meta({ description: "Only these; null: all of the kind." }),
  of: z.enum(["rig", "machine", "any"]).default("rig").meta({ description: "Rigs, machines that are no rigs, or both." }),
  needs: listOf(
    entity({
      name: z.string().min(1).max(100),
      unit: z.string().max(20).default(""),
      from: z.number().nullable().default(null),
      to: z.number().nullable().default(null),
    }),
    "Ranges that it must reach.",
  ).default([]),
  calibrations: listOf(z.string().min(1).max(100), "Calibrations that must be valid to the end.").default([]),
  earliest: moment("Begins at or after it; null: now.").nullable().default(null),
  before: moment("Ends at or before it; null: the horizon. A date means its 24:00.").nullable().default(null),
  restMost: whole(
    0,
    1440,
    "It may rest for so many minutes in all, over breaks of its people; the machine stays occupied. 0: it works without a break.",
  ).default(0),
  windowsMost: whole(1, 20, "Windows listed for each machine.").default(3),
});
export type WindowWishInput = z.infer<typeof windowWishSchema>;

export const freeWindowsInputSchema = windowWishSchema
  .extend({ kind: z.literal("freeWindows"), scenario: scenarioIdSchema })
  .meta({ id: "FreeWindowsInput" });

export const freeWindowSchema = z.object({
  machine: z.string(),
  name: z.string(),
  start: minute,
  end: minute,
  freeFrom: minute.meta({ description: "The machine is free from here ..." }),
  freeUntil: minute.meta({ description: "... to here; the horizon when nothing follows." }),
  after: z.string().nullable().meta({ description: "Operation that ends where the machine becomes free; null: none." }),
  next: z.string().nullable().meta({ description: "Operation that follows; null: none." }),
  nightMinutes: z.int().meta({ description: "Minutes of it while nobody is on site." }),
  crews: z.array(z.string()).meta({ description: "Who attends it." }),
  rests: z.array(z.tuple([minute, minute])).meta({ description: "Breaks within it, in which it does not work." }),
});
export type FreeWindowView = z.infer<typeof freeWindowSchema>;

export const freeWindowsAnswerSchema = z
  .object({
    minutes: z.int(),
    earliest: minute,
    before: minute,
    windows: z.array(freeWindowSchema).meta({ description: "The earliest first." }),
    better: z
      .array(
        z.object({
          machine: z.string(),
          name: z.string(),
          start: minute,
          end: minute,
          moves: z.string().meta({ description: "The operation that would have to move." }),
          movesName: z.string(),
          order: z.string(),
          orderName: z.string(),
          movesFrom: minute.nullable(),
          movesTo: minute.nullable().meta({ description: "Where it would begin; null: no place without moving more." }),
          movesOnto: z.array(z.string()).meta({ description: "The machines it would then stand on." }),
          makesLate: z.boolean(),
        }),
      )
      .meta({ description: "Earlier windows that exist once one operation moves." }),
    why: z.array(z.string()).meta({ description: "What stands against it on every machine, where that is known." }),
    full: z.array(z.object({ machine: z.string(), name: z.string() })).meta({ description: "Can, but has no such window." }),
    cannot: z
      .array(z.object({ machine: z.string(), name: z.string(), reasons: z.array(z.string()) }))
      .meta({ description: "Cannot, with the numbers." }),
  })
  .meta({ id: "FreeWindowsAnswer" });
export type FreeWindowsAnswer = z.infer<typeof freeWindowsAnswerSchema>;

/** The same as a line of an address: `hours=6&unattended=true&before=2026-06-12&supply=dc=150`. */
const several = z.union([z.string().max(200), z.array(z.string().max(200)).max(50)]).optional();
export const freeWindowsQuerySchema = z.strictObject({
  hours: z.coerce
    .number()
    .min(1 / 60)
    .max(MINUTES_MAX / 60)
    .meta({ description: "Length of the window." }),
  unattended: z.enum(["true", "false"]).default("false"),
  before: z.string().max(40).optional().meta({ description: "A local date or date and time." }),
  after: z.string().max(40).optional().meta({ description: "A local date or date and time." }),
  supply: several.meta({ description: "`name=amount`; may be repeated." }),
  rig: several.meta({ description: "Id of a rig or machine; may be repeated." }),
  ability: several.meta({ description: "`name=value unit`, for example `torque=200 N·m`; may be repeated." }),
  skill: z.string().min(1).max(100).optional(),
  of: z.enum(["rig", "machine", "any"]).default("rig"),
  rest: z.coerce.number().int().min(0).max(1440).default(0).meta({ description: "Minutes it may rest in all, over breaks." }),
  windows: z.coerce.number().int().min(1).max(20).default(3),
});
export type FreeWindowsQuery = z.infer<typeof freeWindowsQuerySchema>;
