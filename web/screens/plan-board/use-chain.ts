/** Works out the chain that was asked for after the next paint, brings it into view once, and keeps it with the plan. */
import { useEffect, useRef } from "react";
import type { BoardModel } from "../../board/board-model.ts";
import { type BoardChain, type ChainWish, chainOf } from "../../board/chain.ts";
import type { BoardController } from "./board-controller.ts";
import { useBoard } from "./use-board.ts";

const AROUND_MINUTES = 360;

export function useChain(controller: BoardController, model: BoardModel): void {
  const wish = useBoard(controller, "chainWish");
  const shown = useRef<ChainWish | null>(null);
  useEffect(() => {
    if (wish === null) {
      shown.current = null;
      controller.setChain(null);
      return;
    }
    const timer = setTimeout(() => {
      const chain = chainOf(model, wish);
      controller.setChain(chain);
      if (shown.current !== wish) lookAlong(controller, chain);
      shown.current = wish;
    }, 20);
    return () => clearTimeout(timer);
  }, [controller, model, wish]);
}

/** The order named in the address is chosen, and its chain drawn. */
export function useChainOfAddress(controller: BoardController, order: string | undefined, chain: boolean): void {
  useEffect(() => {
    if (order === undefined) return;
    controller.chooseOrder(order);
    if (chain) controller.showChain({ kind: "order", order });
  }, [controller, order, chain]);
}

export function lookAlong(controller: BoardController, { bars }: BoardChain): void {
  if (bars.length === 0) return;
  const from = Math.min(...bars.map(({ start }) => start));
  const until = Math.max(...bars.map(({ end }) => end));
  controller.lookAt({ from: from - AROUND_MINUTES, until: until + AROUND_MINUTES, machine: null });
}
