/**
 * From the table to Express: rights first, then input through its schema, the handler, the answer through its schema.
 * An answer that breaks its own contract is a bug and becomes a 500, never a surprise for the caller.
 */
import express, { type RequestHandler, type Response, Router } from "express";
import type { ZodError, ZodType } from "zod";
import type { Actor } from "../actions/actor.ts";
import { type Expected, Refused } from "../actions/refused.ts";
import { faultsIn, problem, sendProblem } from "./problem-response.ts";
import type { Answer, Asked, Route, Server } from "./route.ts";

/** Entities and orders; and whole shops and plans. */
const BODY_LIMIT = "1mb";
const BODY_LIMIT_LARGE = "64mb";

/** Stands in for the actor where anyone may ask. */
const NOBODY: Actor = { id: "", name: "anonymous", role: "viewer" };

const requestId = (response: Response): string => String(response.getHeader("X-Request-Id") ?? "");

export function apiRouter(server: Server, routes: readonly Route[]): Router {
  const router = Router();
  const small = express.json({ limit: BODY_LIMIT });
  const large = express.json({ limit: BODY_LIMIT_LARGE });
  for (const route of routes) {
    const read: RequestHandler[] =
      route.kind === "raw" || !route.body ? [] : [mustBeJson, route.limit === "large" ? large : small];
    router[route.method](route.path, allow(server, route), ...read, answer(server, route));
  }
  for (const path of new Set(routes.map((route) => route.path))) {
    const methods = routes.filter((route) => route.path === path).map((route) => route.method.toUpperCase());
    router.all(path, (_request, response) => {
      response.setHeader("Allow", methods.join(", "));
      sendProblem(response, problem(405, `This address takes ${methods.join(", ")}.`, requestId(response)));
    });
  }
  return router;
}

/** 401 for nobody, 403 for somebody without the role. Before the body is read. */
function allow(server: Server, route: Route): RequestHandler {
  return async (request, response, next) => {
    if (route.allowed === "anyone") return next();
    const actor = await server.gate.actorOf(request);
    if (!actor) return sendProblem(response, problem(401, "This needs a session.", requestId(response)));
    if (!route.allowed.includes(actor.role))
      return sendProblem(
        response,
        problem(403, `This is for ${route.allowed.join(", ")}; you are ${actor.role}.`, requestId(response)),
      );
    response.locals.actor = actor;
    next();
  };
}

const mustBeJson: RequestHandler = (request, response, next) => {
  if (request.is("json") || request.is("+json")) return next();
  sendProblem(response, problem(415, "Send the body as application/json.", requestId(response)));
};

function answer(server: Server, route: Route): RequestHandler {
  return async (request, response) => {
    if (route.kind === "raw") return route.raw(server, request, response);
    const ifMatch = route.ifMatch === undefined ? undefined : request.get("If-Match");
    const asked: Asked<unknown, unknown, unknown> = {
      params: parsed(route.params, request.params, "path"),
      query: parsed(route.query, request.query, "query"),
      body: parsed(route.body, request.body, "body"),
      actor: (response.locals.actor as Actor | undefined) ?? NOBODY,
      expected: expectedOf(ifMatch),
      request,
    };
    send(response, route, await route.handle(server, asked));
  };
}

function parsed(schema: ZodType | undefined, input: unknown, where: "body" | "query" | "path"): unknown {
  if (!schema) return undefined;
  const result = schema.safeParse(input, { reportInput: true });
  if (result.success) return result.data;
  const faults = faultsIn(result.error as ZodError, where);
  throw new Refused(
    where === "path" ? "notFound" : "invalid",
    faults[0] ? `${faults[0].pointer || "The body"}: ${faults[0].message}` : "not as expected",
    faults,
  );
}

/** `"12"` or `*`. A weak or foreign tag can never be ours, so it is stale rather than malformed. */
function expectedOf(ifMatch: string | undefined): Expected {
  if (ifMatch === undefined) return null;
  if (ifMatch.trim() === "*") return "any";
  const tag = /^"(\d+)"$/.exec(ifMatch.trim());
  return tag ? Number(tag[1]) : Number.NaN;
}

/** Lasting bodies as they were sent, for as long as somebody holds the body itself. */
const written = new WeakMap<object, Buffer>();

function send(response: Response, route: Route, answer: Answer): void {
  const { status, body, revision, location, cookies } = answer;
  const schema = route.answers[status];
  if (schema === undefined) throw new Error(`${route.method} ${route.path} answered ${status}, which its table does not name`);
  if (revision !== undefined) response.setHeader("ETag", `"${revision}"`);
  if (location !== undefined) response.setHeader("Location", location);
  if (cookies !== undefined) response.setHeader("Set-Cookie", [...cookies]);
  response.status(status);
  if (schema === null) return void response.end();
  const kept = answer.lasting === true && typeof body === "object" ? body : null;
  const bytes = (kept && written.get(kept)) ?? bytesOf(route, schema, body);
  if (kept) written.set(kept, bytes);
  response.type("application/json").send(bytes);
}

function bytesOf(route: Route, schema: ZodType, body: unknown): Buffer {
  const checked = schema.safeParse(body);
  if (!checked.success)
    throw new Error(`${route.method} ${route.path} would answer against its contract: ${checked.error.message.slice(0, 2000)}`);
  return Buffer.from(JSON.stringify(checked.data));
}
