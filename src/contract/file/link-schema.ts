/** Links between operations, kit spans and run-hour rules, in files. Meanings: core/orders/link.ts, core/problem/problem.ts. */
import { z } from "zod";
import { AMOUNT_MAX, entity, id, idOf, MINUTES_MAX, minutes, notes, PIECES_MAX, whole } from "./field.ts";

const ends = {
  id: id("link"),
  notes: notes.optional(),
  from: idOf("operation").meta({ description: "Id of the operation before." }),
  to: idOf("operation").meta({ description: "Id of the operation after." }),
};

export const linkSchema = z
  .discriminatedUnion("kind", [
    entity({
      kind: z.literal("lag"),
      ...ends,
      minLag: minutes("Shortest time from end to start (cure, cool-down).").default(0),
      maxLag: minutes("Longest time from end to start (use within); null: any.").nullable().default(null),
    }),
    entity({ kind: z.literal("sameMachine"), ...ends }),
    entity({ kind: z.literal("transfer"), ...ends, pieces: whole(1, PIECES_MAX, "Pieces handed on together.") }),
  ])
  .meta({
    id: "Link",
    description: "What binds two operations: a lag from end to start, the same machines, or pieces handed on in transfer lots.",
  });
export type LinkInFile = z.infer<typeof linkSchema>;

export const kitSpanSchema = entity({
  id: id("kit span"),
  notes: notes.optional(),
  kit: idOf("kit"),
  count: whole(1, AMOUNT_MAX, "How many are held.").default(1),
  from: idOf("operation").meta({ description: "Held from the first start of this operation" }),
  to: idOf("operation").meta({ description: "to the last end of this one, which is linked after it." }),
}).meta({ id: "KitSpan", description: "A kit held from one operation to a later one." });
export type KitSpanInFile = z.infer<typeof kitSpanSchema>;

export const runHourRuleSchema = entity({
  id: id("run-hour rule"),
  notes: notes.optional(),
  machine: idOf("machine"),
  counter: minutes("Run minutes counted at now.").default(0),
  limit: whole(1, MINUTES_MAX, "Run minutes that the counter never passes."),
  operations: z
    .array(idOf("operation"))
    .min(1)
    .meta({ description: "Maintenance operations in their order; those at the end may stay unplanned." }),
}).meta({ id: "RunHourRule", description: "Maintenance due by run hours of a machine." });
export type RunHourRuleInFile = z.infer<typeof runHourRuleSchema>;
