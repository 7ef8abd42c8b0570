/** Orders with their operations, modes and phases, in files. Meanings: core/orders. */
import { z } from "zod";
import { AMOUNT_MAX, entity, id, idOf, listOf, MINUTES_MAX, minutes, moment, name, notes, PIECES_MAX, whole } from "./field.ts";
import { familySchema } from "./plant-schema.ts";

const workSchema = z
  .discriminatedUnion("kind", [
    entity({ kind: z.literal("fixed"), minutes: minutes("Work, whatever the quantity.") }),
    entity({ kind: z.literal("perPiece"), seconds: whole(60, MINUTES_MAX * 60, "Seconds per piece, 60 or more.") }),
  ])
  .meta({ id: "Work", description: "The first i pieces take ceil(i x seconds / 60) worked minutes." });

export const phaseSchema = entity({
  kind: z.enum(["prepare", "run", "clear"]).meta({ description: "At most one prepare, the first." }),
  flow: z.enum(["solid", "pausable", "piecewise"]).meta({
    description: "solid: never interrupted; pausable: rests in unworkable minutes; piecewise: rests only between pieces.",
  }),
  work: workSchema,
  needs: listOf(
    entity({
      skill: z.string().min(1).max(100).meta({ description: "Skill of the crew." }),
      amount: whole(1, AMOUNT_MAX, "Hundredths of a person.").default(100),
    }),
    "People for the whole phase, each need from one crew. None: unattended (on a machine).",
  ).default([]),
  draws: listOf(
    entity({ supply: idOf("supply"), amount: whole(1, AMOUNT_MAX, "Amount while it works.") }),
    "Supplies drawn.",
  ).default([]),
  maxWait: minutes("Longest wait after the phase before it ended; null: any.").nullable().default(null),
}).meta({ id: "Phase" });

export const modeSchema = entity({
  id: id("mode, unique within the operation"),
  notes: notes.optional(),
  machines: listOf(idOf("machine"), "Machines occupied together; none: bench work or an outside process.").default([]),
  families: z
    .array(familySchema.nullable())
    .optional()
    .meta({ description: "Setup family for each machine, in the same order; null or left out: changes nothing there." }),
  calendar: idOf("calendar")
    .nullable()
    .default(null)
    .meta({ description: "Without machines: work counts in the open minutes of this calendar; null: elapsed time." }),
  phases: listOf(phaseSchema, "Phases in their order."),
}).meta({ id: "Mode", description: "One way to do the operation." });

const doneLotSchema = entity({
  mode: idOf("mode"),
  pieces: whole(1, PIECES_MAX, "Pieces of the lot; left out: all of the operation.").optional(),
  start: moment("Real start."),
  end: moment("Real end."),
  scrap: whole(1, PIECES_MAX, "Pieces of it that came out bad, as reported; left out: none.").optional(),
});

const runningLotSchema = entity({
  mode: idOf("mode"),
  pieces: whole(1, PIECES_MAX, "Pieces it was started with; left out: all that are not done.").optional(),
  start: moment("Real start."),
  phase: whole(0, 1000, "Index of the current phase in the mode."),
  crews: listOf(idOf("crew"), "Crew of each need of the current phase.").default([]),
  remaining: minutes("Worked minutes still to do in the current phase, setup within."),
  working: z.boolean().default(true).meta({ description: "It works right now, so nobody need start it." }),
});

/** Files and rows written before lots could run side by side have one lot, or null. */
export const asListOfLots = (value: unknown): unknown =>
  value === null ? [] : Array.isArray(value) || value === undefined ? value : [value];

const progressSchema = entity({
  done: listOf(doneLotSchema, "Lots that are done.").default([]),
  running: z
    .preprocess(asListOfLots, z.array(runningLotSchema).max(1000))
    .default([])
    .meta({ description: "Lots that have begun and are not done; one lot alone, or null for none, is read too." }),
}).meta({ id: "Progress", description: "What really happened so far." });
export type ProgressInFile = z.infer<typeof progressSchema>;

export const operationSchema = entity({
  id: id("operation, unique in the whole problem"),
  name: name.optional(),
  notes: notes.optional(),
  piecesPerUnit: whole(1, PIECES_MAX, "Its pieces for each piece of the order.").default(1),
  window: entity({
    start: moment("Begin.").nullable().default(null),
    end: moment("End; a date means its 24:00.").nullable().default(null),
  })
    .default({ start: null, end: null })
    .meta({ description: "It starts and ends inside." }),
  modes: z.array(modeSchema).min(1).max(1000).meta({ description: "Ways to do it; the engine chooses." }),
  startSkill: z
    .string()
    .min(1)
    .max(100)
    .nullable()
    .default(null)
    .meta({ description: "Skill of those who may start an unattended phase; null: any crew." }),
  selfStart: z.boolean().default(false).meta({ description: "Unattended phases start by themselves (pallet changer)." }),
  prepareEarly: z
    .boolean()
    .default(false)
    .meta({ description: "The machine may be prepared before release and before linked work has ended." }),
  split: entity({
    lots: whole(1, 1000, "At most so many lots."),
    minPieces: whole(1, PIECES_MAX, "Each of at least so many pieces."),
  })
    .nullable()
    .default(null)
    .meta({ description: "How the batch may be cut into lots; null: not." }),
  needsCalibrations: listOf(z.string().min(1).max(100), "Names of calibrations that must be valid to its end.").default([]),
  calibrates: listOf(z.string().min(1).max(100), "Names of calibrations that it renews.").default([]),
  kits: listOf(
    entity({ kit: idOf("kit"), count: whole(1, AMOUNT_MAX, "How many.").default(1) }),
    "Kits held from start to end, by each lot.",
  ).default([]),
  pin: entity({
    machines: z
      .array(idOf("machine"))
      .nullable()
      .default(null)
      .meta({ description: "Set of machines, for every lot; null: not fixed." }),
    start: moment("Start of the first lot.").nullable().default(null),
  })
    .nullable()
    .default(null)
    .meta({ description: "What a planner has fixed." }),
  progress: progressSchema.default({ done: [], running: [] }),
}).meta({ id: "Operation" });
export type OperationInFile = z.infer<typeof operationSchema>;

export const orderSchema = entity({
  id: id("order"),
  name: name.optional(),
  notes: notes.optional(),
  kind: z
    .enum(["production", "prototype", "campaign", "maintenance"])
    .default("production")
    .meta({ description: "What it is for; planned alike." }),
  quantity: whole(1, PIECES_MAX, "Good pieces wanted.").default(1),
  scrapPerMille: whole(0, 999, "Expected scrap, per mille.").default(0),
  release: moment("Material on hand: nothing starts earlier.").default(0),
  due: moment("What was promised; null: nothing. A date means its 24:00.").nullable().default(null),
  deadline: moment("Ending later is a conflict; null: none. A date means its 24:00.").nullable().default(null),
  weight: whole(0, AMOUNT_MAX, "Weight of its lateness.").default(1),
  requester: z.string().max(200).nullable().default(null).meta({ description: "Who asked for it." }),
  operations: z.array(operationSchema).min(1).max(10_000).meta({ description: "Its operations; their order is set by links." }),
}).meta({ id: "Order" });
export type OrderInFile = z.infer<typeof orderSchema>;
