/**
 * The draft between this page and the server. Every edit is laid over the draft at once, kept in a queue (and in this browser's storage)
 * and sent in order; with the network gone it stays there. Promises: no edit is lost. When somebody else changed other work meanwhile,
 * the edits are laid over the newer draft; when they changed the same work, or the server refuses the edit, it is put aside with the
 * reason until its planner puts it in again or lets it go. What somebody else made in this browser goes out only in their own name:
 * here it stands aside. Problem and plan are always of one reading: a newer one waits until what is being sent is answered.
 */
import { type DraftAnswer, draftAnswerSchema, type PlanView } from "../../../src/contract/api/plan.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import { type KeptEdit, keptEdit, layEdits } from "../../board/lay-edits.ts";
import { applyEdit, isEmptyEdit, type PlanEdit } from "../../board/plan-edit.ts";
import { ApiProblem, NotReached } from "../../client/api-problem.ts";
import { readPlan } from "../../client/read-plan.ts";
import { request } from "../../client/request.ts";
import { isHere } from "../../client/who-is-here.ts";
import {
  type Aside,
  type Author,
  forgetEdit,
  newEditId,
  onSettledElsewhere,
  type StoredEdit,
  storedEdits,
  storeEdit,
} from "./kept-edits.ts";

const RETRY_MS = 4000;
/** Other planners may be quicker so many times in a row before the change is put aside with what the server says. */
const OVERTAKEN_MAX = 5;

/** Trouble that says nothing about the edit: no answer, a server in trouble, a session that ended, too many requests. */
const isPassing = (error: unknown): boolean =>
  error instanceof NotReached ||
  (error instanceof ApiProblem && (error.status >= 500 || error.status === 401 || error.status === 429));

const reasonOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

export type SyncNews =
  | { readonly kind: "changed" }
  | { readonly kind: "laidOver" }
  | { readonly kind: "refusedStep"; readonly reason: string }
  | { readonly kind: "sent" };

/** An edit that stands beside the draft. */
export type AsideEdit = KeptEdit & { readonly aside: Aside };

export type DraftSync = {
  /** What the server last said. */
  base(): PlanView;
  /** The draft with everything not sent yet. */
  plan(): Plan;
  unsent(): number;
  offline(): boolean;
  /** Edits that the draft has not taken, with why. */
  aside(): readonly AsideEdit[];
  /** A newer reading from the server. */
  read(view: PlanView): void;
  add(edit: PlanEdit): void;
  /** Puts an edit that stands aside into the draft as it is now. */
  putIn(id: string): void;
  letGo(id: string): void;
  undo(): Promise<void>;
  redo(): Promise<void>;
  canUndo(): boolean;
  canRedo(): boolean;
  close(): void;
};

export function startDraftSync(
  first: PlanView,
  me: Author,
  tell: (news: SyncNews) => void,
  /** Gives the reading as it is kept: parts that are the same as before stay the very same. */
  accept: (view: PlanView) => PlanView,
): DraftSync {
  const stored = storedEdits(first.problem.origin).map((each): StoredEdit => {
    const { author } = each;
    return author?.id === me?.id ? each : { ...each, aside: { kind: "ofAnother", name: author?.name ?? null } };
  });
  let base = first;
  /** Read while something was being sent. */
  let heard: PlanView | null = null;
  /** Readings that this queue has made of answers: hearing them again says nothing new. */
  const own = new WeakSet<PlanView>();
  let queue: readonly KeptEdit[] = stored.filter(({ aside }) => aside === null);
  let aside: readonly AsideEdit[] = stored.filter((each): each is StoredEdit & AsideEdit => each.aside !== null);
  let taken: readonly PlanEdit[] = [];
  /** Edits that storage would not take. */
  const loose = new Set<string>();
  let sending = false;
  /** The sending under way, for a step back that must come after it. */
  let underWay: Promise<void> = Promise.resolve();
  /** Steps back and forth in the order they were pressed: each begins from the revision that the one before has led to. */
  let steps: Promise<void> = Promise.resolve();
  let offline = false;
  let closed = false;
  let plan = base.draft.plan as Plan;
  let timer: ReturnType<typeof setTimeout> | undefined;

  const keep = (kept: StoredEdit): void => {
    if (storeEdit(base.problem.origin, kept)) loose.delete(kept.id);
    else loose.add(kept.id);
  };
  const forget = (id: string): void => {
    loose.delete(id);
    forgetEdit(id);
  };
  const putAside = (kept: KeptEdit, why: Aside): void => {
    aside = [...aside, { ...kept, aside: why }];
    keep({ ...kept, aside: why, author: me });
  };
  /** Lays the queue over the draft as it is; what does not belong over it any more leaves the queue. */
  const lay = (): void => {
    const laid = layEdits(base.draft.plan as Plan, queue);
    plan = laid.plan;
    queue = laid.over;
    for (const { id } of laid.there) forget(id);
    for (const kept of laid.overtaken) putAside(kept, { kind: "overtaken" });
  };
  const changed = (): void => {
    lay();
    tell({ kind: "changed" });
  };
  const settleOn = (view: PlanView): void => {
    heard = null;
    base = accept(view);
    own.add(base);
  };
  const adopt = ({ draft, check }: DraftAnswer): void => settleOn({ ...(heard ?? base), draft, check });
  const reread = async (): Promise<void> => {
    settleOn(await readPlan());
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
      // Somebody else signed in in another window: what is here stays theirs who made it.
      while (queue.length > 0 && !closed && isHere(me?.id ?? null)) {
        const kept = queue[0] as KeptEdit;
        const { edit } = kept;
        const body = { plan: applyEdit(base.draft.plan as Plan, edit), note: edit.note.slice(0, 500) };
        try {
          const { value } = await request(draftAnswerSchema, "/plan/draft", {
            method: "PUT",
            body,
            revision: base.draft.revision,
            checkedThere: true,
          });
          queue = queue.filter(({ id }) => id !== kept.id);
          forget(kept.id);
          offline = false;
          adopt(value);
          changed();
        } catch (error) {
          if (isPassing(error)) throw error;
          if (error instanceof ApiProblem && error.status === 412 && overtaken < OVERTAKEN_MAX) {
            overtaken++;
            await reread();
            changed();
            if (queue.some(({ id }) => id === kept.id)) tell({ kind: "laidOver" });
            continue;
          }
          queue = queue.filter(({ id }) => id !== kept.id);
          putAside(kept, { kind: "refused", reason: reasonOf(error) });
          changed();
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
      if (heard && !closed) take(heard);
    }
  }

  /** A reading becomes what the edits lie over. */
  function take(view: PlanView): void {
    base = view;
    heard = null;
    changed();
  }

  const step = async (way: "undo" | "redo"): Promise<void> => {
    try {
      const { value } = await request(draftAnswerSchema, `/plan/draft/${way}`, {
        ...{ method: "POST", revision: base.draft.revision },
        checkedThere: true,
      });
      adopt(value);
      changed();
    } catch (error) {
      if (error instanceof ApiProblem && error.status === 412) {
        await reread();
        changed();
      } else tell({ kind: "refusedStep", reason: reasonOf(error) });
    }
  };
  const next = (one: () => Promise<void>): Promise<void> => {
    steps = steps.then(one, one);
    return steps;
  };
  const append = (edit: PlanEdit): Promise<void> => {
    const kept = keptEdit(newEditId(), edit, plan);
    queue = [...queue, kept];
    keep({ ...kept, aside: null, author: me });
    changed();
    return flush();
  };
  const online = (): void => void flush();
  window.addEventListener("online", online);
  const deaf = onSettledElsewhere((id) => {
    if (!queue.some((kept) => kept.id === id) && !aside.some((kept) => kept.id === id)) return;
    queue = queue.filter((kept) => kept.id !== id);
    aside = aside.filter((kept) => kept.id !== id);
    changed();
  });
  /** Only what could not be stored would go with the page. */
  const leaving = (event: BeforeUnloadEvent): void => {
    if (loose.size > 0) event.preventDefault();
  };
  window.addEventListener("beforeunload", leaving);
  lay();
  if (queue.length > 0) void flush();

  return {
    base: () => base,
    plan: () => plan,
    unsent: () => queue.length,
    offline: () => offline,
    aside: () => aside,
    read(view) {
      // Undo goes back to lower numbers, so a lower one is no sign of an older reading; while sending, the answer decides.
      if (sending) {
        if (!own.has(view)) heard = view;
        return;
      }
      offline = false;
      take(view);
      if (queue.length > 0) void flush();
    },
    add(edit) {
      if (isEmptyEdit(edit)) return;
      taken = [];
      void append(edit);
    },
    putIn(id) {
      const found = aside.find((kept) => kept.id === id);
      if (!found) return;
      aside = aside.filter((kept) => kept !== found);
      forget(id);
      void append(found.edit);
    },
    letGo(id) {
      aside = aside.filter((kept) => kept.id !== id);
      forget(id);
      tell({ kind: "changed" });
    },
    undo: () =>
      next(async () => {
        // What is on its way arrives first; with the network gone, it fails and stays in the queue.
        await underWay;
        const last = queue.at(-1);
        if (last) {
          queue = queue.slice(0, -1);
          forget(last.id);
          taken = [...taken, last.edit];
          changed();
          return;
        }
        await step("undo");
      }),
    redo: () =>
      next(async () => {
        const edit = taken.at(-1);
        if (edit) {
          taken = taken.slice(0, -1);
          await append(edit);
          return;
        }
        await step("redo");
      }),
    canUndo: () => queue.length > 0 || base.draft.canUndo,
    canRedo: () => taken.length > 0 || base.draft.canRedo,
    close() {
      closed = true;
      clearTimeout(timer);
      deaf();
      window.removeEventListener("online", online);
      window.removeEventListener("beforeunload", leaving);
    },
  };
}
