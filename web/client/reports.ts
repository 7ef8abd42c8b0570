/** What people at a machine report, and the checklists that a start of it needs. */
import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import { type CautionView, cautionListSchema } from "../../src/contract/api/caution.ts";
import type { ProgressInput } from "../../src/contract/api/plan.ts";
import type { Role } from "../../src/contract/api/role.ts";
import { command, request } from "./request.ts";
import { keys } from "./shop.ts";

/** Who may report. */
export const REPORTERS: readonly Role[] = ["operator", "planner", "administrator"];

export const startCautionsQuery = (operation: string) =>
  queryOptions({
    queryKey: [...keys.plan, "cautions", operation],
    queryFn: async ({ signal }): Promise<readonly CautionView[]> =>
      (await request(cautionListSchema, "/plan/cautions", { query: { operation }, signal })).value.items,
    staleTime: 0,
  });

export function useReport() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: (body: ProgressInput) => command("/plan/progress", { method: "POST", body }),
    onSuccess: () =>
      Promise.all([client.invalidateQueries({ queryKey: keys.plan }), client.invalidateQueries({ queryKey: keys.orders })]),
  });
}
