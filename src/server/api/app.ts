/**
 * The Express app: guards in front (request id, log, headers, origin), the table of routes under /api/v1, health and
 * metrics at the root, the screens behind. Everything that goes wrong leaves as problem details.
 */
import express, { type ErrorRequestHandler, type Express, type RequestHandler } from "express";
import { rateLimit } from "express-rate-limit";
import helmet from "helmet";
import type { Logger } from "pino";
import { CONTRACT_HEADER } from "../../contract/api/contract-header.ts";
import { isLoopback } from "../access/first-administrator.ts";
import { CLIENT_ADDRESS_HEADER } from "../access/sign-in.ts";
import { apiRouter } from "./dispatch.ts";
import { docsPages } from "./docs.ts";
import { feedFiles } from "./feed-files.ts";
import { openApiDocument } from "./openapi.ts";
import { problem, problemOf, sendProblem } from "./problem-response.ts";
import { logged, openMetrics, withRequestId } from "./request-log.ts";
import type { Server } from "./route.ts";
import { routes } from "./routes.ts";
import { webFiles } from "./web-files.ts";

export type AppSettings = {
  readonly version: string;
  readonly webFolder: string;
  readonly log: Logger;
  /** Behind a proxy that sets X-Forwarded-For; the number of proxies to trust. */
  readonly proxies?: number | undefined;
  readonly https: boolean;
  /** What the contract was built from: screens of the same one need not check again what this server has checked. */
  readonly contract?: string | undefined;
};

/** Tries with secrets of one address in a minute (sign-in has a tighter limit of its own). */
const SECRET_TRIES = 30;

export function createApp(server: Server, settings: AppSettings): Express {
  const app = express();
  const metrics = openMetrics(server.live);
  app.disable("x-powered-by");
  app.disable("etag"); // ETags here are revisions of things, set by hand; a hash of the bytes would answer 304 to a changed problem
  app.set("query parser", "simple");
  if (settings.proxies !== undefined) app.set("trust proxy", settings.proxies);
  app.use(withRequestId, logged(settings.log, metrics), securityHeaders(settings.https));

  app.get("/healthz", (_request, response) => void response.json({ status: "alive" }));
  app.get("/readyz", async (_request, response) => {
    const ready = await server.store.pool.query("SELECT 1").then(
      () => true,
      () => false,
    );
    if (ready) response.json({ status: "ready" });
    else sendProblem(response, problem(503, "The database does not answer.", idOf(response)));
  });
  app.get("/metrics", async (request, response) => {
    // Figures, no shop data; still, only for this machine or an administrator.
    const allowed = isLoopback(request) || (await server.gate.actorOf(request))?.role === "administrator";
    if (!allowed) return sendProblem(response, problem(401, "Metrics are for this machine or an administrator.", idOf(response)));
    response.type(metrics.registry.contentType).send(await metrics.registry.metrics());
  });

  const document = JSON.stringify(openApiDocument(routes, settings.version));
  app.use("/api", noStore, contractNamed(settings.contract), sameOrigin, clientAddress);
  app.get("/api/v1/openapi.json", (_request, response) => void response.type("application/json").send(document));
  app.get("/api/v1/docs", (request, response, next) =>
    request.path.endsWith("/") ? next() : response.redirect(301, "/api/v1/docs/"),
  );
  app.use("/api/v1/docs", docsPages());
  const tries = rateLimit({
    windowMs: 60_000,
    limit: SECRET_TRIES,
    standardHeaders: "draft-8",
    legacyHeaders: false,
    handler: (_request, response) => sendProblem(response, problem(429, "Wait a minute and try again.", idOf(response))),
  });
  app.use(["/api/v1/auth", "/api/v1/first-administrator"], tries);
  app.use("/api/v1", apiRouter(server, routes));
  app.use("/api", (_request, response) =>
    sendProblem(response, problem(404, "There is nothing at this address; see /api/v1/docs.", idOf(response))),
  );

  app.use("/feeds", feedFiles(server));
  app.use(webFiles(settings.webFolder));
  app.use((_request, response) => sendProblem(response, problem(404, undefined, idOf(response))));
  app.use(((error: unknown, _request, response, next) => {
    if (response.headersSent) return next(error);
    const details = problemOf(error, idOf(response));
    if (!details) {
      metrics.failures.inc();
      settings.log.error({ id: idOf(response), error }, "request failed");
    }
    sendProblem(
      response,
      details ?? problem(500, "This is a fault of the server; the log has it under the request id.", idOf(response)),
    );
  }) satisfies ErrorRequestHandler);
  return app;
}

const idOf = (response: { getHeader(name: string): unknown }): string => String(response.getHeader("X-Request-Id") ?? "");

/** Everything from here and nothing from elsewhere. Without https no upgrade is asked for: it would break plain installations. */
const securityHeaders = (https: boolean): RequestHandler =>
  helmet({
    contentSecurityPolicy: {
      directives: {
        defaultSrc: ["'self'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'", "'unsafe-inline'"], // positions of bars and rows are set as style attributes
        imgSrc: ["'self'", "data:", "blob:"],
        workerSrc: ["'self'", "blob:"],
        connectSrc: ["'self'"],
        frameAncestors: ["'none'"],
        upgradeInsecureRequests: https ? [] : null,
      },
    },
    strictTransportSecurity: https,
    referrerPolicy: { policy: "same-origin" },
  });

const noStore: RequestHandler = (_request, response, next) => {
  response.setHeader("Cache-Control", "no-store");
  next();
};

const contractNamed =
  (contract: string | undefined): RequestHandler =>
  (_request, response, next) => {
    if (contract !== undefined) response.setHeader(CONTRACT_HEADER, contract);
    next();
  };

const CHANGING = new Set(["POST", "PUT", "PATCH", "DELETE"]);

/** A page of another origin may not change anything with somebody's cookie, nor with the demo's loopback rights. */
const sameOrigin: RequestHandler = (request, response, next) => {
  if (!CHANGING.has(request.method)) return next();
  const origin = request.get("Origin");
  const foreign =
    request.get("Sec-Fetch-Site") === "cross-site" || (origin !== undefined && hostOf(origin) !== request.get("Host"));
  if (!foreign) return next();
  sendProblem(response, problem(403, "Changes are taken only from this server's own pages.", idOf(response)));
};

function hostOf(origin: string): string | null {
  try {
    return new URL(origin).host;
  } catch {
    return null;
  }
}

const clientAddress: RequestHandler = (request, _response, next) => {
  request.headers[CLIENT_ADDRESS_HEADER] = request.ip ?? "unknown";
  next();
};
