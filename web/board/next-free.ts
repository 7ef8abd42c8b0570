/** When a machine is next free: the first minute from now on at which it is open and nothing stands on it. Pure, remembered per model. */
import { indexAtOrAfter } from "../../src/core/calendar/intervals.ts";
import type { BoardModel } from "./board-model.ts";

const remembered = new WeakMap<BoardModel, Map<string, number | null>>();

/** null: not before the horizon. */
export function nextFree(model: BoardModel, machineId: string, now: number): number | null {
  let known = remembered.get(model);
  if (!known) {
    known = new Map();
    remembered.set(model, known);
  }
  const key = `${machineId}@${now}`;
  const found = known.get(key);
  if (found !== undefined) return found;
  const value = search(model, machineId, now);
  known.set(key, value);
  return value;
}

function search(model: BoardModel, machineId: string, now: number): number | null {
  const machine = model.shop.problem.machines.find(({ id }) => id === machineId);
  const row = model.onLane[model.lanes.ofMachine.get(machineId) ?? -1];
  if (!machine || !row) return null;
  let at = now;
  for (;;) {
    const open = machine.open[indexAtOrAfter(machine.open, at)];
    if (!open) return null;
    at = Math.max(at, open[0]);
    const before = at;
    for (const bar of row.bars) if (bar.start <= at && bar.end > at) at = bar.end;
    if (at === before) return at < model.shop.problem.horizon ? at : null;
  }
}
