/**
 * A step: one change of the shop and of the draft plan together that is undone and redone as one - a rush order taken in, a
 * machine that stopped, a scenario merged. Edits are whole entities as the problem file writes them, so the same list also
 * makes the shop of a what-if (apply-edits.ts).
 */
import { z } from "zod";
import { id, listOf, whole } from "../file/field.ts";
import { kitSpanSchema, linkSchema } from "../file/link-schema.ts";
import { operationSchema, orderSchema } from "../file/order-schema.ts";
import { planSchema } from "./planning-problem.ts";
import { PLANT, PLANT_KINDS, type PlantEntity, type PlantKind } from "./shop.ts";

/** An order as a step writes it: what happened (progress of operations that exist) is never changed by it. */
export const orderInStepSchema = orderSchema
  .extend({
    links: listOf(linkSchema, "Links that lead to its operations; left out: as they are.").optional(),
    kitSpans: listOf(kitSpanSchema, "Kit spans that end in its operations; left out: as they are.").optional(),
  })
  .meta({ id: "OrderInStep", description: "An order; progress counts only for operations that are new." });
export type OrderInStep = z.infer<typeof orderInStepSchema>;

const revision = whole(1, 2_147_483_647, "Revision the edit was made from; left out: not compared.").optional();

const plantEdit = <K extends PlantKind>(kind: K) =>
  z.strictObject({ kind: z.literal(kind), id: id("thing that changes"), after: PLANT[kind].nullable(), revision });

const orderEdit = z.strictObject({ kind: z.literal("orders"), id: id("order"), after: orderInStepSchema.nullable(), revision });
const progressEdit = z.strictObject({
  kind: z.literal("progress"),
  id: id("operation"),
  after: operationSchema.shape.progress.unwrap(),
});

type PlantEdit = {
  [K in PlantKind]: { kind: K; id: string; after: PlantEntity<K> | null; revision?: number | undefined };
}[PlantKind];
/** `after` null deletes. `progress` is of one operation, by its id. */
export type ShopEdit = PlantEdit | z.infer<typeof orderEdit> | z.infer<typeof progressEdit>;

/** A union over the table of kinds cannot be typed by its members; ShopEdit above says the same from the same table. */
export const shopEditSchema = z
  .discriminatedUnion("kind", [orderEdit, progressEdit, ...PLANT_KINDS.map((kind) => plantEdit(kind))])
  .meta({ id: "ShopEdit", description: "One entity as it is to be; null deletes it." }) as unknown as z.ZodType<ShopEdit>;

export const stepInputSchema = z
  .strictObject({
    edits: listOf(shopEditSchema, "Changes of the shop; each thing at most once.").default([]),
    plan: planSchema.nullable().default(null).meta({ description: "The draft after the step; null: as it lies." }),
    note: z.string().max(500).default(""),
  })
  .meta({ id: "StepInput" });
export type StepInput = z.infer<typeof stepInputSchema>;
