/**
 * The draft between this page and the server. Every edit is laid over the draft at once, kept in a queue (and in this browser's storage)
 * and sent in order; with the network gone it stays there. Promises: no edit is lost unless the server refuses it, and that is said.
 * When somebody else changed the draft meanwhile, the edits are laid over the newer one.
 */
import { type DraftAnswer, draftAnswerSchema, type PlanView, planViewSchema } from "../../../src/contract/api/plan.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import { applyEdit, isEmptyEdit, type PlanEdit } from "../../board/plan-edit.ts";
import { ApiProblem, NotReached } from "../../client/api-problem.ts";
import { request } from "../../client/request.ts";

const STORAGE_KEY = "plan-board.unsent";
const RETRY_MS = 4000;

export type SyncNews =
  | { readonly kind: "changed" }
  | { readonly kind: "laidOver" }
  | { readonly kind: "refused"; readonly reason: string }
  | { readonly kind: "sent" };

export type DraftSync = {
  /** What the server last said. */
  base(): PlanView;
  /** The draft with everything not sent yet. */
  plan(): Plan;
  unsent(): number;
  offline(): boolean;
  /** A newer reading from the server. */
  read(view: PlanView): void;
  add(edit: PlanEdit): void;
  undo(): Promise<void>;
  redo(): Promise<void>;
  canUndo(): boolean;
  canRedo(): boolean;
  close(): void;
};

export function startDraftSync(first: PlanView, tell: (news: SyncNews) => void, accept: (view: PlanView) => void): DraftSync {
  let base = first;
  let queue: PlanEdit[] = stored(first.problem.origin);
  let taken: PlanEdit[] = [];
  let sending = false;
  let offline = false;
  let closed = false;
  let plan = laid();
  let timer: ReturnType<typeof setTimeout> | undefined;

  function laid(): Plan {
    return queue.reduce(applyEdit, base.draft.plan as Plan);
  }
  const changed = (): void => {
    plan = laid();
    store(base.problem.origin, queue);
    tell({ kind: "changed" });
  };
  const adopt = ({ draft, check }: DraftAnswer): void => {
    base = { ...base, draft, check };
    accept(base);
  };
  const reread = async (): Promise<void> => {
    const { value } = await request(planViewSchema, "/plan");
    base = value;
    accept(base);
  };
  const later = (): void => {
    clearTimeout(timer);
    if (!closed) timer = setTimeout(() => void flush(), RETRY_MS);
  };

  async function flush(): Promise<void> {
    if (sending || closed) return;
    sending = true;
    try {
      while (queue.length > 0 && !closed) {
        const edit = queue[0] as PlanEdit;
        const body = { plan: applyEdit(base.draft.plan as Plan, edit), note: edit.note.slice(0, 500) };
        try {
          const { value } = await request(draftAnswerSchema, "/plan/draft", {
            method: "PUT",
            body,
            revision: base.draft.revision,
          });
          queue = queue.slice(1);
          offline = false;
          adopt(value);
          changed();
        } catch (error) {
          if (error instanceof NotReached) throw error;
          if (error instanceof ApiProblem && (error.status === 412 || error.status === 409)) {
            await reread();
            tell({ kind: "laidOver" });
            changed();
            continue;
          }
          queue = queue.slice(1);
          changed();
          tell({ kind: "refused", reason: error instanceof Error ? error.message : String(error) });
        }
      }
      if (offline) {
        offline = false;
        tell({ kind: "sent" });
      }
    } catch {
      offline = true;
      tell({ kind: "changed" });
      later();
    } finally {
      sending = false;
    }
  }

  const step = async (way: "undo" | "redo"): Promise<void> => {
    try {
      const { value } = await request(draftAnswerSchema, `/plan/draft/${way}`, { method: "POST", revision: base.draft.revision });
      adopt(value);
      changed();
    } catch (error) {
      if (error instanceof ApiProblem && (error.status === 412 || error.status === 409)) {
        await reread();
        changed();
      } else tell({ kind: "refused", reason: error instanceof Error ? error.message : String(error) });
    }
  };
  const online = (): void => void flush();
  window.addEventListener("online", online);
  if (queue.length > 0) void flush();

  return {
    base: () => base,
    plan: () => plan,
    unsent: () => queue.length,
    offline: () => offline,
    read(view) {
      // Undo goes back to lower numbers, so a lower one is no sign of an older reading; while sending, the answer decides.
      if (sending) return;
      base = view;
      offline = false;
      plan = laid();
      if (queue.length > 0) void flush();
    },
    add(edit) {
      if (isEmptyEdit(edit)) return;
      queue = [...queue, edit];
      taken = [];
      changed();
      void flush();
    },
    async undo() {
      const unsentEdit = offline || (!sending && queue.length > 0) ? queue.at(-1) : undefined;
      if (unsentEdit) {
        queue = queue.slice(0, -1);
        taken = [...taken, unsentEdit];
        changed();
        return;
      }
      await step("undo");
    },
    async redo() {
      const edit = taken.at(-1);
      if (edit) {
        taken = taken.slice(0, -1);
        queue = [...queue, edit];
        changed();
        await flush();
        return;
      }
      await step("redo");
    },
    canUndo: () => queue.length > 0 || base.draft.canUndo,
    canRedo: () => taken.length > 0 || base.draft.canRedo,
    close() {
      closed = true;
      clearTimeout(timer);
      window.removeEventListener("online", online);
    },
  };
}

/** Minutes count from the origin, so edits of another origin mean nothing here. */
function stored(origin: string): PlanEdit[] {
  try {
    const read = JSON.parse(localStorage.getItem(STORAGE_KEY) ?? "null") as { origin?: unknown; edits?: unknown } | null;
    if (read?.origin !== origin || !Array.isArray(read.edits)) return [];
    return (read.edits as PlanEdit[]).filter((edit) => Array.isArray(edit.changes));
  } catch {
    return [];
  }
}

function store(origin: string, queue: readonly PlanEdit[]): void {
  try {
    if (queue.length === 0) localStorage.removeItem(STORAGE_KEY);
    else localStorage.setItem(STORAGE_KEY, JSON.stringify({ origin, edits: queue }));
  } catch {
    // Storage is closed to this page: the queue lasts as long as the page does.
  }
}
