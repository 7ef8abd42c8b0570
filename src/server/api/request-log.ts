/** A request id on every answer, one structured log line for each request, and the counters that /metrics shows. */
import { randomUUID } from "node:crypto";
import type { RequestHandler } from "express";
import type { Logger } from "pino";
import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from "prom-client";
import type { LiveEvents } from "../live/events.ts";

/** Ids that callers may bring along: what a log can hold without being written into. */
const FOREIGN_ID = /^[\w.-]{1,64}$/;

export const withRequestId: RequestHandler = (request, response, next) => {
  const given = request.get("X-Request-Id");
  response.setHeader("X-Request-Id", given !== undefined && FOREIGN_ID.test(given) ? given : randomUUID());
  next();
};

export type Metrics = {
  readonly registry: Registry;
  readonly seconds: Histogram<"method" | "route" | "status">;
  readonly failures: Counter;
};

export function openMetrics(live: LiveEvents): Metrics {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const seconds = new Histogram({
    name: "slotwright_request_seconds",
    help: "Time to answer a request.",
    labelNames: ["method", "route", "status"] as const,
    buckets: [0.005, 0.02, 0.1, 0.5, 2, 10],
    registers: [registry],
  });
  const failures = new Counter({
    name: "slotwright_failures_total",
    help: "Requests that ended in a bug.",
    registers: [registry],
  });
  new Gauge({
    name: "slotwright_open_screens",
    help: "Open event streams.",
    registers: [registry],
    collect() {
      this.set(live.screens);
    },
  });
  return { registry, seconds, failures };
}

/** Without the query, and without the name of a calendar feed: both may be secrets. */
const pathToLog = (url: string): string => (url.split("?")[0] ?? "").replace(/^(\/feeds\/).+/, "$1(secret)");

export const logged =
  (log: Logger, metrics: Metrics): RequestHandler =>
  (request, response, next) => {
    const began = process.hrtime.bigint();
    response.once("close", () => {
      const seconds = Number(process.hrtime.bigint() - began) / 1e9;
      const route = typeof request.route?.path === "string" ? request.route.path : "(none)";
      metrics.seconds.observe({ method: request.method, route, status: String(response.statusCode) }, seconds);
      log.info(
        {
          id: response.getHeader("X-Request-Id"),
          method: request.method,
          path: pathToLog(request.originalUrl),
          status: response.statusCode,
          ms: Math.round(seconds * 1000),
        },
        "request",
      );
    });
    next();
  };
