/** Calendar feeds: which there are, making and revoking one. */
import { queryOptions, useMutation, useQueryClient } from "@tanstack/react-query";
import { type Feed, type FeedInput, type FeedMade, feedListSchema, feedMadeSchema } from "../../src/contract/api/feed.ts";
import { command, request, segment } from "./request.ts";

const KEY = ["calendar-feeds"] as const;

export const feedsQuery = queryOptions({
  queryKey: KEY,
  queryFn: async ({ signal }): Promise<readonly Feed[]> =>
    (await request(feedListSchema, "/calendar-feeds", { signal })).value.items,
});

export function useFeedChanges() {
  const client = useQueryClient();
  const onSuccess = (): Promise<void> => client.invalidateQueries({ queryKey: KEY });
  return {
    make: useMutation({
      mutationFn: async (body: FeedInput): Promise<FeedMade> =>
        (await request(feedMadeSchema, "/calendar-feeds", { method: "POST", body })).value,
      onSuccess,
    }),
    revoke: useMutation({
      mutationFn: (id: string) => command(`/calendar-feeds/${segment(id)}`, { method: "DELETE" }),
      onSuccess,
    }),
  };
}
