/**
 * Server-sent events: every notice of the database to every open screen of this process. A comment goes out now and then
 * so that proxies keep the connection; after a lost database connection screens are told to read everything again.
 */
import { type LiveEvent, liveEventSchema } from "../../contract/api/event.ts";
import { LIVE_CHANNEL } from "../store/notice.ts";
import { listen } from "./listen.ts";

const HEARTBEAT_MS = 15_000;
/** One process serves a shop; more open screens than this are a fault somewhere. */
const SCREENS_MAX = 500;

type Screen = { write(chunk: string): unknown; end(): unknown };

export type LiveEvents = {
  readonly ready: Promise<void>;
  readonly screens: number;
  /** Adds a screen whose head was sent already; false when there are too many. Returns how to take it away. */
  add(screen: Screen): (() => void) | null;
  close(): Promise<void>;
};

export function openLiveEvents(url: string): LiveEvents {
  const screens = new Set<Screen>();
  const send = (chunk: string): void => {
    for (const screen of screens) screen.write(chunk);
  };
  const tell = (event: LiveEvent): void => send(`data: ${JSON.stringify(event)}\n\n`);
  const listener = listen(
    url,
    {
      [LIVE_CHANNEL]: (payload) => {
        const event = liveEventSchema.safeParse(parsed(payload));
        if (event.success) tell(event.data);
      },
    },
    () => tell({ type: "reread" }),
  );
  const heartbeat = setInterval(() => send(": still here\n\n"), HEARTBEAT_MS);
  heartbeat.unref();
  return {
    ready: listener.ready,
    get screens() {
      return screens.size;
    },
    add(screen) {
      if (screens.size >= SCREENS_MAX) return null;
      screens.add(screen);
      screen.write("retry: 2000\n: connected\n\n");
      return () => void screens.delete(screen);
    },
    async close() {
      clearInterval(heartbeat);
      for (const screen of screens) screen.end();
      screens.clear();
      await listener.close();
    },
  };
}

function parsed(payload: string): unknown {
  try {
    return JSON.parse(payload);
  } catch {
    return null;
  }
}
