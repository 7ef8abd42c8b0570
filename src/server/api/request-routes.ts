/** Requests for rig time. Part of the table in routes.ts. */
import { z } from "zod";
import type { RequestView } from "../../contract/api/request.ts";
import {
  acceptInputSchema,
  counterInputSchema,
  declineInputSchema,
  requestInputSchema,
  requestListSchema,
  requestSchema,
  sayInputSchema,
} from "../../contract/api/request.ts";
import {
  acceptRequest,
  agreeToOffer,
  askAgain,
  counterRequest,
  declineRequest,
  listRequests,
  makeRequest,
  showRequest,
  withdrawRequest,
} from "../actions/requests.ts";
import { everyone, planners, type Route, route } from "./route.ts";

const byNumber = z.object({ number: z.coerce.number().int().min(1).max(2_147_483_647) });
const requesters = ["requester", "planner", "administrator"] as const;
const tag = "Requests";
const reply = (status: number, body: RequestView) => ({ status, body, revision: body.revision });

export const requestRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/requests",
    allowed: everyone,
    tag,
    summary: "Requests for rig time, the latest change first",
    answers: { 200: requestListSchema },
    handle: async ({ office }, { actor }) => ({ status: 200, body: await listRequests(office, actor) }),
  }),
  route({
    method: "post",
    path: "/requests",
    allowed: requesters,
    tag,
    summary: "Ask for rig time",
    body: requestInputSchema,
    answers: { 201: requestSchema },
    async handle({ office }, { body, actor }) {
      const made = await makeRequest(office, actor, body);
      return { ...reply(201, made), location: `/api/v1/requests/${made.number}` };
    },
  }),
  route({
    method: "get",
    path: "/requests/:number",
    allowed: everyone,
    tag,
    summary: "One request with the order it would become and what was said",
    params: byNumber,
    answers: { 200: requestSchema },
    handle: async ({ office }, { params, actor }) => reply(200, await showRequest(office, actor, params.number)),
  }),
  route({
    method: "post",
    path: "/requests/:number/accept",
    allowed: planners,
    tag,
    summary: "Take the request into order book and draft, as one step; If-Match names the draft",
    params: byNumber,
    body: acceptInputSchema,
    answers: { 200: requestSchema },
    ifMatch: "required",
    limit: "large",
    handle: async ({ office }, { params, body, actor, expected }) =>
      reply(200, await acceptRequest(office, actor, params.number, body, expected)),
  }),
  route({
    method: "post",
    path: "/requests/:number/counter",
    allowed: planners,
    tag,
    summary: "Offer another slot and hold it until a moment; If-Match names the draft",
    params: byNumber,
    body: counterInputSchema,
    answers: { 200: requestSchema },
    ifMatch: "required",
    limit: "large",
    handle: async ({ office }, { params, body, actor, expected }) =>
      reply(200, await counterRequest(office, actor, params.number, body, expected)),
  }),
  route({
    method: "post",
    path: "/requests/:number/decline",
    allowed: planners,
    tag,
    summary: "Decline with a reason",
    params: byNumber,
    body: declineInputSchema,
    answers: { 200: requestSchema },
    handle: async ({ office }, { params, body, actor }) =>
      reply(200, await declineRequest(office, actor, params.number, body.note)),
  }),
  ...(
    [
      ["agree", agreeToOffer, "Take the slot offered"],
      ["ask-again", askAgain, "The slot offered does not suit: free it, and wait for another"],
      ["withdraw", withdrawRequest, "Take the request back"],
    ] as const
  ).map(([word, action, summary]) =>
    route({
      method: "post",
      path: `/requests/:number/${word}`,
      allowed: requesters,
      tag,
      summary,
      params: byNumber,
      body: sayInputSchema,
      answers: { 200: requestSchema },
      handle: async ({ office }, { params, body, actor }) => reply(200, await action(office, actor, params.number, body.note)),
    }),
  ),
];
