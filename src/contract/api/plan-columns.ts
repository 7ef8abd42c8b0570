/**
 * The draft plan in columns (contract/columns.ts): the same as PlanView at a seventh of its size, for readers that show thousands of
 * operations at once. The problem is apart from what changes with every edit, so that each is written once.
 */
import { z } from "zod";
import { type Column, fromColumns, inColumns } from "../columns.ts";
import { type PlanView, planViewSchema } from "./plan.ts";

const columnSchema = z.record(z.string(), z.unknown()).meta({
  id: "Column",
  description:
    "So many values, known from outside, in one of six forms. {same}: all are this one. {each}: plain values, one by one. {at, of}: few different ones - `of` is their column, `at` says for each value which of them it is, from 0. {sizes, items}: lists - a column of their lengths, a column of the items of all, one list after the other. {keys, columns}: objects with these keys, and a column for each key. {part, parts}: of several forms - to which part each belongs, and a column for each part.",
});

export const planColumnsSchema = z
  .object({
    mark: z.string().meta({ description: "Names the problem: answers with the same mark have the same problem." }),
    problem: columnSchema.meta({ description: "A column of one value: `problem` of PlanView." }),
    beside: columnSchema.meta({ description: "A column of one value: PlanView without `problem`." }),
  })
  .meta({
    id: "PlanColumns",
    description: "PlanView in columns: many things of one form written field by field, equal ones once.",
  });

export type PlanColumns = { readonly mark: string; readonly problem: Column; readonly beside: Column };

const besideSchema = planViewSchema.omit({ problem: true });
const problemSchema = planViewSchema.shape.problem;

/** Checked by the contract first: throws what breaks it. */
export const problemColumn = (problem: z.input<typeof problemSchema>): Column => inColumns(problemSchema.parse(problem));
export const besideColumn = (beside: z.input<typeof besideSchema>): Column => inColumns(besideSchema.parse(beside));

/** A problem that was read before, by its mark. */
export type KnownProblem = { readonly mark: string; readonly problem: unknown };

/** What the answer means; its problem is the very one that is known when it is the same. PlanView's schema says whether it is one. */
export function planOfColumns(received: unknown, known: KnownProblem | null = null): unknown {
  const { mark, problem, beside } = received as PlanColumns;
  return {
    problem: known?.mark === mark ? known.problem : fromColumns(problem),
    ...(fromColumns(beside) as Omit<PlanView, "problem">),
  };
}
