/** Works out the chain that was asked for after the next paint, and again whenever the plan changes. */
import { useEffect } from "react";
import type { BoardModel } from "../../board/board-model.ts";
import { type BoardChain, chainOf } from "../../board/chain.ts";
import type { BoardController } from "./board-controller.ts";
import { useBoard } from "./use-board.ts";

const AROUND_MINUTES = 360;

export function useChain(controller: BoardController, model: BoardModel): void {
  const wish = useBoard(controller, "chainWish");
  useEffect(() => {
    if (wish === null) {
      controller.setChain(null);
      return;
    }
    const timer = setTimeout(() => controller.setChain(chainOf(model, wish)), 20);
    return () => clearTimeout(timer);
  }, [controller, model, wish]);
}

/** The order named in the address is chosen, and its chain drawn and brought into view. */
export function useChainOfAddress(controller: BoardController, order: string | undefined, chain: boolean): void {
  useEffect(() => {
    if (order === undefined) return;
    controller.chooseOrder(order);
    if (!chain) return;
    controller.showChain({ kind: "order", order });
    let looked = false;
    return controller.subscribe(() => {
      const found = controller.snapshot().chain;
      if (looked || found === null) return;
      looked = true;
      lookAlong(controller, found);
    });
  }, [controller, order, chain]);
}

export function lookAlong(controller: BoardController, { bars }: BoardChain): void {
  if (bars.length === 0) return;
  const from = Math.min(...bars.map(({ start }) => start));
  const until = Math.max(...bars.map(({ end }) => end));
  controller.lookAt({ from: from - AROUND_MINUTES, until: until + AROUND_MINUTES, machine: null });
}
