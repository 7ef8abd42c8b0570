/**
 * The board outside React, for its drawing, its keys and its panels: what is seen, what is chosen, what is in the hand. React hears of
 * changes through one snapshot; panning and carrying go straight to the painter. It decides nothing about plans: edits leave through
 * `onDrop`.
 */

import type { Plan } from "../../../src/core/problem/plan.ts";
import type { Bar } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import type { BoardChain, ChainWish } from "../../board/chain.ts";
import { type GhostPlace, ghostsOf } from "../../board/ghosts.ts";
import { type Hit, hitTest } from "../../board/hit-test.ts";
import { laneAtY } from "../../board/lanes.ts";
import { firstBar } from "../../board/neighbours.ts";
import { boardSize } from "../../board/paint/surface.ts";
import { createBoardHand } from "./board-hand.ts";
import { createBoardLook } from "./board-look.ts";
import { type BoardOptions, type BoardSnapshot, type ControllerEvents, createBoardMemory, storeOptions } from "./board-memory.ts";

export type BoardController = ReturnType<typeof createBoardController>;

const MINUTE_MS = 60_000;

export function createBoardController(firstModel: BoardModel, mayEdit: boolean, events: ControllerEvents) {
  const memory = createBoardMemory(firstModel, mayEdit);
  const look = createBoardLook(memory);
  const hand = createBoardHand(memory, look, events);
  const { snapshot, set } = memory;
  /** What the ghosts show, for when the plan under them changes. */
  let offered: { readonly plan: Plan; readonly asked: readonly GhostPlace[] } | null = null;
  /** When the problem's `now` was read: the now line goes on by itself until the next reading. */
  let readAt = performance.now();

  const bar = (key: string | null): Bar | null => (key === null ? null : (snapshot().model.byKey.get(key) ?? null));

  return {
    ...look,
    ...hand,
    subscribe: memory.subscribe,
    snapshot,
    onRepaint: memory.onRepaint,
    repaint: (): void => memory.repaint("all"),
    /** For the drawing only; work is placed against the problem's own now. */
    now: (): number => snapshot().model.shop.problem.now + Math.floor((performance.now() - readAt) / MINUTE_MS),
    close(): void {
      look.close();
      hand.close();
    },

    setModel(model: BoardModel): void {
      const old = snapshot();
      if (model.shop.problem !== old.model.shop.problem) {
        hand.forgetProblem();
        readAt = performance.now();
      }
      if (old.lift) hand.letGo();
      const gone = old.chosenKey !== null && !model.byKey.has(old.chosenKey);
      set({
        model,
        ghosts: offered === null ? null : ghostsOf(model, offered.plan, offered.asked),
        ...(gone ? { chosenKey: null } : {}),
        ...(old.focusKey !== null && !model.byKey.has(old.focusKey) ? { focusKey: null } : {}),
      });
    },
    /** Shows where an offered plan would have the work, and the order it is about; null: nothing is offered. */
    showGhosts(plan: Plan | null, asked: readonly GhostPlace[] = []): void {
      offered = plan === null ? null : { plan, asked };
      set({ ghosts: plan === null ? null : ghostsOf(snapshot().model, plan, asked) });
    },
    setMayEdit: (may: boolean): void => set({ mayEdit: may }, "nothing"),
    setOptions(change: Partial<BoardOptions>): void {
      const options = { ...snapshot().options, ...change };
      storeOptions(options);
      const { width, height, names } = snapshot().size;
      set({ options, size: boardSize(width, height, options.strip !== null, names) }, "nothing");
      look.again();
    },

    bar,
    hit: (x: number, y: number): Hit => hitTest(snapshot().model, look.tops(), look.camera(), x, y),
    /** The machine of the row at this height of the time area. */
    machineAt(y: number): string | null {
      const entry = snapshot().model.lanes.list[laneAtY(look.tops(), y + look.camera().top) ?? -1];
      return entry?.kind === "machine" ? entry.machine.id : null;
    },
    choose(target: Bar | null): void {
      set({ chosenKey: target?.key ?? null, chosenOrder: target?.order.id ?? null, ...(target ? { focusKey: target.key } : {}) });
    },
    chooseOrder: (order: string): void => set({ chosenOrder: order, chosenKey: null }),
    showChain: (chainWish: ChainWish | null): void => set({ chainWish, chain: null }),
    setChain(chain: BoardChain | null): void {
      if (chain !== snapshot().chain) set({ chain });
    },
    focus(target: Bar | null): void {
      set({ focusKey: target?.key ?? null });
      if (target) look.revealBar(target);
    },
    setHasFocus(hasFocus: boolean): void {
      const { hasFocus: had, focusKey: old, model } = snapshot();
      if (hasFocus === had) return;
      const focusKey = hasFocus && bar(old) === null ? (firstBar(model, model.shop.problem.now)?.key ?? null) : old;
      set({ hasFocus, focusKey });
    },
    hover(next: BoardSnapshot["hover"]): void {
      if (next?.key !== snapshot().hover?.key) set({ hover: next }, "nothing");
    },
  };
}
