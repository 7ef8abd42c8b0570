/**
 * What may go otherwise than planned, as people write it: every part may be left out and then has its default, which is common
 * practice and measured in no shop. Read by the command line, the API and its screen.
 */
import { z } from "zod";
import { DEFAULT_RISK_PROFILE, type RiskProfile } from "../core/risk/risk-profile.ts";

/** A factor beyond ten times is another job, and a stop longer than ten years is no stop. */
const FACTOR_MAX = 10;
const MINUTES_MAX = 5_256_000;
const STAY_MAX = 480;

const point = (most: number) =>
  z
    .strictObject({
      best: z.number().min(0).max(most).meta({ description: "Hardly ever less." }),
      likely: z.number().min(0).max(most).meta({ description: "Most likely." }),
      worst: z.number().min(0).max(most).meta({ description: "Hardly ever more." }),
    })
    .refine(({ best, likely, worst }) => best <= likely && likely <= worst, "best, likely and worst must not fall");
const factors = point(FACTOR_MAX).refine(({ best }) => best > 0, "a factor is more than 0");
const material = z.strictObject({
  chance: z.number().min(0).max(1).meta({ description: "Chance, 0 to 1, that it comes late." }),
  delayMinutes: point(MINUTES_MAX).meta({ description: "By so many minutes, if it does." }),
});
const stops = z.strictObject({
  meanBetween: z.number().min(1).max(MINUTES_MAX).meta({ description: "Mean worked minutes from one stop to the next." }),
  meanRepair: z.number().min(0).max(MINUTES_MAX).meta({ description: "Mean minutes a stop lasts." }),
});

export const riskProfileSchema = z
  .strictObject({
    durations: z
      .strictObject({
        prepare: factors.meta({ description: "Setting up." }),
        run: factors.meta({ description: "Running." }),
        clear: factors.meta({ description: "Unloading." }),
        outside: factors.meta({ description: "Outside processes." }),
      })
      .partial()
      .optional()
      .meta({ description: "Factors of the planned minutes, by kind of phase." }),
    operations: z.record(z.string(), factors).optional().meta({ description: "Instead of those, by operation." }),
    stops: z.record(z.string(), stops).optional().meta({ description: "By machine; one that is not named never stops." }),
    material: material.optional().meta({ description: "For every order whose release is still to come." }),
    orders: z.record(z.string(), material).optional().meta({ description: "Instead of that, by order." }),
    starts: z
      .enum(["notBeforePlanned", "asSoonAsPossible"])
      .optional()
      .meta({ description: "When work begins that could earlier." }),
    stayMinutes: z
      .int()
      .min(0)
      .max(STAY_MAX)
      .optional()
      .meta({ description: "Minutes that work which takes longer than planned goes on past closing, if that ends it." }),
  })
  .meta({ id: "RiskProfile", description: "What may go otherwise than planned; what is left out has its default." });
export type RiskProfileInput = z.infer<typeof riskProfileSchema>;

export function riskProfileOf({ durations = {}, ...written }: RiskProfileInput): RiskProfile {
  const base = DEFAULT_RISK_PROFILE;
  return {
    durations: {
      prepare: durations.prepare ?? base.durations.prepare,
      run: durations.run ?? base.durations.run,
      clear: durations.clear ?? base.durations.clear,
      outside: durations.outside ?? base.durations.outside,
    },
    operations: written.operations ?? base.operations,
    stops: written.stops ?? base.stops,
    material: written.material ?? base.material,
    orders: written.orders ?? base.orders,
    starts: written.starts ?? base.starts,
    stayMinutes: written.stayMinutes ?? base.stayMinutes,
  };
}
