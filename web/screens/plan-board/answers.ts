/** What the answer column and the slip at the pointer say while a bar is in the hand. Whole sentences; the checker's own where it has one. */

import type { Conflict } from "../../../src/core/check/conflict.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { isAtHome, type Lift, lanesOfMode, realStart } from "../../board/lift.ts";
import type { LiftView } from "../../board/paint/surface.ts";
import { words } from "../../words/words.ts";

export type Slip = {
  readonly refused: boolean;
  readonly checking: boolean;
  readonly title: string;
  readonly lines: readonly string[];
};

export const machineName = (model: BoardModel, lift: Pick<Lift, "mode">): string =>
  lift.mode.machines.map((id) => model.shop.problem.machines.find((machine) => machine.id === id)?.name ?? id).join(" + ");

export function slipOf(model: BoardModel, lift: Lift): Slip {
  const { lift: say } = words.board;
  const { time } = model.shop;
  const when = time.short(realStart(lift));
  const machine = machineName(model, lift);
  const { conflicts, wholeShop } = lift.verdict;
  const refused = conflicts.length > 0;
  const title = refused
    ? machine === ""
      ? say.refusedOff(when)
      : say.refused(machine, when)
    : machine === ""
      ? say.fitsOff(when)
      : say.fits(machine, when);
  const lines: string[] = [];
  // What the place itself refuses (closed, nobody there) before who else is in the way, and that before what else it upsets.
  const nearness = ({ operations }: Conflict): number =>
    operations.includes(lift.operation.id) ? (operations.length === 1 ? 0 : 1) : 2;
  const own = [...conflicts].sort((a, b) => nearness(a) - nearness(b));
  if (own[0]) lines.push(own.length > 1 ? `${own[0].sentence} (${say.more(own.length - 1)})` : own[0].sentence);
  else lines.push(wholeShop ? say.checked : say.checking);
  const fit = lift.fits.get(lift.mode.id);
  if (refused) lines.push(fit === null ? say.none : fit === undefined ? words.board.panel.asking : say.first(time.short(fit)));
  else lines.push(say.dropHint);
  return { refused, checking: !wholeShop, title, lines };
}

/** Per lane: its first fit, "cannot", or that the question is still open. */
export function liftView(model: BoardModel, lift: Lift): LiftView {
  const answers = new Map<number, string>();
  const { paint } = words.board;
  for (const lane of model.lanes.rows) answers.set(lane, paint.cannot);
  const best = new Map<number, number | null | undefined>();
  for (const mode of lift.operation.modes) {
    const fit = lift.fits.get(mode.id);
    for (const lane of lanesOfMode(model, mode)) {
      const known = best.get(lane);
      if (
        !best.has(lane) ||
        (typeof fit === "number" && (typeof known !== "number" || fit < known)) ||
        (fit === undefined && known === null)
      )
        best.set(lane, fit);
    }
  }
  for (const [lane, fit] of best)
    answers.set(lane, fit === undefined ? paint.asking : fit === null ? paint.cannot : model.shop.time.short(fit));
  const slash = lift.number.lastIndexOf("/");
  return {
    key: lift.key,
    can: lift.can,
    answers,
    target: lift.lane,
    refused: !isAtHome(lift) && lift.verdict.conflicts.length > 0,
    heading: paint.fitsFrom(slash > 0 ? lift.number.slice(slash) : lift.number),
  };
}
