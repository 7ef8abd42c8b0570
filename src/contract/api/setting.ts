/** What a shop settles about itself: what may go otherwise than planned, its cautions, who may publish. */
import { z } from "zod";
import { idOf } from "../file/field.ts";
import { riskProfileSchema } from "../risk-profile.ts";
import { NO_RATES, ratesSchema } from "./rates.ts";

export const cautionRuleSchema = z
  .strictObject({
    id: z
      .string()
      .regex(/^[a-z0-9][a-z0-9-]{0,59}$/, "small letters, digits and dashes")
      .meta({ description: "Small letters, digits and dashes." }),
    title: z.string().trim().min(1).max(200).meta({ description: "What it is about." }),
    alone: z.boolean().meta({ description: "Only work that is done while nobody is on site." }),
    machines: z.array(idOf("machine")).max(1000).meta({ description: "Work on any of them." }),
    supplies: z.array(idOf("supply")).max(1000).meta({ description: "Work that draws any of them." }),
    items: z.array(z.string().trim().min(1).max(500)).min(1).max(40).meta({ description: "What has to be gone through." }),
  })
  .refine((rule) => rule.alone || rule.machines.length + rule.supplies.length > 0, {
    message: "names neither machines nor supplies nor unattended work, so it is about nothing",
    path: ["machines"],
  })
  .meta({ id: "CautionRule" });

const unique = (rules: readonly { readonly id: string }[]): boolean => new Set(rules.map(({ id }) => id)).size === rules.length;

export const SETTINGS = {
  cautions: z
    .strictObject({
      rules: z
        .array(cautionRuleSchema)
        .max(40)
        .refine(unique, "every caution has an id of its own")
        .nullable()
        .meta({ description: "null: as proposed from machines and supplies." }),
    })
    .meta({ id: "CautionSetting" }),
  risk: riskProfileSchema,
  rates: ratesSchema,
  publishing: z
    .strictObject({
      publishers: z
        .enum(["planners", "administrators"])
        .meta({ description: "planners: planners and administrators. administrators: only they; planners propose." }),
    })
    .meta({ id: "PublishingSetting" }),
} as const;
export type SettingName = keyof typeof SETTINGS;
export type Setting<N extends SettingName> = z.infer<(typeof SETTINGS)[N]>;

/** What counts where nothing was settled. */
export const DEFAULT_SETTINGS: { readonly [N in SettingName]: Setting<N> } = {
  cautions: { rules: null },
  risk: {},
  rates: NO_RATES,
  publishing: { publishers: "planners" },
};

const changed = { changedBy: z.string().nullable(), changedAt: z.string().nullable() };
export const settingViewOf = <N extends SettingName>(name: N) =>
  z.object({ value: SETTINGS[name] as unknown as z.ZodType<Setting<N>>, ...changed }).meta({ id: `${name}SettingView` });
export type SettingView<N extends SettingName> = {
  readonly value: Setting<N>;
  readonly changedBy: string | null;
  readonly changedAt: string | null;
};
