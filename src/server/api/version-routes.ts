/** What publishing would change, proposing and publishing, and looking back at versions. Part of the table in routes.ts. */
import { z } from "zod";
import { cautionListSchema, cautionQuerySchema } from "../../contract/api/caution.ts";
import { howSureSchema } from "../../contract/api/how-sure.ts";
import { publishCheckSchema, publishInputSchema, versionListSchema, versionSchema } from "../../contract/api/plan.ts";
import { proposalDecisionSchema, proposalInputSchema, proposalListSchema, proposalSchema } from "../../contract/api/proposal.ts";
import type { Role } from "../../contract/api/role.ts";
import { pageQuerySchema } from "../../contract/api/shop.ts";
import { versionComparisonSchema, versionPlanSchema } from "../../contract/api/version.ts";
import { cautionsNow } from "../actions/cautions.ts";
import { howSureNow } from "../actions/how-sure.ts";
import { compareVersions, versionPlan } from "../actions/look-back.ts";
import { decide, proposal, proposals, proposeDraft } from "../actions/proposals.ts";
import { changesToPublish, publishedVersion, publishedVersions, publishPlan } from "../actions/publish-plan.ts";
import { everyone, planners, type Route, route } from "./route.ts";

const number = z.coerce.number().int().min(1).max(2_147_483_647);
const byVersion = z.object({ version: number });
const byProposal = z.object({ id: number });
/** Who works with the plan may say that it should be in force. */
const proposers: readonly Role[] = ["requester", "operator", "planner", "administrator"];

const publishingRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/plan/changes",
    allowed: everyone,
    tag: "Publishing",
    summary: "What publishing the draft would change, for whom, and what has to be acknowledged first",
    answers: { 200: publishCheckSchema },
    async handle({ office }, { actor }) {
      const { check, revision } = await changesToPublish(office, actor);
      return { status: 200, body: check, revision };
    },
  }),
  route({
    method: "get",
    path: "/plan/how-sure",
    allowed: everyone,
    tag: "Plan",
    summary: "The latest simulation of the plan and whether it still stands; asked anew by the question `risk`",
    answers: { 200: howSureSchema },
    handle: async ({ store }) => ({ status: 200, body: await howSureNow(store) }),
  }),
  route({
    method: "get",
    path: "/plan/cautions",
    allowed: everyone,
    tag: "Publishing",
    summary: "Work that needs care: in the draft, or in starting one operation",
    query: cautionQuerySchema,
    answers: { 200: cautionListSchema },
    handle: async ({ office }, { query }) => ({ status: 200, body: { items: await cautionsNow(office, query.operation) } }),
  }),
  route({
    method: "post",
    path: "/plan/publish",
    allowed: planners,
    tag: "Publishing",
    summary: "Put the draft in force as a new version",
    body: publishInputSchema,
    answers: { 201: versionSchema },
    ifMatch: "required",
    async handle({ office }, { body, actor, expected }) {
      const { version } = await publishPlan(office, actor, body, expected);
      return { status: 201, body: await publishedVersion(office, version), location: `/api/v1/plan/versions/${version}` };
    },
  }),
];

const proposalRoutes: readonly Route[] = [
  route({
    method: "get",
    path: "/plan/proposals",
    allowed: everyone,
    tag: "Publishing",
    summary: "Drafts proposed for publishing, open ones first",
    answers: { 200: proposalListSchema },
    handle: async ({ office }) => ({ status: 200, body: await proposals(office) }),
  }),
  route({
    method: "post",
    path: "/plan/proposals",
    allowed: proposers,
    tag: "Publishing",
    summary: "Propose the draft to those who may publish",
    body: proposalInputSchema,
    answers: { 201: proposalSchema },
    ifMatch: "required",
    async handle({ office }, { body, actor, expected }) {
      const id = await proposeDraft(office, actor, body.note, expected);
      return { status: 201, body: await proposal(office, actor, id), location: `/api/v1/plan/proposals/${id}` };
    },
  }),
  route({
    method: "get",
    path: "/plan/proposals/:id",
    allowed: everyone,
    tag: "Publishing",
    summary: "One proposal with its plan and what publishing it would change now",
    params: byProposal,
    answers: { 200: proposalSchema },
    handle: async ({ office }, { params, actor }) => ({ status: 200, body: await proposal(office, actor, params.id) }),
  }),
  route({
    method: "post",
    path: "/plan/proposals/:id/decision",
    allowed: proposers,
    tag: "Publishing",
    summary: "Decline a proposal with a reason, or withdraw one's own",
    params: byProposal,
    body: proposalDecisionSchema,
    answers: { 200: proposalSchema },
    async handle({ office }, { params, body, actor }) {
      await decide(office, actor, params.id, body);
      return { status: 200, body: await proposal(office, actor, params.id) };
    },
  }),
];

export const versionRoutes: readonly Route[] = [
  ...publishingRoutes,
  ...proposalRoutes,
  route({
    method: "get",
    path: "/plan/versions",
    allowed: everyone,
    tag: "Publishing",
    summary: "What was published when, newest first",
    query: pageQuerySchema,
    answers: { 200: versionListSchema },
    handle: async ({ office }, { query }) => ({ status: 200, body: await publishedVersions(office, query.page, query.size) }),
  }),
  route({
    method: "get",
    path: "/plan/versions/:version",
    allowed: everyone,
    tag: "Publishing",
    summary: "One published version with its plan, its change list and its cautions",
    params: byVersion,
    answers: { 200: versionSchema },
    handle: async ({ office }, { params }) => ({ status: 200, body: await publishedVersion(office, params.version) }),
  }),
  route({
    method: "get",
    path: "/plan/versions/:version/board",
    allowed: everyone,
    tag: "Publishing",
    summary: "One published version on the shop as it stood then",
    params: byVersion,
    answers: { 200: versionPlanSchema },
    handle: async ({ office }, { params }) => ({ status: 200, body: await versionPlan(office, params.version) }),
  }),
  route({
    method: "get",
    path: "/plan/versions/:version/against/:other",
    allowed: everyone,
    tag: "Publishing",
    summary: "What changed from one version to another, or to the draft of now",
    params: byVersion.extend({ other: z.union([number, z.literal("draft")]) }),
    answers: { 200: versionComparisonSchema },
    handle: async ({ office }, { params }) => ({
      status: 200,
      body: await compareVersions(office, params.version, params.other),
    }),
  }),
];
