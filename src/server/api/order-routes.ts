/** The order book. Part of the table in routes.ts. */
import { z } from "zod";
import { orderBodySchema, orderListSchema, orderQuerySchema } from "../../contract/api/order.ts";
import { orderLogSchema } from "../../contract/api/order-log.ts";
import { deleteOrder, orderBody, saveOrder } from "../actions/edit-shop.ts";
import { listOrderSummaries } from "../actions/list-orders.ts";
import { orderLog } from "../actions/order-log.ts";
import { Refused } from "../actions/refused.ts";
import { everyone, planners, type Route, route } from "./route.ts";

const byId = z.object({ id: z.string().min(1).max(100) });

export const orderRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/orders",
    allowed: everyone,
    tag: "Orders",
    summary: "The order book, with what the draft plan makes of each order",
    query: orderQuerySchema,
    answers: { 200: orderListSchema },
    handle: async ({ office }, { query }) => ({ status: 200, body: await listOrderSummaries(office, query) }),
  }),
  route({
    method: "post",
    path: "/orders",
    allowed: ["requester", "planner", "administrator"],
    tag: "Orders",
    summary: "Enter an order",
    body: orderBodySchema,
    answers: { 201: orderBodySchema },
    async handle({ office, store }, { body, actor }) {
      const { revision } = await saveOrder(office, actor, body.id, body, null).catch((error: unknown) => {
        if (error instanceof Refused && error.refusal === "unconditional")
          throw new Refused("conflict", `There is an order "${body.id}" already.`, [{ pointer: "/id", message: "is taken" }]);
        throw error;
      });
      return {
        status: 201,
        body: (await orderBody(store, body.id)).body,
        revision,
        location: `/api/v1/orders/${encodeURIComponent(body.id)}`,
      };
    },
  }),
  route({
    method: "get",
    path: "/orders/:id",
    allowed: everyone,
    tag: "Orders",
    summary: "One order with its operations, links and kit spans",
    params: byId,
    answers: { 200: orderBodySchema },
    handle: async ({ store }, { params }) => ({ status: 200, ...(await orderBody(store, params.id)) }),
  }),
  route({
    method: "get",
    path: "/orders/:id/log",
    allowed: everyone,
    tag: "Orders",
    summary: "What was done to an order and its operations, newest first",
    params: byId,
    answers: { 200: orderLogSchema },
    handle: async ({ store }, { params }) => ({ status: 200, body: await orderLog(store, params.id) }),
  }),
  route({
    method: "put",
    path: "/orders/:id",
    allowed: planners,
    tag: "Orders",
    summary: "Make or replace an order",
    params: byId,
    body: orderBodySchema,
    answers: { 200: orderBodySchema, 201: orderBodySchema },
    ifMatch: "required",
    async handle({ office, store }, { params, body, actor, expected }) {
      const { revision, made } = await saveOrder(office, actor, params.id, body, expected);
      return { status: made ? 201 : 200, body: (await orderBody(store, params.id)).body, revision };
    },
  }),
  route({
    method: "delete",
    path: "/orders/:id",
    allowed: planners,
    tag: "Orders",
    summary: "Remove an order that no other one is linked to",
    params: byId,
    answers: { 204: null },
    ifMatch: "required",
    async handle({ office }, { params, actor, expected }) {
      await deleteOrder(office, actor, params.id, expected);
      return { status: 204 };
    },
  }),
];
