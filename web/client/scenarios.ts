/** Scenarios as screens ask for them: list, one, comparison; making, changing, adopting. Changes name the revision they were made from. */
import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import type { z } from "zod";
import { draftAnswerSchema } from "../../src/contract/api/plan.ts";
import {
  type ScenarioComparison,
  type ScenarioHead,
  type ScenarioPatch,
  type ScenarioView,
  scenarioComparisonSchema,
  type scenarioInputSchema,
  scenarioListSchema,
  scenarioSchema,
} from "../../src/contract/api/scenario.ts";
import { command, request, segment } from "./request.ts";
import { keys } from "./shop.ts";

const root = ["scenarios"] as const;

export const scenariosQuery = queryOptions({
  queryKey: [...root, "list"],
  queryFn: async ({ signal }): Promise<readonly ScenarioHead[]> =>
    (await request(scenarioListSchema, "/scenarios", { signal })).value.items,
});

export const scenarioQuery = (id: string) =>
  queryOptions({
    queryKey: [...root, "one", id],
    queryFn: async ({ signal }): Promise<ScenarioView> =>
      (await request(scenarioSchema, `/scenarios/${segment(id)}`, { signal })).value,
  });

export const comparisonQuery = (ids: readonly string[]) =>
  queryOptions({
    queryKey: [...root, "compared", ...ids],
    enabled: ids.length > 0,
    queryFn: async ({ signal }): Promise<ScenarioComparison> =>
      (await request(scenarioComparisonSchema, "/scenarios/compare", { query: { ids: ids.join(",") }, signal })).value,
  });

export function useScenarioChanges() {
  const client = useQueryClient();
  const reread = async (): Promise<void> => void (await client.invalidateQueries({ queryKey: root }));
  const add = useMutation({
    mutationFn: async (body: z.input<typeof scenarioInputSchema>): Promise<ScenarioView> =>
      (await request(scenarioSchema, "/scenarios", { method: "POST", body })).value,
    onSuccess: reread,
  });
  const change = useMutation({
    mutationFn: async ({ id, revision, patch }: { id: string; revision: number; patch: ScenarioPatch }): Promise<ScenarioView> =>
      (await request(scenarioSchema, `/scenarios/${segment(id)}`, { method: "PUT", body: patch, revision })).value,
    // Also after a refusal: somebody was faster, and what they did should be seen.
    onSettled: reread,
  });
  const move = useMutation({
    mutationFn: async ({ id, revision, to }: { id: string; revision: number; to: "drop" | "reopen" }): Promise<void> =>
      command(`/scenarios/${segment(id)}/${to}`, { method: "POST", revision }),
    onSettled: reread,
  });
  const adopt = useMutation({
    mutationFn: async ({ id, draftRevision }: { id: string; draftRevision: number }) =>
      (await request(draftAnswerSchema, `/scenarios/${segment(id)}/merge`, { method: "POST", revision: draftRevision })).value,
    onSettled: async () => {
      await reread();
      await client.invalidateQueries({ queryKey: keys.plan });
      await client.invalidateQueries({ queryKey: keys.orders });
      await client.invalidateQueries({ queryKey: ["plant"] });
    },
  });
  return { add, change, move, adopt };
}
