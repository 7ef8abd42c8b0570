/** Free windows in one call, for scripts. Part of the table in routes.ts; screens ask the same as a question. */
import type { z } from "zod";
import {
  type FreeWindowsQuery,
  freeWindowsAnswerSchema,
  freeWindowsInputSchema,
  freeWindowsQuerySchema,
} from "../../contract/api/questions/free-windows.ts";
import { answerNow } from "../actions/answer-now.ts";
import { Refused } from "../actions/refused.ts";
import { everyone, type Route, route } from "./route.ts";

export const windowRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/free-windows",
    allowed: everyone,
    tag: "Questions",
    summary: "Which rig is free: windows of a length, ranked, with what would have to move for a better one",
    query: freeWindowsQuerySchema,
    answers: { 200: freeWindowsAnswerSchema },
    async handle({ office, queue }, { query, actor, request }) {
      const input = wishOf(query);
      return { status: 200, body: await answerNow(office, queue, actor, input, () => request.destroyed) };
    },
  }),
];

const listOf = (given: string | string[] | undefined): string[] =>
  given === undefined ? [] : Array.isArray(given) ? given : [given];

function wishOf(query: FreeWindowsQuery): z.output<typeof freeWindowsInputSchema> {
  const rigs = listOf(query.rig);
  const parsed = freeWindowsInputSchema.safeParse({
    kind: "freeWindows",
    minutes: Math.ceil(query.hours * 60),
    unattended: query.unattended === "true",
    skill: query.skill ?? null,
    of: query.of,
    machines: rigs.length === 0 ? null : rigs,
    draws: listOf(query.supply).map((text) => {
      const [, supply, amount] = /^(.+)=(\d+)$/.exec(text) ?? [];
      if (supply === undefined) throw wrong("supply", `found "${text}"; expected name=amount, for example dc=150`);
      return { supply, amount: Number(amount) };
    }),
    needs: listOf(query.ability).map((text) => {
      const [, name, value, unit = ""] = /^(.+)=(-?\d+(?:\.\d+)?)\s*(.*)$/.exec(text) ?? [];
      if (name === undefined) throw wrong("ability", `found "${text}"; expected name=value unit, for example torque=200 N·m`);
      return { name, unit, from: null, to: Number(value) };
    }),
    earliest: query.after ?? null,
    before: query.before ?? null,
    restMost: query.rest,
    windowsMost: query.windows,
  });
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const field = { earliest: "after", draws: "supply", needs: "ability", machines: "rig", restMost: "rest" }[
    String(issue?.path[0])
  ];
  throw wrong(field ?? String(issue?.path[0]), issue?.message ?? "cannot be read");
}

const wrong = (field: string, message: string): Refused =>
  new Refused("invalid", `${field}: ${message}`, [{ pointer: `query/${field}`, message }]);
