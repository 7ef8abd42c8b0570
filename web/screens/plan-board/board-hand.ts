/**
 * The bar in the hand: lifted by pointer or key, carried, judged at every step - its row in the same frame, the whole shop by a worker
 * a moment later -, dropped or put back. It changes no plan: a drop leaves as an edit.
 */

import type { Mode } from "../../../src/core/orders/operation.ts";
import { createMover, type Mover } from "../../../src/core/plan/move.ts";
import type { PlannedOperation } from "../../../src/core/problem/plan.ts";
import type { Bar } from "../../board/bar.ts";
import { minuteAtX, snapStep } from "../../board/camera.ts";
import { newConflicts } from "../../board/conflict-list.ts";
import { laneAtY } from "../../board/lanes.ts";
import { canBeLifted, isAtHome, type Lift, type Lifter, lifter, modeForLane, realStart } from "../../board/lift.ts";
import { editBetween, type PlanEdit } from "../../board/plan-edit.ts";
import type { BoardLook } from "./board-look.ts";
import type { BoardMemory, BoardSnapshot, ControllerEvents } from "./board-memory.ts";
import { type Judge, startJudge } from "./judge.ts";

export type BoardHand = ReturnType<typeof createBoardHand>;

export function createBoardHand(memory: BoardMemory, look: BoardLook, events: ControllerEvents) {
  let mover: Mover | null = null;
  let judge: Judge | null = null;
  let hand: Lifter | null = null;

  const theMover = (): Mover => (mover ??= createMover(memory.snapshot().model.shop.problem));
  const theJudge = (): Judge => (judge ??= startJudge());

  const setLift = (lift: Lift, pointer: BoardSnapshot["pointer"]): void => {
    memory.set({ lift, pointer }, "moving");
    if (isAtHome(lift)) return;
    const edit: PlanEdit = { note: "", changes: [{ operation: lift.operation.id, planned: lift.planned }] };
    theJudge().judge(edit, (conflicts) => {
      const { lift: now, model } = memory.snapshot();
      if (!now || now.planned !== lift.planned) return;
      const verdict = { conflicts: newConflicts(model.check.conflicts, conflicts), wholeShop: true };
      memory.set({ lift: { ...now, verdict } }, "moving");
    });
  };

  const askFits = (operation: string, modes: readonly string[], each: (mode: string, minute: number | null) => void): void => {
    const asked = theJudge();
    const { model } = memory.snapshot();
    asked.load(model.shop.problem, model.plan);
    asked.fits(operation, modes, model.shop.problem.now, each);
  };

  const begin = (target: Bar, byKeys: boolean, grab: number): boolean => {
    const { model, mayEdit } = memory.snapshot();
    if (!mayEdit || !canBeLifted(target)) {
      events.onRefusedLift(target);
      return false;
    }
    hand = lifter(model, theMover(), target, byKeys, grab);
    const { first } = hand;
    memory.set({ lift: first, chosenKey: target.key, chosenOrder: target.order.id, focusKey: target.key, hover: null });
    const modes = [target.mode, ...target.operation.modes.filter(({ id }) => id !== target.mode.id)].map(({ id }) => id);
    askFits(first.operation.id, modes, (mode, minute) => {
      const now = memory.snapshot().lift;
      if (now?.operation.id !== first.operation.id) return;
      memory.set({ lift: { ...now, fits: new Map(now.fits).set(mode, minute) } });
    });
    events.onLift(first);
    return true;
  };

  const carryTo = (mode: Mode, start: number, pointer: BoardSnapshot["pointer"]): void => {
    const { lift, model } = memory.snapshot();
    if (!lift || !hand) return;
    if (lift.mode.id === mode.id && lift.start === start) memory.set({ pointer }, "nothing");
    else setLift(hand.carried(lift, mode, Math.max(start, model.shop.problem.now)), pointer);
  };

  const letGo = (): Lift | null => {
    const { lift } = memory.snapshot();
    hand = null;
    judge?.forget();
    memory.set({ lift: null, pointer: null });
    return lift;
  };

  const revealLifted = (): void => {
    const { lift } = memory.snapshot();
    if (!lift) return;
    const start = realStart(lift);
    look.reveal(lift.lane, start, Math.max(start, lift.bars.at(-1)?.end ?? start));
  };

  return {
    letGo,
    /** Another problem lies on the board: what was worked out for the old one is of no use. */
    forgetProblem(): void {
      mover = null;
    },
    /** Tells the worker what it has to know, while there is a network to fetch it: it must judge without one, too. */
    warmJudge(): void {
      const { model } = memory.snapshot();
      theJudge().load(model.shop.problem, model.plan);
    },
    /** Of thousands of operations, what the hand has to know takes too long to be got together in the lift itself. */
    warmHand: (): void => void theMover(),
    close(): void {
      judge?.close();
      judge = null;
    },
    /** Lifts a bar at a point of the time area. */
    liftAt: (target: Bar, x: number): boolean => begin(target, false, minuteAtX(look.camera(), x) - target.start),
    liftByKeys: (target: Bar): boolean => begin(target, true, 0),
    carryAt(x: number, y: number, fine: boolean, pointer: { x: number; y: number }): void {
      const { lift, model } = memory.snapshot();
      if (!lift) return;
      const camera = look.camera();
      const lane = laneAtY(look.tops(), y + camera.top);
      const mode = lane === null ? null : modeForLane(model, lift.operation, lift.mode, lane, lift.fits);
      carryTo(mode ?? lift.mode, look.snapped(minuteAtX(camera, x) - lift.grab, fine), pointer);
    },
    /** By keys: so many steps in time. */
    shift(steps: number): void {
      const { lift } = memory.snapshot();
      if (!lift) return;
      carryTo(lift.mode, look.snapped(lift.start, false) + steps * snapStep(look.camera(), false), null);
      revealLifted();
    },
    /** By keys: the next machine above or below that can take it. */
    changeLane(way: 1 | -1): void {
      const { lift, model } = memory.snapshot();
      if (!lift) return;
      const others = [...lift.can]
        .filter((lane) => (way > 0 ? lane > lift.lane : lane < lift.lane))
        .sort((a, b) => way * (a - b));
      for (const lane of others) {
        const mode = modeForLane(model, lift.operation, lift.mode, lane, lift.fits);
        if (!mode || mode.id === lift.mode.id) continue;
        carryTo(mode, lift.start, null);
        revealLifted();
        return;
      }
    },
    takeFirstFit(): boolean {
      const { lift, pointer } = memory.snapshot();
      const minute = lift?.fits.get(lift.mode.id);
      if (!lift || minute === undefined || minute === null) return false;
      carryTo(lift.mode, minute, pointer);
      revealLifted();
      return true;
    },
    drop(): void {
      const lift = letGo();
      if (!lift || isAtHome(lift)) {
        if (lift) events.onPutBack(lift);
        return;
      }
      const before = memory.snapshot().model.plan.operations.filter(({ operation }) => operation === lift.operation.id);
      const edit = editBetween({ operations: before }, { operations: [lift.planned] }, "");
      events.onDrop({ lift, added: lift.verdict.conflicts.length, edit });
    },
    putBack(): void {
      const lift = letGo();
      if (lift) events.onPutBack(lift);
    },
    /** Asks the worker for first fits of an operation that nobody holds. */
    fitsFor: askFits,
    placed: (operation: string, mode: string, start: number): PlannedOperation | null =>
      theMover()
        .place(memory.snapshot().model.plan, operation, mode, start)
        .operations.find((each) => each.operation === operation) ?? null,
  };
}
