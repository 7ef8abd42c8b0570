/** Upkeep: what the rules ask for, and making those orders. The rules themselves are part of the plant. Part of the table in routes.ts. */
import { upkeepInputSchema, upkeepMadeSchema, upkeepViewSchema } from "../../contract/api/upkeep.ts";
import { raiseUpkeep, upkeepView } from "../actions/raise-upkeep.ts";
import { everyone, planners, type Route, route } from "./route.ts";

export const upkeepRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/upkeep",
    allowed: everyone,
    tag: "Upkeep",
    summary: "What each upkeep rule has made so far and would make now",
    answers: { 200: upkeepViewSchema },
    handle: async ({ office }) => ({ status: 200, body: await upkeepView(office) }),
  }),
  route({
    method: "post",
    path: "/upkeep/raise",
    allowed: planners,
    tag: "Upkeep",
    summary: "Make the maintenance and calibration orders that are asked for now",
    body: upkeepInputSchema,
    answers: { 200: upkeepMadeSchema },
    handle: async ({ office }, { body, actor }) => ({ status: 200, body: await raiseUpkeep(office, actor, body) }),
  }),
];
