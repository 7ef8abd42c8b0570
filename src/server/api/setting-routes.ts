/** What the shop settles about itself, one address for each setting. Part of the table in routes.ts. */

import { z } from "zod";
import type { Role } from "../../contract/api/role.ts";
import { cautionRuleSchema, SETTINGS, type SettingName, settingViewOf } from "../../contract/api/setting.ts";
import { proposedCautions } from "../../core/plan/caution-defaults.ts";
import { currentProblem } from "../actions/planning-state.ts";
import { changeSetting, settingView } from "../actions/settings.ts";
import { administrators, everyone, planners, type Route, route } from "./route.ts";

const proposedSchema = z.object({ rules: z.array(cautionRuleSchema) }).meta({ id: "ProposedCautions" });

const SUBJECTS: { readonly [N in SettingName]: readonly [about: string, mayChange: readonly Role[]] } = {
  cautions: ["The checklists that are acknowledged before publishing and starting", planners],
  rates: ["What an hour costs: machines, crews, nights, overtime, lateness", planners],
  risk: ["What may go otherwise than planned, for simulations", planners],
  publishing: ["Who may publish", administrators],
};

function settingRoutesOf<N extends SettingName>(name: N): readonly Route[] {
  const [about, mayChange] = SUBJECTS[name];
  return [
    route({
      method: "get",
      path: `/settings/${name}`,
      allowed: everyone,
      tag: "Settings",
      summary: about,
      answers: { 200: settingViewOf(name) },
      handle: async ({ store }) => ({ status: 200, ...(await settingView(store, name)) }),
    }),
    route({
      method: "put",
      path: `/settings/${name}`,
      allowed: mayChange,
      tag: "Settings",
      summary: `${about}: settle it anew`,
      body: SETTINGS[name],
      answers: { 200: settingViewOf(name) },
      ifMatch: "required",
      async handle({ office, store }, { body, actor, expected }) {
        await changeSetting(office, actor, name, body as never, expected);
        return { status: 200, ...(await settingView(store, name)) };
      },
    }),
  ];
}

export const settingRoutes: readonly Route[] = [
  ...(Object.keys(SUBJECTS) as SettingName[]).flatMap((name) => settingRoutesOf(name)),
  route({
    method: "get",
    path: "/settings/cautions/proposed",
    allowed: everyone,
    tag: "Settings",
    summary: "The cautions proposed from machines and supplies, for a shop that has written none",
    answers: { 200: proposedSchema },
    async handle({ office }) {
      const { problem } = await currentProblem(office);
      return { status: 200, body: { rules: proposedCautions(problem) } };
    },
  }),
];
