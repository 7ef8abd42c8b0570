/** Requests for rig time: the list, one of them, and everything that can be said to one. */
import { queryOptions, useMutation, useQueryClient, useSuspenseQuery } from "@tanstack/react-query";
import { useMemo } from "react";
import {
  type RequestInput,
  type RequestSummary,
  type RequestView,
  requestListSchema,
  requestSchema,
} from "../../src/contract/api/request.ts";
import { request } from "./request.ts";
import { keys, ordersQuery } from "./shop.ts";

/** Below the plan's key: a slot that runs out changes the plan, and with it how a request stands. */
const REQUESTS = [...keys.plan, "requests"] as const;
export const requestKeys = { all: REQUESTS, one: (number: number) => [...REQUESTS, number] as const };

export const requestsQuery = queryOptions({
  queryKey: [...REQUESTS, "list"],
  queryFn: async ({ signal }): Promise<readonly RequestSummary[]> =>
    (await request(requestListSchema, "/requests", { signal })).value.items,
});

/** Numbers that a new order may not take: of the book, and of requests, whose orders come into it under theirs. */
export function useTakenNumbers(): readonly string[] {
  const orders = useSuspenseQuery(ordersQuery).data;
  const requests = useSuspenseQuery(requestsQuery).data;
  return useMemo(() => [...orders.map(({ id }) => id), ...requests.map(({ order }) => order)], [orders, requests]);
}

export const requestQuery = (number: number) =>
  queryOptions({
    queryKey: requestKeys.one(number),
    queryFn: async ({ signal }): Promise<RequestView> => (await request(requestSchema, `/requests/${number}`, { signal })).value,
  });

export function useMakeRequest() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: async (input: RequestInput) => (await request(requestSchema, "/requests", { method: "POST", body: input })).value,
    onSuccess: () => client.invalidateQueries({ queryKey: REQUESTS }),
  });
}

export type RequestAct = "accept" | "counter" | "decline" | "agree" | "ask-again" | "withdraw";

/** `revision` is the draft's, where the act changes it. */
export type Said = {
  readonly number: number;
  readonly act: RequestAct;
  readonly body: object;
  readonly revision?: number | undefined;
};

export function useSayToRequest() {
  const client = useQueryClient();
  return useMutation({
    mutationFn: async ({ number, act, body, revision }: Said) =>
      (await request(requestSchema, `/requests/${number}/${act}`, { method: "POST", body, revision })).value,
    onSettled: () =>
      Promise.all([client.invalidateQueries({ queryKey: keys.plan }), client.invalidateQueries({ queryKey: keys.orders })]),
  });
}
