/** Scenarios: what-ifs beside the plan, compared, merged, dropped. Part of the table in routes.ts. */
import { z } from "zod";
import { draftAnswerSchema } from "../../contract/api/plan.ts";
import {
  comparisonQuerySchema,
  scenarioComparisonSchema,
  scenarioInputSchema,
  scenarioListSchema,
  scenarioPatchSchema,
  scenarioSchema,
} from "../../contract/api/scenario.ts";
import { compareScenarios } from "../actions/compare-scenarios.ts";
import { addScenario, changeScenario, listScenarios, mergeScenario, moveScenario, showScenario } from "../actions/scenarios.ts";
import { everyone, planners, type Route, route } from "./route.ts";

const byScenario = z.object({ id: z.uuid() });
const reply = (body: Awaited<ReturnType<typeof showScenario>>) => ({ status: 200, body, revision: body.revision });

export const scenarioRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/scenarios",
    allowed: everyone,
    tag: "Scenarios",
    summary: "Scenarios, open ones first",
    answers: { 200: scenarioListSchema },
    handle: async ({ office }) => ({ status: 200, body: await listScenarios(office) }),
  }),
  route({
    method: "post",
    path: "/scenarios",
    allowed: planners,
    tag: "Scenarios",
    summary: "A new scenario, from the draft or from another one",
    body: scenarioInputSchema,
    answers: { 201: scenarioSchema },
    limit: "large",
    async handle({ office }, { body, actor }) {
      const made = await addScenario(office, actor, body);
      return { status: 201, body: made, revision: made.revision, location: `/api/v1/scenarios/${made.id}` };
    },
  }),
  route({
    method: "get",
    path: "/scenarios/compare",
    allowed: everyone,
    tag: "Scenarios",
    summary: "One to five scenarios and the draft on the same measures",
    query: comparisonQuerySchema,
    answers: { 200: scenarioComparisonSchema },
    handle: async ({ office }, { query }) => ({ status: 200, body: await compareScenarios(office, query.ids) }),
  }),
  route({
    method: "get",
    path: "/scenarios/:id",
    allowed: everyone,
    tag: "Scenarios",
    summary: "One scenario with its changes",
    params: byScenario,
    answers: { 200: scenarioSchema },
    handle: async ({ office }, { params }) => reply(await showScenario(office, params.id)),
  }),
  route({
    method: "put",
    path: "/scenarios/:id",
    allowed: planners,
    tag: "Scenarios",
    summary: "Change name, note, changes or plan of a scenario; what is left out stays",
    params: byScenario,
    body: scenarioPatchSchema,
    answers: { 200: scenarioSchema },
    ifMatch: "required",
    limit: "large",
    handle: async ({ office }, { params, body, actor, expected }) =>
      reply(await changeScenario(office, actor, params.id, body, expected)),
  }),
  route({
    method: "post",
    path: "/scenarios/:id/merge",
    allowed: planners,
    tag: "Scenarios",
    summary: "Make its changes and its plan one step of the draft; If-Match is the draft's revision",
    params: byScenario,
    answers: { 200: draftAnswerSchema },
    ifMatch: "required",
    async handle({ office }, { params, actor, expected }) {
      const body = await mergeScenario(office, actor, params.id, expected);
      return { status: 200, body, revision: body.draft.revision };
    },
  }),
  ...(
    [
      ["drop", "dropped", "Drop a scenario; it can be taken up again"],
      ["reopen", "open", "Take up a scenario again that was merged or dropped"],
    ] as const
  ).map(([word, state, summary]) =>
    route({
      method: "post",
      path: `/scenarios/:id/${word}`,
      allowed: planners,
      tag: "Scenarios",
      summary,
      params: byScenario,
      answers: { 200: scenarioSchema },
      ifMatch: "required",
      handle: async ({ office }, { params, actor, expected }) =>
        reply(await moveScenario(office, actor, params.id, state, expected)),
    }),
  ),
];
