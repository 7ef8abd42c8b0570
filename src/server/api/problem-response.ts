/** Turns trouble into RFC 9457 problem details. The one place where a refusal gets a status. */
import type { Response } from "express";
import type { z } from "zod";
import type { FaultAtPointer, ProblemDetails } from "../../contract/api/problem-details.ts";
import { faultsOfSchema } from "../../contract/file/faults.ts";
import { type Refusal, Refused } from "../actions/refused.ts";
import { pointerOf } from "../actions/shop-file.ts";

const STATUS: Readonly<Record<Refusal, number>> = {
  notFound: 404,
  conflict: 409,
  invalid: 422,
  stale: 412,
  unconditional: 428,
  unauthenticated: 401,
  forbidden: 403,
  tooMany: 429,
};

const TITLES: Readonly<Record<number, string>> = {
  400: "The request cannot be read",
  401: "Sign in first",
  403: "Not allowed",
  404: "Not found",
  405: "Not possible here",
  409: "Not possible as things stand",
  412: "Changed in between",
  413: "Too large",
  415: "Wrong kind of content",
  422: "Something in it is wrong",
  428: "If-Match is missing",
  429: "Too many requests",
  500: "The server failed",
  503: "Not ready",
};

const KINDS: Readonly<Record<number, string>> = { 409: "conflict", 412: "stale", 422: "invalid", 428: "unconditional" };

export function problem(
  status: number,
  detail: string | undefined,
  instance: string,
  faults: readonly FaultAtPointer[] = [],
): ProblemDetails {
  const kind = KINDS[status];
  return {
    type: kind ? `/problems/${kind}` : "about:blank",
    title: TITLES[status] ?? "Error",
    status,
    instance,
    ...(detail ? { detail } : {}),
    ...(faults.length > 0 ? { faults: [...faults] } : {}),
  };
}

export function sendProblem(response: Response, details: ProblemDetails): void {
  response.status(details.status).type("application/problem+json").send(JSON.stringify(details));
}

/** Schema faults, at their place in the request. */
export function faultsIn(error: z.ZodError, where: "body" | "query" | "path"): FaultAtPointer[] {
  return faultsOfSchema(error).map(({ at, message }) => ({
    pointer: where === "body" ? pointerOf(at) : `${where}${pointerOf(at)}`,
    message,
  }));
}

/** Status and words for whatever was thrown; null: a bug, which is logged and answered with 500. */
export function problemOf(error: unknown, instance: string): ProblemDetails | null {
  if (error instanceof Refused) return problem(STATUS[error.refusal], error.message, instance, error.faults);
  const { type, status } = (typeof error === "object" && error !== null ? error : {}) as { type?: unknown; status?: unknown };
  if (type === "entity.parse.failed") return problem(400, "The body is not JSON.", instance);
  if (type === "entity.too.large") return problem(413, "The body is larger than this address takes.", instance);
  if (type === "encoding.unsupported" || type === "charset.unsupported") return problem(415, "Send JSON in UTF-8.", instance);
  if (error instanceof URIError) return problem(400, "The address is not properly encoded.", instance);
  return typeof status === "number" && status >= 400 && status < 500 ? problem(status, undefined, instance) : null;
}
