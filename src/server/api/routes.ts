/** Every way into the API: method, path, who may, what goes in and comes out. Nothing outside this table answers. */
import { z } from "zod";
import { orderBodySchema, orderListSchema, orderQuerySchema } from "../../contract/api/order.ts";
import {
  draftAnswerSchema,
  draftInputSchema,
  pinInputSchema,
  planChangesSchema,
  planViewSchema,
  progressInputSchema,
  publishInputSchema,
  versionListSchema,
  versionSchema,
} from "../../contract/api/plan.ts";
import { runInputSchema, runListSchema, runSchema, runStartedSchema } from "../../contract/api/run.ts";
import {
  changePasswordSchema,
  firstAdministratorSchema,
  newUserSchema,
  sessionSchema,
  signInSchema,
  userChangeSchema,
  userListSchema,
  userSchema,
} from "../../contract/api/session.ts";
import { PLANT, PLANT_KINDS, type PlantEntity, type PlantKind, pageOf, pageQuerySchema } from "../../contract/api/shop.ts";
import { importAnswerSchema, importQuerySchema } from "../../contract/api/shop-file.ts";
import { siteInputSchema, siteSchema } from "../../contract/api/site.ts";
import { problemFileSchema } from "../../contract/problem-file.ts";
import { makeFirstAdministrator } from "../access/first-administrator.ts";
import { addPerson, changePerson, deletePerson, people } from "../access/people.ts";
import { pinOperation, reportProgress } from "../actions/decide-operation.ts";
import { draftAnswer, draftView, redoDraft, resetDraft, saveDraft, undoDraft } from "../actions/edit-draft.ts";
import { changeSite, deleteOrder, deletePlant, orderBody, PLANT_WORDS, saveOrder, savePlant } from "../actions/edit-shop.ts";
import { listOrderSummaries } from "../actions/list-orders.ts";
import { type PlanningState, planningState } from "../actions/planning-state.ts";
import { changesToPublish, publishedVersion, publishedVersions, publishPlan, versionHeadView } from "../actions/publish-plan.ts";
import { noSuch, Refused } from "../actions/refused.ts";
import { cancelRun, requestRun, showRun } from "../actions/request-run.ts";
import { minuteOfNow } from "../actions/shop-file.ts";
import { exportShop } from "../exchange/export-shop.ts";
import { importShop } from "../exchange/import-shop.ts";
import { isEmptyShop } from "../store/empty-shop.ts";
import { readVersionHead } from "../store/plan-store.ts";
import { listPlant, readPlant } from "../store/plant-store.ts";
import { latestRuns } from "../store/run-store.ts";
import { ensureSite } from "../store/site-store.ts";
import { administrators, everyone, planners, type Route, rawRoute, route, type Server } from "./route.ts";

const byId = z.object({ id: z.string().min(1).max(100) });
const byRun = z.object({ id: z.uuid() });
const RUNS_SHOWN = 20;

const session: readonly Route[] = [
  route({
    method: "get",
    path: "/session",
    allowed: "anyone",
    tag: "Session",
    summary: "Who am I, and what does this site call itself",
    answers: { 200: sessionSchema },
    async handle({ office, gate, store }, { request }) {
      const site = await ensureSite(office.store, office.clock());
      const person = await gate.actorOf(request);
      const user = person && { id: person.id, name: person.name, role: person.role };
      const demoMode = await gate.demoMode(request);
      return {
        status: 200,
        body: { user, demoMode, site: { name: site.name, zone: site.zone }, empty: await isEmptyShop(store) },
      };
    },
  }),
  route({
    method: "post",
    path: "/auth/sign-in/email",
    allowed: "anyone",
    tag: "Session",
    summary: "Sign in with e-mail and password; sets the session cookie",
    body: signInSchema,
    answers: { 204: null },
    handle: async ({ signIn }, { body, request }) => ({
      status: 204,
      cookies: await signIn.answer("/sign-in/email", request.headers, body),
    }),
  }),
  route({
    method: "post",
    path: "/auth/sign-out",
    allowed: "anyone",
    tag: "Session",
    summary: "Sign out",
    body: z.object({}),
    answers: { 204: null },
    handle: async ({ signIn }, { request }) => ({ status: 204, cookies: await signIn.answer("/sign-out", request.headers, {}) }),
  }),
  route({
    method: "post",
    path: "/auth/change-password",
    allowed: everyone,
    tag: "Session",
    summary: "Change one's own password; other sessions end",
    body: changePasswordSchema,
    answers: { 204: null },
    handle: async ({ signIn }, { body, request }) => ({
      status: 204,
      cookies: await signIn.answer("/change-password", request.headers, { ...body, revokeOtherSessions: true }),
    }),
  }),
  route({
    method: "post",
    path: "/first-administrator",
    allowed: "anyone",
    tag: "Session",
    summary: "Make the first administrator, with the token of the one-time link",
    body: firstAdministratorSchema,
    answers: { 204: null },
    async handle({ store, signIn }, { body }) {
      await makeFirstAdministrator(store, signIn, body);
      return { status: 204 };
    },
  }),
  route({
    method: "get",
    path: "/users",
    allowed: administrators,
    tag: "People",
    summary: "All accounts",
    answers: { 200: userListSchema },
    handle: async ({ store }) => ({ status: 200, body: { items: await people(store) } }),
  }),
  route({
    method: "post",
    path: "/users",
    allowed: administrators,
    tag: "People",
    summary: "Make an account",
    body: newUserSchema,
    answers: { 201: userSchema },
    handle: async ({ store, signIn }, { body, actor }) => ({ status: 201, body: await addPerson(store, signIn, actor, body) }),
  }),
  route({
    method: "put",
    path: "/users/:id",
    allowed: administrators,
    tag: "People",
    summary: "Change name, role or password of an account",
    params: byId,
    body: userChangeSchema,
    answers: { 200: userSchema },
    handle: async ({ store, signIn }, { params, body, actor }) => ({
      status: 200,
      body: await changePerson(store, signIn, actor, params.id, body),
    }),
  }),
  route({
    method: "delete",
    path: "/users/:id",
    allowed: administrators,
    tag: "People",
    summary: "Remove an account",
    params: byId,
    answers: { 204: null },
    async handle({ store }, { params, actor }) {
      await deletePerson(store, actor, params.id);
      return { status: 204 };
    },
  }),
];

async function siteView({ office }: Server) {
  const site = await ensureSite(office.store, office.clock());
  const body = {
    name: site.name,
    zone: site.zone,
    weights: site.weights,
    freezeHours: site.freezeMinutes === null ? null : site.freezeMinutes / 60,
    horizonDays: site.horizonMinutes / 1440,
    clock: site.fixedNow ?? ("live" as const),
    origin: site.origin,
    now: minuteOfNow(site, office.clock()),
  };
  return { status: 200, body, revision: site.revision };
}

const site: readonly Route[] = [
  route({
    method: "get",
    path: "/site",
    allowed: everyone,
    tag: "Site",
    summary: "The site",
    answers: { 200: siteSchema },
    handle: siteView,
  }),
  route({
    method: "put",
    path: "/site",
    allowed: planners,
    tag: "Site",
    summary: "Change zone, name, weights, freeze time, horizon or clock",
    body: siteInputSchema,
    answers: { 200: siteSchema },
    ifMatch: "required",
    async handle(server, { body, actor, expected }) {
      await changeSite(server.office, actor, body, expected);
      return siteView(server);
    },
  }),
];

function plantRoutes<K extends PlantKind>(kind: K): readonly Route[] {
  const schema = PLANT[kind] as unknown as z.ZodType<PlantEntity<K>>;
  const path = `/${kind}` as const;
  const tag = "Plant";
  return [
    route({
      method: "get",
      path,
      allowed: everyone,
      tag,
      summary: `List ${kind}`,
      query: pageQuerySchema,
      answers: { 200: pageOf(schema) },
      async handle({ store }, { query }) {
        const all = await listPlant(store, kind);
        const rows = all.slice((query.page - 1) * query.size, query.page * query.size);
        const revisions = Object.fromEntries(rows.map((row) => [row.body.id, row.revision]));
        return {
          status: 200,
          body: { items: rows.map((row) => row.body), revisions, page: query.page, size: query.size, total: all.length },
        };
      },
    }),
    route({
      method: "get",
      path: `${path}/:id`,
      allowed: everyone,
      tag,
      summary: `One of ${kind}`,
      params: byId,
      answers: { 200: schema },
      async handle({ store }, { params }) {
        const row = await readPlant(store, kind, params.id);
        if (!row) throw noSuch(PLANT_WORDS[kind], params.id);
        return { status: 200, body: row.body, revision: row.revision };
      },
    }),
    route({
      method: "put",
      path: `${path}/:id`,
      allowed: planners,
      tag,
      summary: `Make or replace one of ${kind}`,
      params: byId,
      body: schema,
      answers: { 200: schema, 201: schema },
      ifMatch: "required",
      async handle({ office }, { params, body, actor, expected }) {
        const { revision, made } = await savePlant(office, actor, kind, params.id, body, expected);
        return { status: made ? 201 : 200, body, revision };
      },
    }),
    route({
      method: "delete",
      path: `${path}/:id`,
      allowed: planners,
      tag,
      summary: `Remove one of ${kind} that nothing uses`,
      params: byId,
      answers: { 204: null },
      ifMatch: "required",
      async handle({ office }, { params, actor, expected }) {
        await deletePlant(office, actor, kind, params.id, expected);
        return { status: 204 };
      },
    }),
  ];
}

const orders: readonly Route[] = [
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

const draftReply = (body: Awaited<ReturnType<typeof draftAnswer>>) => ({ status: 200, body, revision: body.draft.revision });

async function publishedHead(store: Server["store"], { site }: PlanningState) {
  const head = site.publishedVersion === null ? null : await readVersionHead(store, site.publishedVersion);
  return head && versionHeadView(head);
}

const plan: readonly Route[] = [
  route({
    method: "get",
    path: "/plan",
    allowed: everyone,
    tag: "Plan",
    summary: "The problem as of now, the draft plan and the checker's word on it",
    answers: { 200: planViewSchema },
    async handle({ office, store }) {
      const state = await planningState(office);
      const body = {
        problem: state.problem,
        published: await publishedHead(store, state),
        draft: draftView(state),
        check: state.check,
      };
      return { status: 200, body, revision: state.draft.number };
    },
  }),
  route({
    method: "put",
    path: "/plan/draft",
    allowed: planners,
    tag: "Plan",
    summary: "A new revision of the draft",
    body: draftInputSchema,
    answers: { 200: draftAnswerSchema },
    ifMatch: "required",
    limit: "large",
    handle: async ({ office }, { body, actor, expected }) => draftReply(await saveDraft(office, actor, body, expected)),
  }),
  ...(
    [
      ["undo", undoDraft, "Back to the revision before"],
      ["redo", redoDraft, "Forward again to the newest revision after this one"],
      ["reset", resetDraft, "Back to the published plan, as a new revision"],
    ] as const
  ).map(([word, action, summary]) =>
    route({
      method: "post",
      path: `/plan/draft/${word}`,
      allowed: planners,
      tag: "Plan",
      summary,
      answers: { 200: draftAnswerSchema },
      ifMatch: "optional",
      handle: async ({ office }, { actor, expected }) => draftReply(await action(office, actor, expected)),
    }),
  ),
  route({
    method: "post",
    path: "/plan/pins",
    allowed: planners,
    tag: "Plan",
    summary: "Fix machines and/or start of an operation, or lift its pin",
    body: pinInputSchema,
    answers: { 200: draftAnswerSchema },
    async handle({ office }, { body, actor }) {
      await pinOperation(office, actor, body.operation, body.pin);
      return draftReply(await draftAnswer(office));
    },
  }),
  route({
    method: "post",
    path: "/plan/progress",
    allowed: ["operator", "planner", "administrator"],
    tag: "Plan",
    summary: "Report work as started, done or still to do",
    body: progressInputSchema,
    answers: { 200: draftAnswerSchema },
    async handle({ office }, { body, actor }) {
      await reportProgress(office, actor, body);
      return draftReply(await draftAnswer(office));
    },
  }),
  route({
    method: "get",
    path: "/plan/changes",
    allowed: everyone,
    tag: "Plan",
    summary: "What publishing the draft would change, and for whom",
    answers: { 200: planChangesSchema },
    async handle({ office }) {
      const { changes, revision } = await changesToPublish(office);
      return { status: 200, body: changes, revision };
    },
  }),
  route({
    method: "post",
    path: "/plan/publish",
    allowed: planners,
    tag: "Plan",
    summary: "Put the draft in force as a new version",
    body: publishInputSchema,
    answers: { 201: versionSchema },
    ifMatch: "optional",
    async handle({ office }, { body, actor, expected }) {
      const { version } = await publishPlan(office, actor, body, expected);
      return { status: 201, body: await publishedVersion(office, version), location: `/api/v1/plan/versions/${version}` };
    },
  }),
  route({
    method: "get",
    path: "/plan/versions",
    allowed: everyone,
    tag: "Plan",
    summary: "What was published when, newest first",
    query: pageQuerySchema,
    answers: { 200: versionListSchema },
    handle: async ({ office }, { query }) => ({ status: 200, body: await publishedVersions(office, query.page, query.size) }),
  }),
  route({
    method: "get",
    path: "/plan/versions/:version",
    allowed: everyone,
    tag: "Plan",
    summary: "One published version with its plan and its change list",
    params: z.object({ version: z.coerce.number().int().min(1).max(2_147_483_647) }),
    answers: { 200: versionSchema },
    handle: async ({ office }, { params }) => ({ status: 200, body: await publishedVersion(office, params.version) }),
  }),
];

const runs: readonly Route[] = [
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
    summary: "Call a run off; a running one keeps the best it has",
    params: byRun,
    answers: { 200: runSchema },
    handle: async ({ office }, { params, actor }) => ({ status: 200, body: await cancelRun(office, actor, params.id) }),
  }),
];

const shopFile: readonly Route[] = [
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
    method: "get",
    path: "/shop/export",
    allowed: everyone,
    tag: "Shop",
    summary: "The shop as a problem file, as of now",
    answers: { 200: problemFileSchema },
    handle: async ({ office }) => ({ status: 200, body: await exportShop(office) }),
  }),
];

const events: readonly Route[] = [
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

export const routes: readonly Route[] = [
  ...session,
  ...site,
  ...PLANT_KINDS.flatMap((kind) => plantRoutes(kind)),
  ...orders,
  ...plan,
  ...runs,
  ...shopFile,
  ...events,
];
