/** What screens ask of the shop, as react-query options and hooks: session, site, plant, order book, plan. */
import { queryOptions, useMutation, useQuery, useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import type { z } from "zod";
import { type OrderBody, type OrderSummary, orderBodySchema, orderListSchema } from "../../src/contract/api/order.ts";
import type { PlanView } from "../../src/contract/api/plan.ts";
import type { Role } from "../../src/contract/api/role.ts";
import { type SessionView, sessionSchema } from "../../src/contract/api/session.ts";
import { PLANT, type PlantEntity, type PlantKind, pageOf } from "../../src/contract/api/shop.ts";
import { type SiteInput, type SiteView, siteInputSchema, siteSchema } from "../../src/contract/api/site.ts";
import { type SiteTime, siteTime } from "../present/site-time.ts";
import { keptAlike } from "./plan-alike.ts";
import { readPlan } from "./read-plan.ts";
import { type Answer, command, request, segment } from "./request.ts";
import { noteWhoIsHere } from "./who-is-here.ts";

export const keys = {
  session: ["session"] as const,
  site: ["site"] as const,
  plan: ["plan"] as const,
  orders: ["orders"] as const,
  order: (id: string) => ["orders", "one", id] as const,
  plant: (kind: PlantKind) => ["plant", kind] as const,
  plantOne: (kind: PlantKind, id: string) => ["plant", kind, "one", id] as const,
};

export const sessionQuery = queryOptions({
  queryKey: keys.session,
  queryFn: async ({ signal }): Promise<SessionView> => {
    const { value } = await request(sessionSchema, "/session", { signal });
    noteWhoIsHere(value.user?.id ?? null);
    return value;
  },
});

export const siteQuery = queryOptions({
  queryKey: keys.site,
  queryFn: ({ signal }): Promise<Answer<SiteView>> => request(siteSchema, "/site", { signal }),
});

/** With the draft's revision, which every change of the draft must name. */
export const planQuery = queryOptions({
  queryKey: keys.plan,
  queryFn: ({ signal }): Promise<PlanView> => readPlan(signal),
  structuralSharing: (old, next) => keptAlike(old as PlanView | undefined, next as PlanView),
});

const PAGE_SIZE = 500;

/** The whole order book: search, filters and sorting then answer at once, and stay usable without the network. */
export const ordersQuery = queryOptions({
  queryKey: keys.orders,
  queryFn: async ({ signal }): Promise<readonly OrderSummary[]> => {
    const all: OrderSummary[] = [];
    for (let page = 1; ; page += 1) {
      const { value } = await request(orderListSchema, "/orders", {
        ...{ query: { page, size: PAGE_SIZE }, signal },
        checkedThere: true,
      });
      all.push(...value.items);
      if (all.length >= value.total || value.items.length === 0) return all;
    }
  },
});

export const orderQuery = (id: string) =>
  queryOptions({
    queryKey: keys.order(id),
    queryFn: ({ signal }): Promise<Answer<OrderBody>> => request(orderBodySchema, `/orders/${segment(id)}`, { signal }),
  });

/** The contract's schema of one kind, typed by the kind; the table PLANT holds exactly these. */
const schemaOf = <K extends PlantKind>(kind: K): z.ZodType<PlantEntity<K>> => PLANT[kind] as unknown as z.ZodType<PlantEntity<K>>;

export const plantQuery = <K extends PlantKind>(kind: K) =>
  queryOptions({
    queryKey: keys.plant(kind),
    queryFn: async ({ signal }): Promise<readonly PlantEntity<K>[]> => {
      const all: PlantEntity<K>[] = [];
      for (let page = 1; ; page += 1) {
        const { value } = await request(pageOf(schemaOf(kind)), `/${kind}`, { query: { page, size: PAGE_SIZE }, signal });
        all.push(...(value.items as PlantEntity<K>[]));
        if (all.length >= value.total || value.items.length === 0) return all;
      }
    },
  });

export const plantOneQuery = <K extends PlantKind>(kind: K, id: string) =>
  queryOptions({
    queryKey: keys.plantOne(kind, id),
    queryFn: ({ signal }): Promise<Answer<PlantEntity<K>>> => request(schemaOf(kind), `/${kind}/${segment(id)}`, { signal }),
  });

export const useSession = (): SessionView => useSuspenseQuery(sessionQuery).data;

/** The site's clock, for every date on a screen. */
export function useSiteTime(): SiteTime {
  const { value } = useSuspenseQuery(siteQuery).data;
  return siteTime(value.zone, value.origin, value.now);
}

/** Whether the person here may do what these roles may. In demo mode the server names a planner. */
export function useMay(roles: readonly Role[]): boolean {
  const user = useQuery(sessionQuery).data?.user;
  return user ? roles.includes(user.role) : false;
}

export const PLANNERS: readonly Role[] = ["planner", "administrator"];
/** Who may enter orders; changing them is for planners. */
export const REQUESTERS: readonly Role[] = ["requester", ...PLANNERS];
export const ADMINISTRATORS: readonly Role[] = ["administrator"];

/** Everything derived from the shop's data is read again after a change. */
function useRefresh(): () => Promise<void> {
  const client = useQueryClient();
  return async () => {
    await Promise.all([
      client.invalidateQueries({ queryKey: keys.orders }),
      client.invalidateQueries({ queryKey: ["plant"] }),
      client.invalidateQueries({ queryKey: keys.plan }),
      client.invalidateQueries({ queryKey: keys.session }),
      client.invalidateQueries({ queryKey: keys.site }),
    ]);
  };
}

/** revision null: something new. */
export type Save<T> = { readonly value: T; readonly id: string; readonly revision: number | null };

const saveOptions = <T>({ value, revision }: Save<T>) => ({
  method: "PUT" as const,
  body: value,
  revision: revision ?? undefined,
});

export function useSaveOrder() {
  const refresh = useRefresh();
  return useMutation({
    mutationFn: (save: Save<OrderBody>) =>
      save.revision === null
        ? command("/orders", { method: "POST", body: save.value })
        : command(`/orders/${segment(save.id)}`, saveOptions(save)),
    onSuccess: refresh,
  });
}

export function useDeleteOrder() {
  const refresh = useRefresh();
  return useMutation({
    mutationFn: ({ id, revision }: { readonly id: string; readonly revision: number | null }) =>
      command(`/orders/${segment(id)}`, { method: "DELETE", revision: revision ?? undefined }),
    onSuccess: refresh,
  });
}

export function useSavePlant<K extends PlantKind>(kind: K) {
  const refresh = useRefresh();
  return useMutation({
    mutationFn: (save: Save<PlantEntity<K>>) => command(`/${kind}/${segment(save.id)}`, saveOptions(save)),
    onSuccess: refresh,
  });
}

export function useDeletePlant(kind: PlantKind) {
  const refresh = useRefresh();
  return useMutation({
    mutationFn: ({ id, revision }: { readonly id: string; readonly revision: number | null }) =>
      command(`/${kind}/${segment(id)}`, { method: "DELETE", revision: revision ?? undefined }),
    onSuccess: refresh,
  });
}

export function useSaveSite() {
  const refresh = useRefresh();
  return useMutation({
    mutationFn: ({ value, revision }: { readonly value: SiteInput; readonly revision: number | null }) =>
      command("/site", { method: "PUT", body: siteInputSchema.parse(value), revision: revision ?? undefined }),
    onSuccess: refresh,
  });
}
