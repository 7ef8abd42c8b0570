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
/** Other planners may be quicker so many times in a row before the change is given back with what the server says. */
const OVERTAKEN_MAX = 5;

/** Trouble that says nothing about the edit: no answer, a server in trouble, a session that ended, too many requests. */
const isPassing = (error: unknown): boolean =>
  error instanceof NotReached ||
  (error instanceof ApiProblem && (error.status >= 500 || error.status === 401 || error.status === 429));

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
  /** The sending under way, for a step back that must come after it. */
  let underWay: Promise<void> = Promise.resolve();
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

  function flush(): Promise<void> {
    if (!sending && !closed) underWay = send();
    return underWay;
  }

  async function send(): Promise<void> {
    sending = true;
    let overtaken = 0;
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
          if (isPassing(error)) throw error;
          if (error instanceof ApiProblem && error.status === 412 && overtaken < OVERTAKEN_MAX) {
            overtaken++;
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
      if (error instanceof ApiProblem && error.status === 412) {
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
      // What is on its way arrives first; with the network gone, it fails and stays in the queue.
      await underWay;
      const unsentEdit = queue.at(-1);
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
