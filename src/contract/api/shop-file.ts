/** A whole shop in and out: the problem file, into an empty shop or in place of the one that is there. */
import { z } from "zod";

export const importQuerySchema = z.strictObject({
  replace: z
    .enum(["true", "false"])
    .default("false")
    .meta({ description: "true: in place of everything that is there, plans included." }),
  clock: z
    .enum(["file", "live"])
    .default("file")
    .meta({ description: "file: the shop stands still at the file's `now`; live: now is the time on the wall." }),
});
export const importAnswerSchema = z
  .object({ machines: z.int(), crews: z.int(), orders: z.int(), operations: z.int(), published: z.boolean() })
  .meta({ id: "ImportAnswer" });
export type ImportAnswer = z.infer<typeof importAnswerSchema>;
