/** Upkeep: what the rules ask for, and making those orders. */
import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import {
  type UpkeepInput,
  type UpkeepMade,
  type UpkeepView,
  upkeepMadeSchema,
  upkeepViewSchema,
} from "../../src/contract/api/upkeep.ts";
import { request } from "./request.ts";
import { keys } from "./shop.ts";

/** Below the plant's key: what is asked for follows from the plant, and is read again with it. */
const KEY = ["plant", "upkeep"] as const;

export const upkeepQuery = queryOptions({
  queryKey: KEY,
  queryFn: async ({ signal }): Promise<UpkeepView> => (await request(upkeepViewSchema, "/upkeep", { signal })).value,
});

export function useRaiseUpkeep() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: async (body: UpkeepInput): Promise<UpkeepMade> =>
      (await request(upkeepMadeSchema, "/upkeep/raise", { method: "POST", body })).value,
    onSuccess: () =>
      Promise.all([KEY, keys.orders, keys.plan, ["plant"] as const].map((queryKey) => client.invalidateQueries({ queryKey }))),
  });
}
