/**
 * The small pieces that every schema of the files is made of: ids, whole numbers, moments, and objects that name a mistyped field.
 * Limits stand here with their reasons; they keep every sum of the cost below 2^53.
 */
import { z } from "zod";

/** Ten years: no lead time, lag or run is longer, and a slip of the pen by a factor of thousand is caught. */
export const MINUTES_MAX = 5_256_000;
/** Pieces of one operation; with 60 s and more a piece this is over a year of work. */
export const PIECES_MAX = 1_000_000;
/** Weights and amounts. */
export const AMOUNT_MAX = 1_000_000;

/** A strict object; a field it does not know is reported with the ones it does. */
export const entity = <Shape extends z.core.$ZodLooseShape>(shape: Shape) =>
  z.strictObject(shape, {
    error: (issue) =>
      issue.code === "unrecognized_keys"
        ? `has no field ${(issue.keys as string[]).map((key) => `"${key}"`).join(", ")}; its fields are ${Object.keys(shape).join(", ")}`
        : undefined,
  });

export const id = (of: string) =>
  z
    .string()
    .min(1)
    .max(100)
    .regex(/^\S(.*\S)?$/, "an id neither begins nor ends with a blank")
    .meta({ description: `Id of the ${of}.` });

export const idOf = (of: string) =>
  z
    .string()
    .min(1)
    .max(100)
    .meta({ description: `Id of a ${of}.` });

export const name = z.string().max(200).meta({ description: "Name for people; left out: the id." });
export const notes = z.string().max(10_000).meta({ description: "Free text for people; plays no part in planning." });

export const whole = (least: number, most: number, description: string) => z.int().min(least).max(most).meta({ description });

export const minutes = (description: string) => whole(0, MINUTES_MAX, `${description} Whole minutes.`);

/** Shape only; whether the date exists is seen when it is turned into a minute. */
const LOCAL = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:00)?(Z|[+-]\d{2}:\d{2})?)?$/;

export const MOMENT_EXPECTED =
  "a whole minute number counted from the origin, a local date (2026-06-08), a local date and time (2026-06-08T07:00) or an instant (2026-06-08T07:00+02:00 or ...Z)";

export const momentSchema = z
  .union([z.int().min(-100_000_000).max(100_000_000), z.string().regex(LOCAL, `expected ${MOMENT_EXPECTED}`)], {
    error: `expected ${MOMENT_EXPECTED}`,
  })
  .meta({
    id: "Moment",
    description:
      "A whole minute number since the origin; or a local date (YYYY-MM-DD) or date and time (YYYY-MM-DDTHH:MM) of the site; or an instant with offset or Z. " +
      "A date without a time is its 00:00 as a begin and its 24:00 as an end, due date or deadline. A time that the clocks skip counts with the offset before the gap, one that occurs twice is the first.",
  });
export type Moment = z.infer<typeof momentSchema>;

export const moment = (description: string) => momentSchema.meta({ description });

export const date = z
  .string()
  .regex(/^\d{4}-\d{2}-\d{2}$/, "expected a date, YYYY-MM-DD")
  .meta({ description: "Date of the site, YYYY-MM-DD." });

/** A list without repetition, empty when left out. */
export const listOf = <Item extends z.ZodType>(item: Item, description: string) =>
  z.array(item).max(100_000).meta({ description });
