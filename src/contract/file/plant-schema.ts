/** What work uses, in files: setup tables, machines and rigs, crews, supplies, kits. Meanings: core/plant. */
import { z } from "zod";
import { AMOUNT_MAX, entity, id, idOf, listOf, MINUTES_MAX, minutes, moment, name, notes, whole } from "./field.ts";

const reason = z.string().max(500).default("").meta({ description: "Reason, for people." });

export const familySchema = z
  .union([z.string().min(1).max(100), z.int().min(-1_000_000_000).max(1_000_000_000)], {
    error: "expected the name of a family, or a temperature in thousandths of a kelvin (whole number)",
  })
  .meta({
    id: "Family",
    description: "A family of the machine's setup table; under the temperature rule a temperature in thousandths of a kelvin.",
  });

export const setupTableSchema = entity({
  id: id("setup table"),
  name: name.optional(),
  notes: notes.optional(),
  families: z.array(z.string().min(1).max(100)).min(1).max(1000).meta({ description: "Names of the families." }),
  minutes: z
    .array(z.array(minutes("Setup minutes.")))
    .meta({ description: "Setup minutes, minutes[from][to]: one row and one column for each family, the same one included." }),
}).meta({ id: "SetupTable", description: "Setup minutes from the family a machine stands in to the next one." });
export type SetupTableInFile = z.infer<typeof setupTableSchema>;

const setupSchema = z
  .discriminatedUnion("kind", [
    entity({ kind: z.literal("none") }),
    entity({ kind: z.literal("table"), table: idOf("setup table") }),
    entity({
      kind: z.literal("temperature"),
      rampPerMinute: whole(1, 100_000_000, "Ramp in thousandths of a kelvin per minute."),
      settling: minutes("Settling time when the temperatures differ.").default(0),
    }),
  ])
  .meta({ id: "SetupRule", description: "Setup minutes by a table of families, by temperature difference, or none." });

const unattendedSchema = z
  .discriminatedUnion("kind", [
    entity({ kind: z.literal("never") }),
    entity({
      kind: z.literal("allowed"),
      windows: idOf("calendar")
        .nullable()
        .default(null)
        .meta({ description: "Id of the calendar in whose open hours it may run alone; null: at any time." }),
      maxMinutes: whole(1, MINUTES_MAX, "Fewer than this many minutes may have passed since the site emptied.")
        .nullable()
        .default(null),
    }),
  ])
  .meta({
    id: "UnattendedRule",
    description:
      "When a phase that needs nobody may work though nobody is on site. Local rules for unattended running come first.",
  });

export const machineSchema = entity({
  id: id("machine"),
  name: name.optional(),
  notes: notes.optional(),
  group: z.string().max(100).default("").meta({ description: "Work centre under which screens list it." }),
  kind: z.enum(["machine", "rig"]).default("machine").meta({ description: "Machine or test rig; planned alike." }),
  calendar: idOf("calendar").nullable().default(null).meta({ description: "Id of its opening calendar; null: always open." }),
  closures: listOf(
    entity({
      start: moment("Begin."),
      end: moment("End, excluded; a date means its 24:00."),
      reason,
    }),
    "Fixed closures; they stop work but do not empty the machine.",
  ).default([]),
  setup: setupSchema.default({ kind: "none" }),
  family: familySchema
    .nullable()
    .default(null)
    .meta({ description: "Family it stands in at the origin; null: none, the first setup is free." }),
  unattended: unattendedSchema.default({ kind: "never" }),
  calibrations: listOf(
    entity({
      name: z.string().min(1).max(100).meta({ description: "Name by which operations ask for it." }),
      due: moment("Valid for what ends at or before it; a date means its 24:00."),
      interval: minutes("How long a new calibration is valid."),
    }),
    "Calibrations of the machine.",
  ).default([]),
  abilities: listOf(
    entity({
      name: z.string().min(1).max(100).meta({ description: "What is measured, for example torque." }),
      unit: z.string().max(20).default("").meta({ description: "Unit of both ends, for example N·m." }),
      from: z.number().min(-1e9).max(1e9).default(0).meta({ description: "Lower end of the range." }),
      to: z.number().min(-1e9).max(1e9).meta({ description: "Upper end of the range." }),
    }),
    "What it can do, in numbers: for choosing rigs and saying why one cannot. Planning does not look at them.",
  ).default([]),
}).meta({ id: "Machine", description: "A machine or test rig: one operation at a time." });
export type MachineInFile = z.infer<typeof machineSchema>;

export const crewSchema = entity({
  id: id("crew"),
  name: name.optional(),
  notes: notes.optional(),
  skills: listOf(z.string().min(1).max(100), "Skills that each of its people has.").default([]),
  calendar: idOf("calendar").meta({ description: "Id of its shift calendar." }),
  people: whole(0, AMOUNT_MAX, "Headcount in hundredths of a person, in shifts that name none of their own.").default(100),
  absences: listOf(
    entity({
      start: moment("Begin."),
      end: moment("End, excluded; a date means its 24:00."),
      people: whole(1, AMOUNT_MAX, "How many are away, in hundredths of a person; null: all.").nullable().default(null),
      reason,
    }),
    "People away.",
  ).default([]),
}).meta({ id: "Crew", description: "People who share a shift calendar and a set of skills; a crew of 100 is a person." });
export type CrewInFile = z.infer<typeof crewSchema>;

const changesOf = (what: string) =>
  listOf(
    z.union(
      [
        entity({
          start: moment("Begin."),
          end: moment("End, excluded; a date means its 24:00."),
          amount: whole(0, AMOUNT_MAX, `${what} in that stretch.`),
        }),
        entity({ calendar: idOf("calendar"), amount: whole(0, AMOUNT_MAX, `${what} in the open hours of that calendar.`) }),
      ],
      { error: 'expected { "start", "end", "amount" } or { "calendar", "amount" }' },
    ),
    `Stretches with another ${what.toLowerCase()}; later ones win.`,
  ).default([]);

export const supplySchema = entity({
  id: id("supply"),
  name: name.optional(),
  notes: notes.optional(),
  unit: z.string().max(20).default("").meta({ description: "Unit of the amount, for example kW." }),
  amount: whole(0, AMOUNT_MAX, "Amount that is there at all times, unless a change says otherwise."),
  changes: changesOf("Amount"),
}).meta({ id: "Supply", description: "An amount from which working phases draw." });
export type SupplyInFile = z.infer<typeof supplySchema>;

export const kitSchema = entity({
  id: id("kit"),
  name: name.optional(),
  notes: notes.optional(),
  count: whole(0, AMOUNT_MAX, "How many there are, unless a change says otherwise.").default(1),
  changes: changesOf("Count"),
}).meta({ id: "Kit", description: "Movable things that operations hold from start to end." });
export type KitInFile = z.infer<typeof kitSchema>;
