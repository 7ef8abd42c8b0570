/** Whoever asked for a rig is told on any screen when somebody else has answered. */
import { useQueryClient } from "@tanstack/react-query";
import { useMemo } from "react";
import { useLiveEvents } from "../client/live.ts";
import { requestQuery } from "../client/requests.ts";
import { sessionQuery } from "../client/shop.ts";
import { toast } from "../parts/toast.tsx";
import { words } from "../words/words.ts";

export function useRequestNews(): void {
  const client = useQueryClient();
  useLiveEvents(
    useMemo(
      () => (event) => {
        if (event.type !== "request") return;
        client
          .fetchQuery({ ...requestQuery(event.number), staleTime: 0 })
          .then(({ mine, number, state, lastMessage }) => {
            const me = client.getQueryData(sessionQuery.queryKey)?.user?.name;
            if (mine && lastMessage.by !== me) toast(words.rigs.news(number, words.rigs.states[state]));
          })
          // Not reached: the banner says so, and the list is read again with the connection.
          .catch(() => undefined);
      },
      [client],
    ),
  );
}
