/** Joins the three memories of the board: what the server says, what is not sent yet, and what the drawing shows. */
import { useCallback, useEffect, useMemo, useRef, useState } from "react";
import type { PlanView } from "../../../src/contract/api/plan.ts";
import { check } from "../../../src/core/check/checker.ts";
import type { CheckResult } from "../../../src/core/check/conflict.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { samePlan } from "../../../src/core/problem/same-plan.ts";
import { type BoardModel, boardModel, shopModel } from "../../board/board-model.ts";
import { toast } from "../../parts/toast.tsx";
import { siteTime } from "../../present/site-time.ts";
import { words } from "../../words/words.ts";
import { type BoardController, createBoardController } from "./board-controller.ts";
import type { ControllerEvents } from "./board-memory.ts";
import { type AsideEdit, type DraftSync, startDraftSync } from "./draft-sync.ts";
import type { Author } from "./kept-edits.ts";

export type PlanBoardMemory = {
  readonly controller: BoardController;
  readonly model: BoardModel;
  readonly sync: DraftSync | null;
  readonly unsent: number;
  readonly offline: boolean;
  readonly aside: readonly AsideEdit[];
};

type SyncState = {
  /** The reading that the plan lies over. */
  readonly base: PlanView;
  readonly plan: Plan;
  readonly unsent: number;
  readonly offline: boolean;
  readonly aside: readonly AsideEdit[];
};

export function usePlanBoard(
  view: PlanView,
  me: Author,
  mayEdit: boolean,
  events: ControllerEvents,
  onView: (view: PlanView) => PlanView,
  onRefused: (reason: string) => void,
): PlanBoardMemory {
  const [state, setState] = useState<SyncState>({
    base: view,
    plan: view.draft.plan as Plan,
    unsent: 0,
    offline: false,
    aside: [],
  });
  const sync = useRef<DraftSync | null>(null);
  const latest = useRef({ onView, onRefused, events });
  latest.current = { onView, onRefused, events };

  // A plan is judged by the problem that it was read with: by a later one, running work would seem to have moved.
  const { problem } = state.base as { problem: Problem };
  const { holds, draft, check: judged } = state.base;
  const shop = useMemo(() => shopModel(problem, siteTime(problem.zone, problem.origin, problem.now), holds), [problem, holds]);
  // The server's word on its own plan is taken; a plan with unsent edits is judged here by the same checker.
  const model = useMemo(() => {
    const served = state.unsent === 0 && samePlan(state.plan, draft.plan as Plan);
    return boardModel(shop, state.plan, served ? (judged as CheckResult) : check(problem, state.plan));
  }, [shop, state.plan, state.unsent, draft.plan, judged, problem]);

  const [controller] = useState(() =>
    createBoardController(model, mayEdit, {
      onDrop: (drop) => latest.current.events.onDrop(drop),
      onLift: (lift) => latest.current.events.onLift(lift),
      onPutBack: (lift) => latest.current.events.onPutBack(lift),
      onRefusedLift: (bar) => latest.current.events.onRefusedLift(bar),
    }),
  );
  useEffect(() => controller.setModel(model), [controller, model]);
  useEffect(() => controller.setMayEdit(mayEdit), [controller, mayEdit]);
  useEffect(() => () => controller.close(), [controller]);

  const first = useRef(view);
  first.current = view;
  const refresh = useCallback((): void => {
    const now = sync.current;
    if (now) setState({ base: now.base(), plan: now.plan(), unsent: now.unsent(), offline: now.offline(), aside: now.aside() });
  }, []);
  const { id, name } = me ?? { id: null, name: "" };
  useEffect(() => {
    const started = startDraftSync(
      first.current,
      id === null ? null : { id, name },
      (news) => {
        if (news.kind === "laidOver") toast(words.board.sync.laidOver);
        if (news.kind === "sent") toast(words.board.sync.sent);
        if (news.kind === "refusedStep") latest.current.onRefused(words.board.sync.refused(news.reason));
        refresh();
      },
      (next) => latest.current.onView(next),
    );
    sync.current = started;
    refresh();
    return () => {
      started.close();
      sync.current = null;
    };
  }, [refresh, id, name]);
  useEffect(() => {
    sync.current?.read(view);
    refresh();
  }, [view, refresh]);

  return { controller, model, sync: sync.current, unsent: state.unsent, offline: state.offline, aside: state.aside };
}
