/** What the server tells open screens (server-sent events, one JSON object each). `reread`: notices may have been missed. */
import { z } from "zod";
import { QUESTION_STATES, questionProgressSchema } from "./question.ts";
import { RUN_STATES, runProgressSchema } from "./run.ts";

export const liveEventSchema = z
  .discriminatedUnion("type", [
    z.object({
      type: z.literal("run"),
      id: z.string(),
      state: z.enum(RUN_STATES),
      progress: runProgressSchema.nullable(),
      revision: z.int().nullable(),
      error: z.string().nullable(),
    }),
    z.object({
      type: z.literal("question"),
      id: z.string(),
      state: z.enum(QUESTION_STATES),
      progress: questionProgressSchema.nullable(),
      answered: z.boolean().meta({ description: "There is something to read." }),
    }),
    z.object({ type: z.literal("draft"), revision: z.int() }),
    z.object({ type: z.literal("published"), version: z.int() }),
    z.object({ type: z.literal("scenario"), id: z.string(), revision: z.int() }),
    z.object({ type: z.literal("request"), number: z.int() }),
    z.object({ type: z.literal("orders") }),
    z.object({ type: z.literal("shop") }),
    z.object({ type: z.literal("reread") }),
  ])
  .meta({ id: "LiveEvent" });
export type LiveEvent = z.infer<typeof liveEventSchema>;
