/** The draft plan, pins and reports. Part of the table in routes.ts. */
import { createHash } from "node:crypto";
import type { z } from "zod";
import type { HeldSlot } from "../../contract/api/hold.ts";
import {
  draftAnswerSchema,
  draftInputSchema,
  pinInputSchema,
  planViewSchema,
  progressInputSchema,
} from "../../contract/api/plan.ts";
import { besideColumn, type PlanColumns, planColumnsSchema, problemColumn } from "../../contract/api/plan-columns.ts";
import { stepInputSchema } from "../../contract/api/step.ts";
import { applyStep } from "../actions/apply-step.ts";
import { pinOperation, reportProgress } from "../actions/decide-operation.ts";
import { draftAnswer, draftView, redoDraft, resetDraft, saveDraft, undoDraft } from "../actions/edit-draft.ts";
import { slotsHeld } from "../actions/hold-slot.ts";
import { type PlanningState, planningState } from "../actions/planning-state.ts";
import { versionHeadView } from "../actions/publish-plan.ts";
import { readVersionHead } from "../store/plan-store.ts";
import { everyone, planners, type Route, route, type Server } from "./route.ts";

const draftReply = (body: Awaited<ReturnType<typeof draftAnswer>>) => ({ status: 200, body, revision: body.draft.revision });

async function publishedHead(store: Server["store"], { site }: PlanningState) {
  const head = site.publishedVersion === null ? null : await readVersionHead(store, site.publishedVersion);
  return head && versionHeadView(head);
}

const besides = (store: Server["store"], state: PlanningState) => Promise.all([publishedHead(store, state), slotsHeld(store)]);

/** What was answered about a state, by what else is in it. The state is kept until shop, draft or minute change. */
const answered = new WeakMap<PlanningState, { readonly beside: string; readonly body: z.input<typeof planViewSchema> }>();

function planView(state: PlanningState, published: Awaited<ReturnType<typeof publishedHead>>, holds: HeldSlot[]) {
  const beside = JSON.stringify([published, holds]);
  const known = answered.get(state);
  if (known?.beside === beside) return known.body;
  const { problem, check, assumed } = state;
  const body = { problem, published, draft: draftView(state), check, assumed: [...assumed], holds };
  answered.set(state, { beside, body: body as z.input<typeof planViewSchema> });
  return body;
}

const problemColumns = new WeakMap<PlanningState["problem"], Pick<PlanColumns, "mark" | "problem">>();
const columns = new WeakMap<object, PlanColumns>();

/** The same in columns. The problem outlasts many drafts, and is written once for all of them. */
function planColumns(state: PlanningState, body: ReturnType<typeof planView>): PlanColumns {
  const known = columns.get(body);
  if (known) return known;
  const { problem: _, ...beside } = body as z.input<typeof planViewSchema>;
  const made = { ...(problemColumns.get(state.problem) ?? markedProblem(state.problem)), beside: besideColumn(beside) };
  columns.set(body, made);
  return made;
}

function markedProblem(compiled: PlanningState["problem"]): Pick<PlanColumns, "mark" | "problem"> {
  const problem = problemColumn(compiled as unknown as z.input<typeof planViewSchema>["problem"]);
  const made = { mark: createHash("sha256").update(JSON.stringify(problem)).digest("base64url"), problem };
  problemColumns.set(compiled, made);
  return made;
}

export const planRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/plan",
    allowed: everyone,
    tag: "Plan",
    summary: "The problem as of now, the draft plan and the checker's word on it",
    answers: { 200: planViewSchema },
    async handle({ office, store }) {
      const state = await planningState(office);
      const body = planView(state, ...(await besides(store, state)));
      return { status: 200, body, lasting: true, revision: state.draft.number };
    },
  }),
  route({
    method: "get",
    path: "/plan/columns",
    allowed: everyone,
    tag: "Plan",
    summary: "The same as /plan, in columns: a seventh of its size",
    answers: { 200: planColumnsSchema },
    async handle({ office, store }) {
      const state = await planningState(office);
      const body = planColumns(state, planView(state, ...(await besides(store, state))));
      return { status: 200, body, lasting: true, revision: state.draft.number };
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
    path: "/plan/steps",
    allowed: planners,
    tag: "Plan",
    summary: "Change the shop and the draft together, as one step that one undo takes back",
    body: stepInputSchema,
    answers: { 200: draftAnswerSchema },
    ifMatch: "required",
    limit: "large",
    handle: async ({ office }, { body, actor, expected }) => draftReply(await applyStep(office, actor, expected, body)),
  }),
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
];
