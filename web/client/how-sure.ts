/** The latest simulation of the plan, shared by every screen that shows a chance. */
import { queryOptions, useQuery } from "@tanstack/react-query";
import { type HowSure, howSureSchema } from "../../src/contract/api/how-sure.ts";
import type { RiskAnswer } from "../../src/contract/api/questions/risk.ts";
import { request } from "./request.ts";
import { keys } from "./shop.ts";

export const howSureQuery = queryOptions({
  queryKey: [...keys.plan, "how-sure"],
  queryFn: async ({ signal }): Promise<HowSure["latest"]> =>
    (await request(howSureSchema, "/plan/how-sure", { signal })).value.latest,
});

export type OrderChance = RiskAnswer["orders"][number];

/** Chances by order; empty until somebody has had them worked out. */
export function useChances(): { readonly byOrder: ReadonlyMap<string, OrderChance>; readonly stale: boolean } {
  const latest = useQuery(howSureQuery).data;
  return { byOrder: new Map(latest?.answer.orders.map((order) => [order.order, order])), stale: latest?.stale ?? false };
}
