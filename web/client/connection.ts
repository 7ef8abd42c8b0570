/** Whether the server answers, as seen by the last requests: one store that the banner and the screens listen to. */
export type Connection = "reached" | "lost";

let state: Connection = "reached";
const listeners = new Set<() => void>();

export const connection = {
  get: (): Connection => state,
  set(next: Connection): void {
    if (next === state) return;
    state = next;
    for (const listener of listeners) listener();
  },
  subscribe(listener: () => void): () => void {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
};

window.addEventListener("offline", () => connection.set("lost"));
