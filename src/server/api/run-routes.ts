/** Runs of the engine, the shop as a file, and the stream of events. Part of the table in routes.ts. */
import { z } from "zod";
import { runInputSchema, runListSchema, runSchema, runStartedSchema } from "../../contract/api/run.ts";
import { importAnswerSchema, importQuerySchema } from "../../contract/api/shop-file.ts";
import { problemFileSchema } from "../../contract/problem-file.ts";
import { Refused } from "../actions/refused.ts";
import { cancelRun, requestRun, showRun } from "../actions/request-run.ts";
import { exportShop } from "../exchange/export-shop.ts";
import { importShop } from "../exchange/import-shop.ts";
import { loadDemo } from "../exchange/load-demo.ts";
import { isEmptyShop } from "../store/empty-shop.ts";
import { latestRuns } from "../store/run-store.ts";
import { everyone, planners, type Route, rawRoute, route } from "./route.ts";

const byRun = z.object({ id: z.uuid() });
const RUNS_SHOWN = 20;

export const runRoutes: readonly Route[] = [
  route({
    method: "post",
    path: "/runs",
    allowed: planners,
    tag: "Runs",
    summary: "Ask the engine for a plan; what it finds becomes a new revision of the draft",
    body: runInputSchema,
    answers: { 202: runStartedSchema },
    async handle({ office, queue }, { body, actor }) {
      const { id } = await requestRun(office, queue, actor, body);
      return { status: 202, body: { id }, location: `/api/v1/runs/${id}` };
    },
  }),
  route({
    method: "get",
    path: "/runs",
    allowed: everyone,
    tag: "Runs",
    summary: "The latest runs, newest first",
    answers: { 200: runListSchema },
    handle: async ({ store }) => ({ status: 200, body: { items: await latestRuns(store, RUNS_SHOWN) } }),
  }),
  route({
    method: "get",
    path: "/runs/:id",
    allowed: everyone,
    tag: "Runs",
    summary: "How a run goes or went",
    params: byRun,
    answers: { 200: runSchema },
    handle: async ({ office }, { params }) => ({ status: 200, body: await showRun(office, params.id) }),
  }),
  route({
    method: "delete",
    path: "/runs/:id",
    allowed: planners,
    tag: "Runs",
    summary: "Call a run off; a running one keeps the best it has, if it has one yet",
    params: byRun,
    answers: { 200: runSchema },
    handle: async ({ office }, { params, actor }) => ({ status: 200, body: await cancelRun(office, actor, params.id) }),
  }),
];

export const shopFileRoutes: readonly Route[] = [
  route({
    method: "put",
    path: "/shop",
    allowed: planners,
    tag: "Shop",
    summary: "Import a problem file into the empty shop, or in place of it",
    query: importQuerySchema,
    body: problemFileSchema,
    answers: { 200: importAnswerSchema },
    limit: "large",
    handle: async ({ office }, { body, query, actor }) => ({
      status: 200,
      body: await importShop(office, actor, body, { replace: query.replace === "true", clock: query.clock }),
    }),
  }),
  route({
    method: "post",
    path: "/shop/demo",
    allowed: planners,
    tag: "Shop",
    summary: "Load the demo shop into the empty shop",
    answers: { 204: null },
    async handle({ office, store }) {
      if (!(await isEmptyShop(store)))
        throw new Refused("conflict", "The demo shop is only loaded into an empty shop; this one holds data.");
      await loadDemo(store, office.clock());
      return { status: 204 };
    },
  }),
  route({
    method: "get",
    path: "/shop/export",
    allowed: everyone,
    tag: "Shop",
    summary: "The shop as a problem file, as of now",
    answers: { 200: problemFileSchema },
    handle: async ({ office }) => ({ status: 200, body: await exportShop(office) }),
  }),
];

export const eventRoutes: readonly Route[] = [
  rawRoute({
    method: "get",
    path: "/events",
    allowed: everyone,
    tag: "Events",
    summary: "Server-sent events: runs, draft, published, orders, shop, reread (one JSON object each)",
    answers: { 200: null },
    async raw({ live }, request, response) {
      response.writeHead(200, {
        "content-type": "text/event-stream; charset=utf-8",
        "cache-control": "no-store",
        connection: "keep-alive",
        "x-accel-buffering": "no",
      });
      const remove = live.add(response);
      if (!remove) return void response.end("event: full\ndata: {}\n\n");
      request.once("close", remove);
    },
  }),
];
