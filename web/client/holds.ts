/** Held slots: the list, and holding, confirming and releasing. */
import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import { type HoldInput, type HoldView, holdListSchema, holdSchema } from "../../src/contract/api/hold.ts";
import { request, segment } from "./request.ts";
import { keys } from "./shop.ts";

const HOLDS = [...keys.plan, "holds"] as const;

/** Below the plan's key: whatever makes the plan be read again makes this be read again too. */
export const holdsQuery = queryOptions({
  queryKey: HOLDS,
  queryFn: async ({ signal }): Promise<readonly HoldView[]> => (await request(holdListSchema, "/holds", { signal })).value.items,
});

function useRereadPlan(): () => Promise<void> {
  const client = useQueryClient();
  return async () => {
    await Promise.all([client.invalidateQueries({ queryKey: keys.plan }), client.invalidateQueries({ queryKey: keys.orders })]);
  };
}

export function useHoldSlot() {
  const reread = useRereadPlan();
  return useMutation({
    mutationFn: async ({ input, revision }: { readonly input: HoldInput; readonly revision: number }) =>
      (await request(holdSchema, "/holds", { method: "POST", body: input, revision })).value,
    onSettled: reread,
  });
}

export function useEndHold() {
  const reread = useRereadPlan();
  return useMutation({
    mutationFn: async ({ id, way }: { readonly id: string; readonly way: "confirm" | "release" }) =>
      (await request(holdSchema, `/holds/${segment(id)}/${way}`, { method: "POST" })).value,
    onSettled: reread,
  });
}
