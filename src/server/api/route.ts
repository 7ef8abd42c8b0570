/**
 * What a route is: method, path, who may, what goes in and out, and the function that answers. The table (routes.ts) is made
 * of these; the server, the OpenAPI page and the test of rights all read that one table. What is not in it is denied.
 */
import type { IncomingMessage, ServerResponse } from "node:http";
import type { z } from "zod";
import { ROLES, type Role } from "../../contract/api/role.ts";
import type { Gate } from "../access/gate.ts";
import type { SignIn } from "../access/sign-in.ts";
import type { Actor } from "../actions/actor.ts";
import type { QuestionSender } from "../actions/ask-question.ts";
import type { Office } from "../actions/planning-state.ts";
import type { Expected } from "../actions/refused.ts";
import type { Sender } from "../actions/request-run.ts";
import type { LiveEvents } from "../live/events.ts";
import type { StoreConnection } from "../store/store.ts";

/** What handlers work with. */
export type Server = {
  readonly office: Office;
  readonly store: StoreConnection;
  readonly gate: Gate;
  readonly signIn: SignIn;
  readonly queue: Sender & QuestionSender;
  readonly live: LiveEvents;
};

export type Asked<P, Q, B> = {
  readonly params: P;
  readonly query: Q;
  readonly body: B;
  readonly actor: Actor;
  readonly expected: Expected;
  readonly request: IncomingMessage;
};

/** `revision` becomes the ETag. */
export type Answer = {
  readonly status: number;
  readonly body?: unknown;
  /** The body never changes and the very same object is answered again: it is checked and written once. */
  readonly lasting?: boolean;
  readonly revision?: number;
  readonly location?: string;
  readonly cookies?: readonly string[];
};

/** "anyone": no session needed. */
export type Allowed = readonly Role[] | "anyone";

export type Route = {
  readonly method: "get" | "put" | "post" | "delete";
  /** Below /api/v1, with `:id` for parameters. */
  readonly path: string;
  readonly allowed: Allowed;
  readonly summary: string;
  readonly tag: string;
  readonly params?: z.ZodObject | undefined;
  readonly query?: z.ZodObject | undefined;
  readonly body?: z.ZodType | undefined;
  /** Answers by status; null: without a body. */
  readonly answers: Readonly<Record<number, z.ZodType | null>>;
  /** Says whether If-Match is read (`optional`) or refused with 428 when it is missing and the thing exists (`required`). */
  readonly ifMatch?: "required" | "optional" | undefined;
  readonly limit?: "large" | undefined;
  /** The schemas above are applied before it is called (dispatch.ts). */
  handle(server: Server, asked: Asked<unknown, unknown, unknown>): Promise<Answer>;
} & (
  | { readonly kind: "json" }
  /** Writes its own answer: events, and what the sign-in library does. */
  | { readonly kind: "raw"; raw(server: Server, request: IncomingMessage, response: ServerResponse): Promise<void> }
);

type Of<S extends z.ZodType | undefined> = S extends z.ZodType ? z.output<S> : undefined;

type Described<P extends z.ZodObject | undefined, Q extends z.ZodObject | undefined, B extends z.ZodType | undefined> = Omit<
  Route,
  "handle" | "params" | "query" | "body" | "kind"
> & {
  readonly params?: P;
  readonly query?: Q;
  readonly body?: B;
  handle(server: Server, asked: Asked<Of<P>, Of<Q>, Of<B>>): Promise<Answer>;
};

/** A route whose handler sees its input as the schemas parse it. */
export const route = <
  P extends z.ZodObject | undefined = undefined,
  Q extends z.ZodObject | undefined = undefined,
  B extends z.ZodType | undefined = undefined,
>(
  described: Described<P, Q, B>,
): Route => ({ ...described, kind: "json" }) as unknown as Route;

export const rawRoute = (
  described: Omit<Route, "handle" | "kind"> & {
    raw(server: Server, request: IncomingMessage, response: ServerResponse): Promise<void>;
  },
): Route => ({ ...described, kind: "raw", handle: () => Promise.reject(new Error("a raw route writes its own answer")) });

export const everyone: readonly Role[] = ROLES;
export const planners: readonly Role[] = ["planner", "administrator"];
export const administrators: readonly Role[] = ["administrator"];
