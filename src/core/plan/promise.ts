/**
 * "When can I have it?": the earliest finish of an order without moving anybody, and the earliest that a short search finds when
 * others may move as far as no promise is broken. Both are plans that the checker has passed. What the dates assume is listed, to be
 * quoted with them. How sure they are is asked of the caller's simulation: the core of this room knows no chance.
 */
import type { Minute } from "../calendar/minute.ts";
import { type Fault, ok, type Result } from "../ground/result.ts";
import type { Operation, Pin } from "../orders/operation.ts";
import type { OrderId } from "../orders/order.ts";
import type { Plan } from "../problem/plan.ts";
import type { Problem } from "../problem/problem.ts";
import { type RushAnswer, type RushProgress, rush } from "./rush.ts";
import type { WantedOrder } from "./wanted-order.ts";

/** Date of the order at each confidence, in per cent; null: not within the horizon. */
export type ConfidenceDates = readonly { readonly percent: number; readonly finish: Minute | null }[];
/** Who knows the risks: the simulation, handed in. */
export type AskConfidence = (problem: Problem, plan: Plan, order: OrderId, percents: readonly number[]) => ConfidenceDates;

export type Assumption =
  | { readonly kind: "materialOnHand"; readonly at: Minute }
  | { readonly kind: "pieces"; readonly good: number; readonly toStart: number; readonly scrapPerMille: number }
  | { readonly kind: "asPlanned"; readonly operations: number; readonly conflicts: number }
  | { readonly kind: "nothingElseOrdered" }
  | { readonly kind: "outsideWork"; readonly operation: Operation["id"] }
  | { readonly kind: "worksUnattended"; readonly minutes: Minute };

export type PromiseDate = {
  readonly finish: Minute;
  readonly answer: RushAnswer;
  readonly confidence: ConfidenceDates | null;
};

export type PromiseOutcome = {
  readonly problem: Problem;
  readonly order: OrderId;
  readonly due: Minute | null;
  /** Nobody moves; null: it does not fit before the horizon. */
  readonly asItStands: PromiseDate | null;
  /** Others move, no promise is broken; null: nothing earlier than that was found. */
  readonly withMoves: PromiseDate | null;
  readonly assumptions: readonly Assumption[];
  /** What stood against it when there is no date at all. */
  readonly blocked: readonly string[];
};

export type PromiseOptions = {
  readonly seed?: number;
  readonly confidence?: AskConfidence;
  readonly percents?: readonly number[];
  /** Without the search for dates that move others. */
  readonly onlyAsItStands?: boolean;
  readonly shouldStop?: () => boolean;
  readonly onProgress?: (progress: Pick<RushProgress, "done" | "total">) => void;
};

const PERCENTS = [80, 95] as const;

export function promise(
  problem: Problem,
  plan: Plan,
  order: WantedOrder,
  options: PromiseOptions = {},
): Result<PromiseOutcome, Fault> {
  const outcome = rush(problem, plan, order, {
    ...(options.seed === undefined ? {} : { seed: options.seed }),
    ...(options.shouldStop === undefined ? {} : { shouldStop: options.shouldStop }),
    ...(options.onProgress === undefined ? {} : { onProgress: options.onProgress }),
    iterations: 0,
    answersMost: Number.MAX_SAFE_INTEGER,
    effort: options.onlyAsItStands ? "nothingMoves" : "noPromiseBroken",
  });
  if (!outcome.ok) return outcome;
  const { answers, blocked, standing } = outcome.value;
  // an order that is planned is ready when the plan says, where nothing better was found
  const still = answers.find(({ difference }) => difference.moved.length === 0) ?? standing ?? undefined;
  const moving = answers.find(({ lateness, difference }) => lateness === 0 && difference.moved.length > 0);
  const dated = (answer: RushAnswer): PromiseDate => ({
    finish: answer.finish,
    answer,
    confidence:
      options.confidence?.(outcome.value.problem, answer.plan, outcome.value.order, options.percents ?? PERCENTS) ?? null,
  });
  return ok({
    problem: outcome.value.problem,
    order: outcome.value.order,
    due: outcome.value.problem.orders.find(({ id }) => id === outcome.value.order)?.due ?? null,
    asItStands: still === undefined ? null : dated(still),
    withMoves: moving === undefined || (still !== undefined && moving.finish >= still.finish) ? null : dated(moving),
    assumptions: assumptionsOf(outcome.value.problem, plan, outcome.value.order, still ?? moving ?? null),
    blocked: blocked.map(({ sentence }) => sentence),
  });
}

function assumptionsOf(problem: Problem, plan: Plan, id: OrderId, answer: RushAnswer | null): readonly Assumption[] {
  const order = problem.orders.find((candidate) => candidate.id === id);
  const operations = problem.operations.filter((operation) => operation.order === id);
  const first = operations[0];
  if (order === undefined || first === undefined) return [];
  const outside = operations.filter(({ modes }) => modes.every(({ machines }) => machines.length === 0));
  return [
    { kind: "materialOnHand", at: Math.max(order.release, problem.now) },
    {
      kind: "pieces",
      good: order.quantity,
      toStart: first.pieces / first.piecesPerUnit,
      scrapPerMille: order.scrapPerMille,
    },
    { kind: "asPlanned", operations: plan.operations.length, conflicts: answer?.conflicts.length ?? 0 },
    { kind: "nothingElseOrdered" },
    ...outside.map(({ id }): Assumption => ({ kind: "outsideWork", operation: id })),
    ...(answer !== null && answer.nightMinutes > 0
      ? [{ kind: "worksUnattended", minutes: answer.nightMinutes } satisfies Assumption]
      : []),
  ];
}

/** Pins that keep a slot as it is: machines and first start of each of the order's operations that has not begun. To free it, lift them. */
export function slotPins(
  problem: Problem,
  plan: Plan,
  order: OrderId,
): readonly { readonly operation: Operation["id"]; readonly pin: Pin }[] {
  const lotsOf = new Map(plan.operations.map(({ operation, lots }) => [operation, lots]));
  return problem.operations.flatMap((operation) => {
    const lot = lotsOf.get(operation.id)?.[0];
    if (
      operation.order !== order ||
      lot === undefined ||
      operation.progress.running.length > 0 ||
      operation.progress.done.length > 0
    )
      return [];
    const mode = operation.modes.find(({ id }) => id === lot.mode);
    const sameMachines = lotsOf
      .get(operation.id)
      ?.every((other) => operation.modes.find(({ id }) => id === other.mode)?.machines.join("+") === mode?.machines.join("+"));
    return [{ operation: operation.id, pin: { machines: sameMachines ? (mode?.machines ?? null) : null, start: lot.start } }];
  });
}
