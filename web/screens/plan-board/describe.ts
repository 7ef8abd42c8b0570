/** Bars in sentences: what a screen reader hears, what a tooltip and the table say. */
import type { Bar, LookName } from "../../board/bar.ts";
import { minutesByLook } from "../../board/bar.ts";
import type { BoardModel } from "../../board/board-model.ts";
import { placeInRow } from "../../board/neighbours.ts";
import { words } from "../../words/words.ts";

export const machinesOfBar = (model: BoardModel, bar: Pick<Bar, "mode">): string =>
  bar.mode.machines.map((id) => model.shop.problem.machines.find((machine) => machine.id === id)?.name ?? id).join(" + ") ||
  words.board.panel.withoutMachine;

export const lookName = (look: LookName): string => words.board.looks[look];

export const phasesText = (bar: Bar): string =>
  [...minutesByLook(bar.segments)].map(([look, minutes]) => words.board.cell.look(lookName(look), minutes)).join(", ");

export function cellName(model: BoardModel, bar: Bar): string {
  const { cell, states } = words.board;
  const { time, published } = model.shop;
  const { index, count } = placeInRow(model, bar);
  const late = model.late.find(({ order }) => order.id === bar.order.id);
  const was = bar.state === "planned" ? published?.get(bar.operation.id)?.lots[bar.lot] : undefined;
  const phases = phasesText(bar);
  const parts = [
    cell.place(bar.number, bar.order.name, machinesOfBar(model, bar), index, count),
    cell.span(time.short(bar.start), time.short(bar.end)),
    bar.state === "planned" ? "" : `${states[bar.state]}.`,
    phases === "" ? "" : `${phases.charAt(0).toUpperCase()}${phases.slice(1)}.`,
    bar.conflicts.length > 0
      ? cell.conflicts(bar.conflicts.map((index_) => model.conflicts.placed[index_]?.conflict.sentence ?? ""))
      : "",
    late ? cell.late(late.late) : "",
    was && (was.start !== bar.start || was.mode !== bar.mode.id)
      ? cell.moved(
          machinesOfBar(model, { mode: bar.operation.modes.find(({ id }) => id === was.mode) ?? bar.mode }),
          time.short(was.start),
        )
      : "",
    bar.rush ? cell.rush : "",
    bar.heldUntil === null ? "" : words.fit.heldCell(time.short(bar.heldUntil)),
    bar.pinned && bar.heldUntil === null ? cell.pinned : "",
    bar.frozen ? cell.frozen : "",
  ];
  return parts.filter((part) => part !== "").join(" ");
}
