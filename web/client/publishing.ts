/** Publishing, proposals, versions and what the shop settles about itself, as react-query options and hooks. */
import { keepPreviousData, queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import {
  type PublishCheck,
  publishCheckSchema,
  type VersionView,
  versionListSchema,
  versionSchema,
} from "../../src/contract/api/plan.ts";
import {
  type ProposalDecision,
  type ProposalHead,
  type ProposalView,
  proposalListSchema,
  proposalSchema,
} from "../../src/contract/api/proposal.ts";
import { type Setting, type SettingName, type SettingView, settingViewOf } from "../../src/contract/api/setting.ts";
import {
  type VersionComparison,
  type VersionPlan,
  versionComparisonSchema,
  versionPlanSchema,
} from "../../src/contract/api/version.ts";
import { type Answer, command, request } from "./request.ts";
import { keys } from "./shop.ts";

export const VERSIONS_SHOWN = 30;

export const publishCheckQuery = (revision: number) =>
  queryOptions({
    queryKey: [...keys.plan, "changes", revision],
    queryFn: async ({ signal }): Promise<PublishCheck> => (await request(publishCheckSchema, "/plan/changes", { signal })).value,
    staleTime: 0,
  });

export const versionsQuery = (page: number) =>
  queryOptions({
    queryKey: [...keys.plan, "versions", page],
    queryFn: async ({ signal }) =>
      (await request(versionListSchema, "/plan/versions", { query: { page, size: VERSIONS_SHOWN }, signal })).value,
    placeholderData: keepPreviousData,
  });

export const versionQuery = (version: number) =>
  queryOptions({
    queryKey: [...keys.plan, "version", version],
    queryFn: async ({ signal }): Promise<VersionView> =>
      (await request(versionSchema, `/plan/versions/${version}`, { signal })).value,
  });

export const versionPlanQuery = (version: number) =>
  queryOptions({
    queryKey: [...keys.plan, "version", version, "board"],
    queryFn: async ({ signal }): Promise<VersionPlan> =>
      (await request(versionPlanSchema, `/plan/versions/${version}/board`, { signal })).value,
  });

export const comparisonQuery = (first: number, second: number | "draft") =>
  queryOptions({
    queryKey: [...keys.plan, "compared", first, second],
    queryFn: async ({ signal }): Promise<VersionComparison> =>
      (await request(versionComparisonSchema, `/plan/versions/${first}/against/${second}`, { signal })).value,
  });

export const proposalsQuery = queryOptions({
  queryKey: [...keys.plan, "proposals"],
  queryFn: async ({ signal }): Promise<readonly ProposalHead[]> =>
    (await request(proposalListSchema, "/plan/proposals", { signal })).value.items,
});

export const proposalQuery = (id: number) =>
  queryOptions({
    queryKey: [...keys.plan, "proposals", id],
    queryFn: async ({ signal }): Promise<ProposalView> =>
      (await request(proposalSchema, `/plan/proposals/${id}`, { signal })).value,
  });

export const propose = (note: string, revision: number): Promise<void> =>
  command("/plan/proposals", { method: "POST", body: { note }, revision });

export function useDecideProposal(id: number) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (decision: ProposalDecision) => command(`/plan/proposals/${id}/decision`, { method: "POST", body: decision }),
    onSuccess: () => client.invalidateQueries({ queryKey: keys.plan }),
  });
}

export const settingQuery = <N extends SettingName>(name: N) =>
  queryOptions({
    queryKey: ["settings", name],
    queryFn: async ({ signal }): Promise<Answer<SettingView<N>>> =>
      (await request(settingViewOf(name), `/settings/${name}`, { signal })) as Answer<SettingView<N>>,
  });

export function useSaveSetting<N extends SettingName>(name: N) {
  const client = useQueryClient();
  return useMutation({
    mutationFn: ({ value, revision }: { readonly value: Setting<N>; readonly revision: number | null }) =>
      command(`/settings/${name}`, { method: "PUT", body: value, revision: revision ?? undefined }),
    onSuccess: () =>
      Promise.all([client.invalidateQueries({ queryKey: ["settings"] }), client.invalidateQueries({ queryKey: keys.plan })]),
  });
}
