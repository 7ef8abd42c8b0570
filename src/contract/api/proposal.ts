/** A draft proposed for publishing: by anybody who works with the plan, decided by those who may publish. */
import { z } from "zod";
import { publishCheckSchema } from "./plan.ts";
import { planSchema } from "./planning-problem.ts";

export const PROPOSAL_STATES = ["open", "published", "declined", "withdrawn", "overtaken"] as const;

export const proposalHeadSchema = z
  .object({
    id: z.int(),
    draft: z.int().meta({ description: "Revision of the draft that was proposed." }),
    note: z.string(),
    by: z.string(),
    at: z.string(),
    state: z.enum(PROPOSAL_STATES).meta({ description: "overtaken: another plan was published while it was open." }),
    decidedBy: z.string().nullable(),
    decidedAt: z.string().nullable(),
    reason: z.string(),
    version: z.int().nullable().meta({ description: "The version it became." }),
    isDraft: z.boolean().meta({ description: "The draft is still as it was proposed." }),
  })
  .meta({ id: "ProposalHead" });
export type ProposalHead = z.infer<typeof proposalHeadSchema>;
export const proposalListSchema = z.object({ items: z.array(proposalHeadSchema) }).meta({ id: "ProposalList" });

/** With what publishing it would change as things stand now. */
export const proposalSchema = proposalHeadSchema.extend({ plan: planSchema, check: publishCheckSchema }).meta({ id: "Proposal" });
export type ProposalView = z.infer<typeof proposalSchema>;

export const proposalInputSchema = z
  .strictObject({ note: z.string().trim().min(1).max(1000).meta({ description: "What for; whoever decides reads it." }) })
  .meta({ id: "ProposalInput" });
export const proposalDecisionSchema = z
  .discriminatedUnion("kind", [
    z.strictObject({ kind: z.literal("decline"), reason: z.string().trim().min(1).max(1000) }),
    z.strictObject({ kind: z.literal("withdraw") }),
  ])
  .meta({ id: "ProposalDecision" });
export type ProposalDecision = z.infer<typeof proposalDecisionSchema>;
