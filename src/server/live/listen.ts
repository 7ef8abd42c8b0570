/**
 * LISTEN that comes back: one connection for some channels, made again after every loss. What was sent meanwhile is lost,
 * so `onBack` tells the listener to read again.
 */
import pg from "pg";

const WAIT_MIN_MS = 100;
const WAIT_MAX_MS = 5000;

export type Listener = { readonly ready: Promise<void>; close(): Promise<void> };

export function listen(url: string, channels: Readonly<Record<string, (payload: string) => void>>, onBack: () => void): Listener {
  const closing = new AbortController();
  let onReady = (): void => {};
  const ready = new Promise<void>((resolve) => {
    onReady = resolve;
  });
  const ended = keep();
  return {
    ready,
    close: async () => {
      closing.abort();
      await ended;
    },
  };

  async function keep(): Promise<void> {
    let first = true;
    for (let wait = WAIT_MIN_MS; !closing.signal.aborted; wait = Math.min(wait * 2, WAIT_MAX_MS)) {
      const client = new pg.Client({ connectionString: url, keepAlive: true, application_name: "slotwright notices" });
      const gone = new Promise<void>((resolve) => {
        client.once("error", () => resolve());
        client.once("end", () => resolve());
        closing.signal.addEventListener("abort", () => resolve(), { once: true });
      });
      client.on("error", () => {}); // a second one, after the first has ended the wait
      try {
        await client.connect();
        client.on("notification", ({ channel, payload }) => channels[channel]?.(payload ?? ""));
        for (const channel of Object.keys(channels)) await client.query(`LISTEN ${pg.escapeIdentifier(channel)}`);
        wait = WAIT_MIN_MS;
        if (first) onReady();
        else onBack();
        first = false;
        await gone;
      } catch {
        // not reachable yet: try again below
      } finally {
        await client.end().catch(() => {});
      }
      if (!closing.signal.aborted) await new Promise((resolve) => setTimeout(resolve, wait));
    }
  }
}
