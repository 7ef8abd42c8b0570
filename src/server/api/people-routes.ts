/** Session and accounts: signing in and out, the first administrator, people and their roles. Part of the table in routes.ts. */
import { z } from "zod";
import { auditListSchema, auditQuerySchema } from "../../contract/api/audit.ts";
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
import { makeFirstAdministrator } from "../access/first-administrator.ts";
import { addPerson, changePerson, deletePerson, people } from "../access/people.ts";
import { listAudit } from "../store/audit.ts";
import { isEmptyShop } from "../store/empty-shop.ts";
import { ensureSite } from "../store/site-store.ts";
import { administrators, everyone, planners, type Route, route } from "./route.ts";

const byId = z.object({ id: z.string().min(1).max(100) });

export const peopleRoutes: readonly Route[] = [
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
  route({
    method: "get",
    path: "/audit",
    allowed: planners,
    tag: "People",
    summary: "Who did what to what, newest first",
    query: auditQuerySchema,
    answers: { 200: auditListSchema },
    async handle({ store }, { query }) {
      const { items, total } = await listAudit(store, query.page, query.size, query.subject);
      const body = {
        items: items.map((row) => ({ ...row, at: row.at.toISOString() })),
        page: query.page,
        size: query.size,
        total,
      };
      return { status: 200, body };
    },
  }),
];
