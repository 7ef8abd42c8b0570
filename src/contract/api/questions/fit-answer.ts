/** One way to fit an order into the draft, as rush and promise answer it: what it brings, and whom it costs what. */
import { z } from "zod";
import { RUSH_LABELS } from "../../../core/plan/rush-choice.ts";
import { COST_ITEMS } from "../../../core/scenario/money.ts";
import { orderBodySchema } from "../order.ts";
import { costSchema, planSchema } from "../planning-problem.ts";

const minute = z.int();

/** Left out of the problem file's order: nothing. An id asks about an order of the book. */
export const wantedOrderSchema = z
  .union([z.string().min(1).max(100), orderBodySchema])
  .meta({ description: "The id of an order of the book, or a new order." });

const orderShift = z.object({
  order: z.string(),
  weight: z.number(),
  due: minute.nullable(),
  before: minute.nullable(),
  after: minute.nullable(),
  minutes: z.int().meta({ description: "Minutes that it ends later (less than 0: earlier)." }),
  lateBefore: minute,
  lateAfter: minute,
});

export const fitAnswerSchema = z
  .object({
    labels: z.array(z.enum(RUSH_LABELS)).meta({
      description:
        "fewestOrders, fewestTold, leastAlone, wholeBatches: better in that than all the others, where nothing else names it.",
    }),
    finish: minute,
    late: minute.meta({ description: "Minutes after its own due date; 0: in time, or nothing was promised." }),
    operations: z.array(
      z.object({
        operation: z.string(),
        mode: z.string(),
        machines: z.array(z.string()),
        pieces: z.int(),
        start: minute,
        end: minute,
      }),
    ),
    moved: z.array(
      z.object({
        operation: z.string(),
        order: z.string(),
        from: minute.nullable(),
        to: minute.nullable(),
        minutes: z.int(),
        machinesBefore: z.array(z.string()),
        machinesAfter: z.array(z.string()),
        newCrews: z.array(z.string()),
      }),
    ),
    orders: z.array(orderShift).meta({ description: "Other orders that end at another time." }),
    ordersLate: z.array(orderShift).meta({ description: "Other orders that become late, or later." }),
    lateness: z.number().meta({ description: "Sum over them of weight x minutes later." }),
    movement: z.number().meta({ description: "Sum of the movement of all others, in minutes." }),
    ordersMoved: z.int().meta({ description: "Other orders of which something moves." }),
    told: z.int().meta({ description: "Machines and crews to be told anew, together." }),
    machines: z.array(z.string()).meta({ description: "To be told anew, the order's own included." }),
    crews: z.array(z.string()),
    cuts: z.array(
      z.object({
        operation: z.string(),
        order: z.string(),
        running: z.boolean(),
        lots: z.array(z.object({ pieces: z.int(), start: minute, end: minute })),
        extraMinutes: z.number().meta({ description: "Minutes of setup and unloading more than uncut." }),
      }),
    ),
    nightMinutes: minute.meta({ description: "Minutes the order works while nobody is on site." }),
    nightMinutesChange: z.int().meta({ description: "What all work gains or loses there." }),
    cost: costSchema,
    money: z
      .object({ currency: z.string(), total: z.number(), items: z.record(z.enum(COST_ITEMS), z.number()) })
      .nullable()
      .meta({ description: "What it costs more than the draft, by the shop's rates; null: the shop gives none." }),
    conflicts: z.int().meta({ description: "Conflicts of the draft in hand that are left; an answer adds none." }),
    changes: planSchema.shape.operations.meta({
      description: "What the draft becomes: these operations in place of, or beside, those it has; all others stay as they lie.",
    }),
    removed: z.array(z.string()).meta({ description: "Operations of the draft that leave it." }),
  })
  .meta({ id: "FitAnswer" });
export type FitAnswer = z.infer<typeof fitAnswerSchema>;
