/**
 * One request to the API: JSON both ways, the answer parsed with the contract's schema, refusals as ApiProblem.
 * Promises: what it returns has the agreed form. Never retries a change by itself.
 */
import type { z } from "zod";
import { CONTRACT_HEADER } from "../../src/contract/api/contract-header.ts";
import { problemDetailsSchema } from "../../src/contract/api/problem-details.ts";
import { askedAhead } from "./ahead.ts";
import { ApiProblem, NotReached, UnexpectedAnswer } from "./api-problem.ts";
import { connection } from "./connection.ts";
import { forgetAnswers, keepAnswer, keptAnswer } from "./kept-answers.ts";

export const API = "/api/v1";

export type RequestOptions = {
  readonly method?: "GET" | "PUT" | "POST" | "PATCH" | "DELETE";
  readonly body?: unknown;
  /** Revision that the change was based on; left out for something new (the server refuses when it exists after all). */
  readonly revision?: number | undefined;
  readonly query?: Readonly<Record<string, string | number | undefined>>;
  readonly signal?: AbortSignal;
  /** It may outlive the page. */
  readonly keepalive?: boolean;
  /**
   * The route answers with this very schema. A server of the same contract has checked the answer by it already, and an answer of
   * megabytes is not checked twice before it is shown; of any other server it is checked here.
   */
  readonly checkedThere?: boolean;
  /** Makes of the answer what the schema describes; anything it throws means that the answer is not one. */
  readonly read?: (answer: unknown) => unknown;
};

const CONTRACT: string | undefined = import.meta.env.VITE_CONTRACT;

export type Answer<T> = {
  readonly value: T /** From the ETag; null when the answer carries none. */;
  readonly revision: number | null;
};

export async function request<S extends z.ZodType>(
  schema: S,
  path: string,
  options: RequestOptions = {},
): Promise<Answer<z.infer<S>>> {
  const response = await send(path, options);
  const json: unknown =
    response.status === 204
      ? undefined
      : await response
          .json()
          .then(options.read)
          .catch(() => undefined);
  const revision = revisionOf(response.headers.get("ETag"));
  if (options.checkedThere && CONTRACT !== undefined && json !== undefined && response.headers.get(CONTRACT_HEADER) === CONTRACT)
    return { value: json as z.infer<S>, revision };
  const parsed = schema.safeParse(json);
  if (!parsed.success) throw new UnexpectedAnswer(path, parsed.error);
  return { value: parsed.data, revision };
}

/** For answers without a body, or whose body nobody needs. */
export async function command(path: string, options: RequestOptions): Promise<void> {
  await send(path, options);
}

/** What a proxy says while the server behind it is down. */
const NOBODY_THERE = [502, 503, 504];

async function send(
  path: string,
  { method = "GET", body, revision, query, signal, keepalive = false }: RequestOptions,
): Promise<Response> {
  const headers: Record<string, string> = { Accept: "application/json, application/problem+json" };
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (revision !== undefined) headers["If-Match"] = `"${revision}"`;
  const address = `${API}${path}${queryText(query)}`;
  let response: Response;
  try {
    const early = method === "GET" && query === undefined ? await askedAhead(path) : null;
    response =
      early ??
      (await fetch(address, {
        method,
        headers,
        credentials: "same-origin",
        keepalive,
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        ...(signal === undefined ? {} : { signal }),
      }));
  } catch (error) {
    if (signal?.aborted) throw error;
    connection.set("lost");
    const kept = method === "GET" ? await keptAnswer(address) : null;
    if (kept) return kept;
    throw new NotReached(error);
  }
  if (method === "GET" && NOBODY_THERE.includes(response.status)) {
    const kept = await keptAnswer(address);
    if (kept) {
      connection.set("lost");
      return kept;
    }
  }
  connection.set("reached");
  if (response.status === 401) void forgetAnswers();
  if (!response.ok) throw await refusal(response);
  if (method === "GET") keepAnswer(address, response);
  return response;
}

async function refusal(response: Response): Promise<ApiProblem> {
  const json: unknown = await response.json().catch(() => undefined);
  const parsed = problemDetailsSchema.safeParse(json);
  return new ApiProblem(
    parsed.success ? parsed.data : { type: "about:blank", title: response.statusText, status: response.status },
  );
}

function queryText(query: RequestOptions["query"]): string {
  const text = new URLSearchParams();
  for (const [key, value] of Object.entries(query ?? {})) if (value !== undefined) text.set(key, String(value));
  const result = text.toString();
  return result === "" ? "" : `?${result}`;
}

function revisionOf(etag: string | null): number | null {
  const match = /^(?:W\/)?"(\d+)"$/.exec(etag ?? "");
  return match ? Number(match[1]) : null;
}

/** Ids may hold blanks and slashes. */
export const segment = (id: string): string => encodeURIComponent(id);
