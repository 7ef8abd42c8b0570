/** "What cannot hold?": smallest sets of demands that contradict each other, each with the one action that lifts it. */
import { z } from "zod";
import { scenarioIdSchema } from "../scenario-id.ts";

export const holdOutInputSchema = z
  .strictObject({ kind: z.literal("holdOut"), scenario: scenarioIdSchema })
  .meta({ id: "HoldOutInput" });

const demand = z.discriminatedUnion("kind", [
  z.object({ kind: z.enum(["pin", "frozen", "window", "maxWait"]), operation: z.string() }),
  z.object({ kind: z.literal("deadline"), order: z.string() }),
  z.object({ kind: z.literal("maxLag"), link: z.string() }),
]);
const proof = z.enum(["proved", "noneFound"]).meta({ description: "noneFound: the search found no plan, which proves nothing." });

export const holdOutAnswerSchema = z
  .discriminatedUnion("kind", [
    z.object({ kind: z.literal("holds") }),
    z.object({
      kind: z.literal("contradictions"),
      sets: z.array(
        z.object({ demands: z.array(z.object({ demand, sentence: z.string(), relaxation: z.string() })).readonly(), proof }),
      ),
      solvableWithout: z.boolean().meta({ description: "With all of them lifted a plan was found." }),
    }),
    z.object({ kind: z.literal("workDoesNotFit"), proof }),
  ])
  .meta({ id: "HoldOutAnswer" });
