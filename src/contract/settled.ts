/**
 * What a shop has settled about itself beside its problem: cautions, risks, rates, who publishes, upkeep rules and what they have
 * made, route templates. A section of the problem file that may be left out; planning never looks at it. Names in it must be
 * those of the same file. Versioned by itself.
 */
import { z } from "zod";
import type { Fault } from "../core/ground/result.ts";
import { SETTINGS, type Setting, type SettingName } from "./api/setting.ts";
import { routeTemplateSchema } from "./api/shop.ts";
import { upkeepRuleSchema } from "./api/upkeep.ts";
import { pathText } from "./file/faults.ts";
import { entity, idOf, listOf } from "./file/field.ts";

export const SETTLED_VERSION = 1;

export const settledSchema = entity({
  version: z.literal(SETTLED_VERSION),
  followsPlan: z.boolean().default(false).meta({
    description: "Work counts as begun and done as published, unless somebody reports otherwise.",
  }),
  settings: z
    .strictObject({
      cautions: SETTINGS.cautions.optional().meta({ description: "Checklists before publishing and starting." }),
      risk: SETTINGS.risk.optional().meta({ description: "What may go otherwise than planned." }),
      rates: SETTINGS.rates.optional().meta({ description: "What an hour costs." }),
      publishing: SETTINGS.publishing.optional().meta({ description: "Who may publish; brought in by administrators only." }),
    } satisfies Record<SettingName, z.ZodType>)
    .default({})
    .meta({ description: "Left out: as nobody settled it." }),
  upkeepRules: listOf(upkeepRuleSchema, "Upkeep that comes again.").default([]),
  upkeepMade: listOf(
    entity({
      rule: idOf("upkeep rule"),
      occasion: z.string().min(1).max(100).meta({ description: "Which time: a date, or the number of the task." }),
      order: z.string().min(1).max(100).meta({ description: "The order that was made, whether it is still in the book or not." }),
    }),
    "Occasions for which an order was made; nothing comes back unasked.",
  ).default([]),
  routes: listOf(routeTemplateSchema, "Route templates.").default([]),
}).meta({ id: "Settled", description: "What the shop has settled about itself; planning does not look at it." });
export type Settled = z.infer<typeof settledSchema>;

/** What names may be used, as far as the problem knows them. */
export type KnownNames = Readonly<Record<"machines" | "supplies" | "crews" | "runHourRules", readonly { readonly id: string }[]>>;
type Place = { readonly path: readonly (string | number)[]; readonly message: string };

/** Names in one setting that nothing has; paths within its value. */
export function unknownNames<N extends SettingName>(known: KnownNames, name: N, value: Setting<N>): readonly Place[] {
  const missing = (kind: keyof KnownNames, what: string, id: string, path: Place["path"]): Place[] =>
    known[kind].some((one) => one.id === id) ? [] : [{ path, message: `there is no ${what} "${id}"` }];
  switch (name as SettingName) {
    case "cautions":
      return ((value as Setting<"cautions">).rules ?? []).flatMap((rule, i) => [
        ...rule.machines.flatMap((id, j) => missing("machines", "machine", id, ["rules", i, "machines", j])),
        ...rule.supplies.flatMap((id, j) => missing("supplies", "supply", id, ["rules", i, "supplies", j])),
      ]);
    case "risk":
      return Object.keys((value as Setting<"risk">).stops ?? {}).flatMap((id) =>
        missing("machines", "machine", id, ["stops", id]),
      );
    case "rates": {
      const { machineHour, crewHour } = value as Setting<"rates">;
      return [
        ...Object.keys(machineHour).flatMap((id) => missing("machines", "machine", id, ["machineHour", id])),
        ...Object.keys(crewHour).flatMap((id) => missing("crews", "crew", id, ["crewHour", id])),
      ];
    }
    case "publishing":
      return [];
  }
}

/** Everything of the section that names what the file does not have, or twice the same. */
export function faultsOfSettled(settled: Settled, known: KnownNames): readonly Fault[] {
  const faults: Fault[] = [];
  const add = (path: Place["path"], message: string): void => void faults.push({ at: pathText(["settled", ...path]), message });
  for (const name of Object.keys(SETTINGS) as SettingName[]) {
    const value = settled.settings[name];
    if (value === undefined) continue;
    for (const { path, message } of unknownNames(known, name, value as Setting<typeof name>))
      add(["settings", name, ...path], message);
  }
  const twice = (list: readonly { readonly id: string }[], field: string, what: string): void =>
    list.forEach(({ id }, i) => {
      if (list.findIndex((other) => other.id === id) < i) add([field, i, "id"], `there is another ${what} "${id}" before it`);
    });
  twice(settled.upkeepRules, "upkeepRules", "upkeep rule");
  twice(settled.routes, "routes", "route template");
  settled.upkeepRules.forEach(({ machine, trigger }, i) => {
    if (!known.machines.some(({ id }) => id === machine)) add(["upkeepRules", i, "machine"], `there is no machine "${machine}"`);
    if (trigger.kind === "runHours" && !known.runHourRules.some(({ id }) => id === trigger.rule))
      add(["upkeepRules", i, "trigger", "rule"], `there is no run-hour rule "${trigger.rule}"`);
  });
  settled.upkeepMade.forEach(({ rule }, i) => {
    if (!settled.upkeepRules.some(({ id }) => id === rule)) add(["upkeepMade", i, "rule"], `there is no upkeep rule "${rule}"`);
  });
  return faults;
}
