/**
 * Edits that the draft has not taken, in this browser's storage: each under a key of its own, so that two windows never write over each
 * other and a page that is closed, reloaded or crashed leaves them for the next one. Promises to say when storage is closed to it.
 */
import type { KeptEdit } from "../../board/lay-edits.ts";

/** Who made an edit; null: nobody knows any more. */
export type Author = { readonly id: string; readonly name: string } | null;
/** Why an edit stands beside the draft and waits: for its planner, or, made by somebody else in this browser, for them. */
export type Aside =
  | { readonly kind: "overtaken" }
  | { readonly kind: "refused"; readonly reason: string }
  | { readonly kind: "ofAnother"; readonly name: string | null };
export type StoredEdit = KeptEdit & { readonly aside: Aside | null; readonly author: Author };

const PREFIX = "plan-board.unsent/";
let counted = 0;

/** Sorts by age, also between windows. */
export const newEditId = (): string =>
  `${String(Date.now()).padStart(14, "0")}-${String(counted++).padStart(5, "0")}-${Math.random().toString(36).slice(2, 8)}`;

/** Minutes count from the origin, so edits of another origin mean nothing here. Those of all who worked in this browser. */
export function storedEdits(origin: string): readonly StoredEdit[] {
  try {
    return Object.keys(localStorage)
      .filter((key) => key.startsWith(PREFIX))
      .sort()
      .flatMap((key) => {
        const read = JSON.parse(localStorage.getItem(key) ?? "null") as (StoredEdit & { readonly origin: unknown }) | null;
        if (read?.origin !== origin || !Array.isArray(read.edit?.changes) || !Array.isArray(read.before)) return [];
        const { edit, before, aside, author } = read;
        return [{ id: key.slice(PREFIX.length), edit, before, aside: aside ?? null, author: author ?? null }];
      });
  } catch {
    return [];
  }
}

/** False: storage is closed to this page, and the edit lasts only as long as the page does. */
export function storeEdit(origin: string, { id, edit, before, aside, author }: StoredEdit): boolean {
  try {
    localStorage.setItem(PREFIX + id, JSON.stringify({ origin, edit, before, aside, author }));
    return true;
  } catch {
    return false;
  }
}

export function forgetEdit(id: string): void {
  try {
    localStorage.removeItem(PREFIX + id);
  } catch {
    // It could not be stored either.
  }
}

/** Tells which edit another window has settled. */
export function onSettledElsewhere(settled: (id: string) => void): () => void {
  const heard = ({ key, newValue }: StorageEvent): void => {
    if (key?.startsWith(PREFIX) && newValue === null) settled(key.slice(PREFIX.length));
  };
  window.addEventListener("storage", heard);
  return () => window.removeEventListener("storage", heard);
}
