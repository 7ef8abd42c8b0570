/** Reads the server's events as a screen would, and waits for the one that matters. */
import { type LiveEvent, liveEventSchema } from "../../../src/contract/api/event.ts";

export type EventStream = Readonly<{
  seen: readonly LiveEvent[];
  comments: readonly string[];
  /** The first event, past or to come, that fits. */
  wait(fits: (event: LiveEvent) => boolean): Promise<LiveEvent>;
  close(): void;
}>;

const PATIENCE_MS = 45_000;

export async function eventStream(address: string): Promise<EventStream> {
  const leaving = new AbortController();
  const response = await fetch(`${address}/api/v1/events`, { signal: leaving.signal });
  if (!response.ok || !response.body) throw new Error(`no events: ${response.status}`);
  const seen: LiveEvent[] = [];
  const comments: string[] = [];
  const waiting = new Set<() => void>();
  const reading = read(response.body.pipeThrough(new TextDecoderStream()).getReader()).catch(() => undefined);

  async function read(reader: ReadableStreamDefaultReader<string>): Promise<void> {
    let rest = "";
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      const lines = (rest + value).split("\n");
      rest = lines.pop() ?? "";
      for (const line of lines) {
        if (line.startsWith(":")) comments.push(line);
        if (line.startsWith("data: ")) seen.push(liveEventSchema.parse(JSON.parse(line.slice(6))));
      }
      for (const look of waiting) look();
    }
  }

  return {
    seen,
    comments,
    wait: (fits) =>
      new Promise((resolve, reject) => {
        const timer = setTimeout(() => reject(new Error(`no such event among ${JSON.stringify(seen)}`)), PATIENCE_MS);
        const look = (): void => {
          const event = seen.find(fits);
          if (!event) return;
          clearTimeout(timer);
          waiting.delete(look);
          resolve(event);
        };
        waiting.add(look);
        look();
      }),
    close: () => {
      leaving.abort();
      void reading;
    },
  };
}
