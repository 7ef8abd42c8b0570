/**
 * What is offered after a drop that makes conflicts. The drop itself is in the draft already and stays whatever happens here; the
 * offer ends when one is taken, when it is left, or when the draft is no longer the one it is about.
 */
import { useCallback, useEffect, useRef, useState } from "react";
import { hasBegun, type OperationId } from "../../../src/core/orders/operation.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";
import { sameLots, samePlan } from "../../../src/core/problem/same-plan.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { newConflicts } from "../../board/conflict-list.ts";
import type { BoardController } from "./board-controller.ts";
import type { Drop } from "./board-memory.ts";
import { type DropAnswer, type Repairer, startRepairer } from "./repairer.ts";

export type DropOffer = {
  readonly operation: OperationId;
  readonly number: string;
  /** The draft with the drop in it. */
  readonly plan: Plan;
  /** Conflicts that the drop has made. */
  readonly made: number;
  readonly answers: readonly DropAnswer[];
  readonly searching: boolean;
};

export type DropRepair = {
  readonly offer: DropOffer | null;
  /** A drop has been put into the draft. */
  dropped(drop: Drop): void;
  leave(): void;
  /** Makes ready for drops in this problem, with or without a network. */
  warm(problem: Problem): void;
};

/** Running work goes on by itself from one reading to the next; that is no other draft. */
export const freeWork = (model: BoardModel, plan: Plan): Plan => ({
  operations: plan.operations.filter(({ operation: id }) => {
    const operation = model.shop.operation.get(id);
    return operation !== undefined && !hasBegun(operation.progress);
  }),
});

export function useDropRepair(controller: BoardController, model: BoardModel): DropRepair {
  const [offer, setOffer] = useState<DropOffer | null>(null);
  const waiting = useRef<{ readonly drop: Drop; readonly before: BoardModel } | null>(null);
  const repairer = useRef<Repairer | null>(null);
  const open = useRef<DropOffer | null>(null);
  open.current = offer;

  const leave = useCallback((): void => {
    waiting.current = null;
    repairer.current?.stop();
    setOffer(null);
    controller.showGhosts(null);
  }, [controller]);
  useEffect(
    () => () => {
      repairer.current?.close();
      repairer.current = null;
    },
    [],
  );

  useEffect(() => {
    const now = open.current;
    if (now && !samePlan(freeWork(model, now.plan), freeWork(model, model.plan))) leave();
    const asked = waiting.current;
    if (!asked || model === asked.before) return;
    const { lift } = asked.drop;
    const { operation, number } = lift;
    const lies = model.planned.get(operation.id);
    if (!lies || !sameLots(lies.lots, lift.planned.lots)) return;
    waiting.current = null;
    const made = newConflicts(asked.before.check.conflicts, model.check.conflicts).length;
    if (made === 0) return;
    const first: DropOffer = { operation: operation.id, number, plan: model.plan, made, answers: [], searching: true };
    setOffer(first);
    repairer.current ??= startRepairer();
    repairer.current.repair(model.shop.problem, model.plan, operation.id, ({ answers, searching }) =>
      setOffer((old) => (old === null ? null : { ...old, answers, searching })),
    );
  }, [model, leave]);

  return {
    offer,
    dropped(drop) {
      waiting.current = { drop, before: model };
    },
    leave,
    warm: useCallback((problem: Problem) => {
      repairer.current ??= startRepairer();
      repairer.current.warm(problem);
    }, []),
  };
}
