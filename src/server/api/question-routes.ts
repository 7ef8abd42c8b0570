/** Questions that a worker answers: asked, watched, called off. Part of the table in routes.ts. */
import { z } from "zod";
import { questionInputSchema, questionStartedSchema, questionViewSchema } from "../../contract/api/question.ts";
import { askQuestion, cancelQuestion, showQuestion } from "../actions/ask-question.ts";
import { everyone, type Route, route } from "./route.ts";

const byQuestion = z.object({ id: z.uuid() });

export const questionRoutes: readonly Route[] = [
  route({
    method: "post",
    path: "/questions",
    allowed: everyone,
    tag: "Questions",
    summary: "Ask something that takes longer than a click; each kind names the roles that may ask it",
    body: questionInputSchema,
    answers: { 202: questionStartedSchema },
    limit: "large",
    async handle({ office, queue }, { body, actor }) {
      const id = await askQuestion(office, queue, actor, body);
      return { status: 202, body: { id }, location: `/api/v1/questions/${id}` };
    },
  }),
  route({
    method: "get",
    path: "/questions/:id",
    allowed: everyone,
    tag: "Questions",
    summary: "How a question stands, and its answer",
    params: byQuestion,
    answers: { 200: questionViewSchema },
    handle: async ({ office }, { params }) => ({ status: 200, body: await showQuestion(office, params.id) }),
  }),
  route({
    method: "delete",
    path: "/questions/:id",
    allowed: everyone,
    tag: "Questions",
    summary: "Call a question off; what is known so far is kept",
    params: byQuestion,
    answers: { 200: questionViewSchema },
    handle: async ({ office }, { params }) => ({ status: 200, body: await cancelQuestion(office, params.id) }),
  }),
];
