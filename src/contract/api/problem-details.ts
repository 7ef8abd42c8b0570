/**
 * How the API says no: RFC 9457 problem details. `faults` points at every field that is wrong, all of them at once;
 * `conflicts` is filled when the plan itself is the reason.
 */
import { z } from "zod";

export const faultSchema = z
  .object({
    pointer: z.string().meta({ description: "JSON pointer into the request body, or `query/...`; empty: the body as a whole." }),
    message: z.string().meta({ description: "What was found and what would be right." }),
  })
  .meta({ id: "FaultAtPointer" });
export type FaultAtPointer = z.infer<typeof faultSchema>;

export const problemDetailsSchema = z
  .object({
    type: z.string().meta({ description: "`about:blank`, or `/problems/<kind>` naming the kind of trouble." }),
    title: z.string(),
    status: z.int(),
    detail: z.string().optional().meta({ description: "What happened here and what to do about it." }),
    instance: z.string().optional().meta({ description: "The request id, as in the log." }),
    faults: z.array(faultSchema).optional(),
  })
  .meta({ id: "ProblemDetails", description: "RFC 9457 problem details." });
export type ProblemDetails = z.infer<typeof problemDetailsSchema>;
