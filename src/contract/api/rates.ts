/** What an hour costs, where the shop says so. Every rate may be left out; without any, no screen speaks of money. */
import { z } from "zod";
import type { Rates } from "../../core/scenario/money.ts";

const RATE_MAX = 1_000_000;
const rate = z.number().min(0).max(RATE_MAX);

export const ratesSchema = z
  .strictObject({
    currency: z
      .string()
      .regex(/^[A-Z]{3}$/, "expected three capital letters, for example EUR")
      .meta({ description: "ISO 4217 code." }),
    machineHour: z.record(z.string().max(100), rate).meta({ description: "By machine: each open hour that work holds it." }),
    crewHour: z.record(z.string().max(100), rate).meta({ description: "By crew: each hour of one person at work." }),
    nightHour: rate.nullable().meta({ description: "On top, each hour a machine works while nobody is on site; null: nothing." }),
    overtimePercent: z
      .number()
      .min(0)
      .max(1000)
      .nullable()
      .meta({ description: "On top of the crew's rate for hours beyond today's shifts; null: nothing." }),
    lateDay: rate.nullable().meta({ description: "Each day that an order of weight 1 is late; null: lateness is not priced." }),
  })
  .meta({ id: "RatesSetting" });

export const NO_RATES: Rates = {
  currency: "EUR",
  machineHour: {},
  crewHour: {},
  nightHour: null,
  overtimePercent: null,
  lateDay: null,
};
