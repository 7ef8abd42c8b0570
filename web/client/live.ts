/**
 * What happens elsewhere, as it happens: server-sent events turned into re-reading of what they concern.
 * The browser reconnects by itself; `reread` and every reconnection re-read everything, because notices may have been missed.
 */
import { useQueryClient } from "@tanstack/react-query";
import { useEffect } from "react";
import { type LiveEvent, liveEventSchema } from "../../src/contract/api/event.ts";
import { eventsAhead } from "./ahead.ts";
import { connection } from "./connection.ts";
import { API } from "./request.ts";
import { requestKeys } from "./requests.ts";
import { keys } from "./shop.ts";

const listeners = new Set<(event: LiveEvent) => void>();

/** For screens that follow a run: every event as it comes. */
export function useLiveEvents(listener: (event: LiveEvent) => void): void {
  useEffect(() => {
    listeners.add(listener);
    return () => void listeners.delete(listener);
  }, [listener]);
}

/** Once, in the shell. */
export function useLiveUpdates(enabled: boolean): void {
  const client = useQueryClient();
  useEffect(() => {
    if (!enabled) return;
    const early = eventsAhead();
    const source = early?.source ?? new EventSource(`${API}/events`);
    let opened = source.readyState === EventSource.OPEN;
    const reread = (queryKey?: readonly unknown[]): void => void client.invalidateQueries(queryKey ? { queryKey } : {});
    source.onopen = () => {
      connection.set("reached");
      if (opened) reread();
      opened = true;
    };
    source.onerror = () => {
      // It tries again by itself, unless the server refused it for good.
      if (source.readyState !== EventSource.CLOSED) connection.set("lost");
    };
    source.onmessage = (message: MessageEvent<string>) => {
      const parsed = liveEventSchema.safeParse(parseJson(message.data));
      if (!parsed.success) return;
      const event = parsed.data;
      for (const listener of listeners) listener(event);
      switch (event.type) {
        case "run":
          if (event.state !== "running" && event.state !== "queued") reread(["runs"]);
          break;
        case "draft":
          reread(keys.plan);
          reread(keys.orders);
          reread(["scenarios", "compared"]);
          break;
        case "request":
          reread(requestKeys.all);
          break;
        case "published":
          reread(keys.plan);
          break;
        case "scenario":
          reread(["scenarios"]);
          break;
        case "orders":
          reread(keys.orders);
          reread(keys.plan);
          break;
        case "shop":
        case "reread":
          reread();
          break;
      }
    };
    for (const message of early?.missed ?? []) source.onmessage(message);
    // Nobody has to press anything when the network is back, however long the stream waits before it tries again.
    const back = () => reread();
    window.addEventListener("online", back);
    return () => {
      window.removeEventListener("online", back);
      source.close();
    };
  }, [client, enabled]);
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return null;
  }
}
