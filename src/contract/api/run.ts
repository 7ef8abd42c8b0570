/** Runs of the engine: queued, watched, cancelled. A finished run is a new revision of the draft. */
import { z } from "zod";
import { costSchema } from "./planning-problem.ts";

/** A run that nobody watches ends by itself within the hour. */
export const RUN_SECONDS_MAX = 3600;

export const runInputSchema = z
  .strictObject({
    mode: z.literal("replan").default("replan"),
    seconds: z.number().min(0.1).max(RUN_SECONDS_MAX).optional(),
    iterations: z.int().min(1).max(1_000_000_000).optional(),
    seed: z.int().min(0).max(2_147_483_647).optional(),
    threads: z.int().min(1).max(64).optional().meta({ description: "Left out: as many as the worker has." }),
  })
  .meta({ id: "RunInput", description: "Without seconds and iterations: 10 seconds." });
export type RunInput = z.infer<typeof runInputSchema>;

export const RUN_STATES = ["queued", "running", "cancelling", "finished", "cancelled", "failed"] as const;

export const runProgressSchema = z.object({
  iterations: z.number(),
  seconds: z.number(),
  phase: z.string(),
  conflicts: z.int().nullable().meta({ description: "Of the best plan so far; null: none yet." }),
  total: z.number().nullable().meta({ description: "Its weighted cost." }),
  cost: costSchema.nullable().meta({ description: "Its parts, known when a thread is done." }),
});
export type RunProgress = z.infer<typeof runProgressSchema>;

export const runOutcomeSchema = z.object({
  conflicts: z.int(),
  cost: costSchema,
  bound: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("optimal") }),
    z.object({ kind: z.literal("within"), lowerBound: z.number(), percent: z.number() }),
    z.object({ kind: z.literal("none") }),
  ]),
  iterations: z.number(),
  seconds: z.number(),
  threads: z.int(),
  seed: z.int(),
});
export type RunOutcome = z.infer<typeof runOutcomeSchema>;

export const runSchema = z
  .object({
    id: z.string(),
    state: z.enum(RUN_STATES),
    requestedBy: z.string(),
    options: runInputSchema,
    progress: runProgressSchema.nullable(),
    outcome: runOutcomeSchema.nullable(),
    revision: z.int().nullable().meta({ description: "Draft revision it made." }),
    error: z.string().nullable(),
    attempts: z.int(),
    createdAt: z.string(),
    startedAt: z.string().nullable(),
    finishedAt: z.string().nullable(),
  })
  .meta({ id: "Run" });
export type RunView = z.infer<typeof runSchema>;
export const runListSchema = z.object({ items: z.array(runSchema) }).meta({ id: "RunList" });
export const runStartedSchema = z.object({ id: z.string() }).meta({ id: "RunStarted" });
