/**
 * The plant as the API carries it: every entity in its shape of the problem file, and lists of them.
 * A list also gives each entity's revision, which is its ETag (`"<revision>"`) for If-Match.
 */
import { z } from "zod";
import { calendarSchema } from "../file/calendar-schema.ts";
import { entity, id, listOf, name, notes } from "../file/field.ts";
import { linkSchema, runHourRuleSchema } from "../file/link-schema.ts";
import { operationSchema } from "../file/order-schema.ts";
import { crewSchema, kitSchema, machineSchema, setupTableSchema, supplySchema } from "../file/plant-schema.ts";
import { upkeepRuleSchema } from "./upkeep.ts";

/** Named operations to copy into an order; ids in it are local to the template, links stay inside it. */
export const routeTemplateSchema = entity({
  id: id("route template"),
  name: name.optional(),
  notes: notes.optional(),
  operations: z.array(operationSchema).min(1).max(1000).meta({ description: "Its operations, in their order." }),
  links: listOf(linkSchema, "Links between its operations.").default([]),
}).meta({ id: "RouteTemplate", description: "A list of operations to copy into an order." });
export type RouteTemplate = z.infer<typeof routeTemplateSchema>;

/** What the plant consists of: the segment of the address, and the schema of one entity. */
export const PLANT = {
  calendars: calendarSchema,
  machines: machineSchema,
  crews: crewSchema,
  supplies: supplySchema,
  kits: kitSchema,
  "setup-tables": setupTableSchema,
  routes: routeTemplateSchema,
  "run-hour-rules": runHourRuleSchema,
  "upkeep-rules": upkeepRuleSchema,
} as const;
export type PlantKind = keyof typeof PLANT;
export const PLANT_KINDS = Object.keys(PLANT) as readonly PlantKind[];
export type PlantEntity<K extends PlantKind> = z.infer<(typeof PLANT)[K]>;

export const pageQuerySchema = z.strictObject({
  page: z.coerce.number().int().min(1).max(100_000).default(1),
  size: z.coerce.number().int().min(1).max(500).default(200),
});
export type PageQuery = z.infer<typeof pageQuerySchema>;

export const pageOf = <Item extends z.ZodType>(item: Item) =>
  z.object({
    items: z.array(item),
    revisions: z.record(z.string(), z.int()).meta({ description: "Revision by id; as an ETag it stands in quotes." }),
    page: z.int(),
    size: z.int(),
    total: z.int(),
  });
export type Page<Item> = { items: Item[]; revisions: Record<string, number>; page: number; size: number; total: number };
