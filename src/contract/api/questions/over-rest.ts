/** Work that does not end before its people go home for a day or longer: how often, and how often an hour more would have been enough. */
import { z } from "zod";

const share = z.number().min(0).max(1);

export const overRestSchema = z.object({ leave: z.int(), back: z.int(), share, hourEnough: share }).nullable();
export type OverRestView = NonNullable<z.infer<typeof overRestSchema>>;
