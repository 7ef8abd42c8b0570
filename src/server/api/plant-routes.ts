/** The site and the plant: one set of four addresses for each kind of entity. Part of the table in routes.ts. */
import { z } from "zod";
import { PLANT, type PlantEntity, type PlantKind, pageOf, pageQuerySchema } from "../../contract/api/shop.ts";
import { siteInputSchema, siteSchema } from "../../contract/api/site.ts";
import { changeSite, deletePlant, PLANT_WORDS, savePlant } from "../actions/edit-shop.ts";
import { noSuch } from "../actions/refused.ts";
import { minuteOfNow } from "../actions/shop-file.ts";
import { listPlant, readPlant } from "../store/plant-store.ts";
import { ensureSite } from "../store/site-store.ts";
import { everyone, planners, type Route, route, type Server } from "./route.ts";

const byId = z.object({ id: z.string().min(1).max(100) });

async function siteView({ office }: Server) {
  const site = await ensureSite(office.store, office.clock());
  const body = {
    name: site.name,
    zone: site.zone,
    weights: site.weights,
    freezeHours: site.freezeMinutes === null ? null : site.freezeMinutes / 60,
    horizonDays: site.horizonMinutes / 1440,
    followsPlan: site.followsPlan,
    clock: site.fixedNow ?? ("live" as const),
    origin: site.origin,
    now: minuteOfNow(site, office.clock()),
  };
  return { status: 200, body, revision: site.revision };
}

export const siteRoutes: readonly Route[] = [
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

export function plantRoutes<K extends PlantKind>(kind: K): readonly Route[] {
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
