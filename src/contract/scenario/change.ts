/**
 * One change of a what-if, as a planner says it: "Mill 1 is down from Monday to Wednesday", not a copy of the machine. Changes are
 * applied to the shop as it is when somebody looks (edits-of-changes.ts), so what happened meanwhile is never overwritten by an old
 * copy. `edits` is the way out for everything that has no form.
 */
import { z } from "zod";
import { routeTemplateSchema } from "../api/shop.ts";
import { shopEditSchema } from "../api/step.ts";
import { AMOUNT_MAX, date, entity, id, idOf, listOf, MINUTES_MAX, moment, PIECES_MAX, whole } from "../file/field.ts";

const reason = z.string().max(500).default("").meta({ description: "Reason, for people." });
const wallTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, "expected a wall-clock time, HH:MM from 00:00 to 23:59");
const wallTimeEnd = z
  .string()
  .regex(/^(([01]\d|2[0-3]):[0-5]\d|24:00)$/, "expected a wall-clock time, HH:MM from 00:00 to 24:00");

export const machineDownSchema = entity({
  kind: z.literal("machineDown"),
  machine: idOf("machine"),
  start: moment("Begin."),
  end: moment("End, excluded; a date means its 24:00."),
  reason,
});

/** One stretch, or the same hours on several days. */
const hoursWhen = z.union(
  [
    entity({ start: moment("Begin."), end: moment("End, excluded.") }),
    entity({
      from: date,
      last: date.meta({ description: "Last date, included." }),
      days: z
        .array(z.literal([1, 2, 3, 4, 5, 6, 7]))
        .min(1)
        .meta({ description: "ISO weekdays, Monday 1 to Sunday 7." }),
      begin: wallTime,
      until: wallTimeEnd.meta({ description: "Not after `begin`: on the next day." }),
    }),
  ],
  { error: 'expected { "start", "end" } or { "from", "last", "days", "begin", "until" }' },
);

/** Overtime on a day, a Saturday, a second shift: people come, machines are open. */
export const moreHoursSchema = entity({
  kind: z.literal("moreHours"),
  crew: idOf("crew").nullable().default(null).meta({ description: "Who comes; null: only machines are open longer." }),
  machines: listOf(idOf("machine"), "Machines opened for it; those open at all times need no mention.").default([]),
  people: whole(1, AMOUNT_MAX, "How many come, in hundredths of a person; null: all of the crew.").nullable().default(null),
  unsocial: z.boolean().default(true).meta({ description: "Hours that cost extra." }),
  when: hoursWhen,
});

export const fewerPeopleSchema = entity({
  kind: z.literal("fewerPeople"),
  crew: idOf("crew"),
  start: moment("Begin."),
  end: moment("End, excluded; a date means its 24:00."),
  people: whole(1, AMOUNT_MAX, "How many are away, in hundredths of a person; null: all.").nullable().default(null),
  reason,
});

export const orderChangeSchema = entity({
  kind: z.literal("order"),
  order: idOf("order"),
  release: moment("Material on hand; left out: as it is.").optional(),
  due: moment("What was promised; null: nothing; left out: as it is.").nullable().optional(),
  weight: whole(0, AMOUNT_MAX, "Weight of its lateness; left out: as it is.").optional(),
  quantity: whole(1, PIECES_MAX, "Good pieces wanted; left out: as it is.").optional(),
});

export const qualifySchema = entity({
  kind: z.literal("qualify"),
  operation: idOf("operation"),
  mode: idOf("mode").nullable().default(null).meta({ description: "Mode to copy; null: the first." }),
  instead: idOf("machine").nullable().default(null).meta({ description: "Machine of that mode to replace; null: its first." }),
  machine: idOf("machine").meta({ description: "Machine that may do it too." }),
});

export const splitSchema = entity({
  kind: z.literal("split"),
  operation: idOf("operation"),
  lots: whole(2, 1000, "At most so many lots."),
  minPieces: whole(1, PIECES_MAX, "Each of at least so many pieces."),
});

export const buySchema = entity({
  kind: z.literal("buy"),
  operation: idOf("operation"),
  minutes: whole(1, MINUTES_MAX, "Lead time, whole minutes."),
});

export const newOrdersSchema = entity({
  kind: z.literal("newOrders"),
  prefix: id("new orders, in front of week and number"),
  route: routeTemplateSchema,
  perWeek: whole(1, 50, "Orders each week."),
  quantity: whole(1, PIECES_MAX, "Good pieces of each order."),
  from: date.meta({ description: "First release; a week later the next ones." }),
  weeks: whole(1, 52, "For so many weeks."),
  leadDays: whole(1, 366, "Promised so many days after release."),
  weight: whole(0, AMOUNT_MAX, "Weight of their lateness.").default(1),
});
export type NewOrders = z.infer<typeof newOrdersSchema>;

export const extraMachineSchema = entity({
  kind: z.literal("extraMachine"),
  like: idOf("machine").meta({ description: "Machine or rig it is like; it may do all the same work." }),
  id: id("new machine"),
});

export const editsSchema = entity({ kind: z.literal("edits"), edits: z.array(shopEditSchema).min(1).max(1000) });

export const scenarioChangeSchema = z
  .discriminatedUnion("kind", [
    machineDownSchema,
    moreHoursSchema,
    fewerPeopleSchema,
    orderChangeSchema,
    qualifySchema,
    splitSchema,
    buySchema,
    newOrdersSchema,
    extraMachineSchema,
    editsSchema,
  ])
  .meta({ id: "ScenarioChange", description: "One change of a what-if." });
export type ScenarioChange = z.infer<typeof scenarioChangeSchema>;
export type ScenarioChangeInput = z.input<typeof scenarioChangeSchema>;
export type ScenarioChangeKind = ScenarioChange["kind"];
