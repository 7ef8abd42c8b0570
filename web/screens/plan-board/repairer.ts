/** The page's side of the repairing worker: one drop at a time, its answers as they get better. */
import type { RepairAnswer } from "../../../src/contract/api/questions/trouble.ts";
import type { OperationId } from "../../../src/core/orders/operation.ts";
import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Problem } from "../../../src/core/problem/problem.ts";

export type RepairQuestion =
  | { readonly kind: "problem"; readonly problem: Problem }
  | { readonly kind: "repair"; readonly id: number; readonly plan: Plan; readonly operation: OperationId }
  | { readonly kind: "stop" };

export type DropAnswer = RepairAnswer & { readonly movesDropped: boolean };

export type RepairNews = {
  readonly id: number;
  readonly answers: readonly DropAnswer[];
  readonly searching: boolean;
};

export type Repairer = {
  /** Fetches the worker while there is a network, for it must repair without one, too, and tells it the problem. */
  warm(problem: Problem): void;
  repair(problem: Problem, plan: Plan, operation: OperationId, then: (news: RepairNews) => void): void;
  stop(): void;
  close(): void;
};

export function startRepairer(): Repairer {
  let worker: Worker | null = null;
  let loaded: Problem | null = null;
  let last = 0;
  let hear: ((news: RepairNews) => void) | null = null;
  const started = (): Worker => {
    if (worker) return worker;
    worker = new Worker(new URL("./repair-worker.ts", import.meta.url), { type: "module" });
    worker.onmessage = ({ data }: MessageEvent<RepairNews>) => {
      if (data.id === last) hear?.(data);
    };
    // A search that breaks off is one that found nothing: the drop stays as it is.
    worker.onerror = () => hear?.({ id: last, answers: [], searching: false });
    return worker;
  };
  const ask = (question: RepairQuestion): void => started().postMessage(question);
  const load = (problem: Problem): void => {
    if (loaded !== problem) ask({ kind: "problem", problem });
    loaded = problem;
  };
  return {
    warm: load,
    repair(problem, plan, operation, then) {
      load(problem);
      hear = then;
      ask({ kind: "repair", id: ++last, plan, operation });
    },
    stop() {
      hear = null;
      if (worker) ask({ kind: "stop" });
    },
    close() {
      worker?.terminate();
      worker = null;
    },
  };
}
