/**
 * A chain of work on the board: what holds the end of the plan, or why an order is late, as bars in a row and what each waits for.
 * Pure. Numbered from the end, as reasons are read; the chain itself is the core's.
 */
import { criticalChain, type Slack } from "../../src/core/explain/critical-chain.ts";
import { whyLate } from "../../src/core/explain/why-late.ts";
import type { OperationId } from "../../src/core/orders/operation.ts";
import type { OrderId } from "../../src/core/orders/order.ts";
import { barKey } from "./bar.ts";
import type { BoardModel } from "./board-model.ts";

/** What to draw the chain of. */
export type ChainWish = { readonly kind: "plan" } | { readonly kind: "order"; readonly order: OrderId };

export type ChainBar = {
  /** Of the bar; it may not be in view. */
  readonly key: string;
  readonly operation: OperationId;
  readonly start: number;
  readonly end: number;
  /** Why it stands where it does; null: the links of the chain say it. */
  readonly sentence: string | null;
};

export type BoardChain = {
  readonly wish: ChainWish;
  /** From the end back to the root. */
  readonly bars: readonly ChainBar[];
  /** Number in `bars` from 1, by key. */
  readonly number: ReadonlyMap<string, number>;
  /** How much later each lot may start, by key; only with the chain of the plan. */
  readonly slack: ReadonlyMap<string, Slack>;
};

export function chainOf(model: BoardModel, wish: ChainWish): BoardChain {
  const { problem } = model.shop;
  // Bars and the critical chain count done lots, too; reasons count those of the plan.
  const keyInPlan = (operation: OperationId, lot: number): string =>
    barKey(operation, lot + (model.shop.operation.get(operation)?.progress.done.length ?? 0));
  const late = wish.kind === "order" ? whyLate(problem, model.plan, wish.order) : null;
  if (late !== null) {
    const bars = late.steps.map(({ operation, lot, start, end, sentence }) => ({
      ...{ key: keyInPlan(operation, lot), operation, start, end, sentence },
    }));
    return { wish, bars, number: numbered(bars), slack: new Map() };
  }
  const { chain, slacks } = criticalChain(problem, model.plan, wish.kind === "order" ? wish.order : null);
  const bars = chain.toReversed().map(({ operation, lot, start, end }) => ({
    ...{ key: barKey(operation, lot), operation, start, end, sentence: null },
  }));
  return {
    ...{ wish, bars, number: numbered(bars) },
    slack: new Map(slacks.map((slack) => [barKey(slack.operation, slack.lot), slack])),
  };
}

const numbered = (bars: readonly ChainBar[]): ReadonlyMap<string, number> => new Map(bars.map(({ key }, i) => [key, i + 1]));
