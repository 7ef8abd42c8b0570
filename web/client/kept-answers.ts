/**
 * The last answers to what board and lists read, kept by this browser for a page that is opened without network. Promises: an answer
 * from here is used only for what this page has not read of the server yet, so that nothing on screen ever goes back to an older state;
 * whoever looks is told from when it is; and signing out forgets all of it. Where storage is closed to the page (no https), nothing is kept.
 */
import type { PlantKind } from "../../src/contract/api/shop.ts";

const STORE = "last-answers";

/** Named here one by one: the contract's own table would bring all its schemas into the first load. */
const PLANT: Readonly<Record<PlantKind, true>> = {
  ...{ calendars: true, machines: true, crews: true, supplies: true, kits: true, "setup-tables": true, routes: true },
  ...{ "run-hour-rules": true, "upkeep-rules": true },
};

/** Without feeds, accounts and questions: those hold secrets or are nothing without a server. */
const KEPT = new Set([
  ...["/session", "/site", "/plan/columns", "/plan/how-sure", "/orders", "/requests", "/holds", "/upkeep"],
  ...Object.keys(PLANT).map((kind) => `/${kind}`),
]);

const isKept = (address: string): boolean => KEPT.has(new URL(address, location.origin).pathname.replace(/^\/api\/v1/, ""));

/** What has come from the server since this page was opened. */
const readHere = new Set<string>();
let oldest: Date | null = null;
const listeners = new Set<() => void>();

function tell(next: Date | null): void {
  oldest = next;
  for (const listener of listeners) listener();
}

const store = (): Promise<Cache> | null => (typeof caches === "undefined" ? null : caches.open(STORE));

/** Keeps a good answer for later; its reader does not wait for that. */
export function keepAnswer(address: string, answer: Response): void {
  if (!isKept(address)) return;
  readHere.add(address);
  const copy = answer.clone();
  // A full disk or a closed storage: the page just has nothing to open with later.
  store()
    ?.then((cache) => cache.put(address, copy))
    .catch(() => undefined);
}

/** The last answer, for a page that has had none yet. */
export async function keptAnswer(address: string): Promise<Response | null> {
  if (!isKept(address) || readHere.has(address)) return null;
  const kept = await store()
    ?.then((cache) => cache.match(address))
    .catch(() => undefined);
  if (!kept) return null;
  const read = new Date(kept.headers.get("Date") ?? Number.NaN);
  if (!Number.isNaN(read.getTime()) && (oldest === null || read < oldest)) tell(read);
  return kept;
}

/** Somebody else may sit here next. */
export async function forgetAnswers(): Promise<void> {
  if (typeof caches !== "undefined") await caches.delete(STORE).catch(() => false);
}

/** From when the oldest answer of this browser is that is on the screen; null: everything came from the server. */
export const shownFrom = {
  get: (): Date | null => oldest,
  clear: (): void => tell(null),
  subscribe(listener: () => void): () => void {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
};
