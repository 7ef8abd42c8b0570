/**
 * beforeNow, beforeRelease, outsideWindow, pastHorizon: where a lot stands in time by itself.
 * One conflict of each kind for each lot; amount = minutes outside. What a running lot did before now is past.
 */
import type { Interval, Minute } from "../calendar/minute.ts";
import { boundMinute, type Lot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";

export function checkLimits(scene: Scene, lot: Lot): void {
  checkNow(scene, lot);
  // Of a lot in a mode that is not offered nobody knows what binds it.
  if (lot.mode === null) return;
  checkRelease(scene, lot);
  checkWindow(scene, lot);
  checkHorizon(scene, lot);
}

function checkNow({ problem, at, name, write }: Scene, lot: Lot): void {
  const { now } = problem;
  const start: Minute = lot.state === "open" ? lot.start : firstWorked(lot, now);
  if (start >= now) return;
  const sentence = `${name(lot.operation)} ${lot.state === "open" ? "starts" : "is planned to work"} at ${at(start)}, before now (${at(now)}).`;
  write(conflictOf("beforeNow", [lot.operation.id], null, [start, now], now - start, sentence));
}

/** The first minute in which the plan works the lot, at the latest `most`. */
function firstWorked({ planned }: Lot, most: Minute): Minute {
  let least = most;
  for (const { work } of planned?.phases ?? []) for (const [start] of work) least = Math.min(least, start);
  return least;
}

function checkRelease({ look, at, name, write }: Scene, lot: Lot): void {
  const bound = boundMinute(lot);
  const order = look.orderAt[lot.place];
  if (bound === null || order === undefined || bound >= order.release) return;
  const sentence = `${name(lot.operation)} begins at ${at(bound)}, before the material is there at ${at(order.release)}.`;
  write(conflictOf("beforeRelease", [lot.operation.id], null, [bound, order.release], order.release - bound, sentence));
}

function checkWindow({ at, name, write }: Scene, lot: Lot): void {
  const { start, end } = lot.operation.window;
  // The start of a running lot is a fact.
  const early: Minute = start !== null && lot.state === "open" ? Math.max(0, start - lot.start) : 0;
  const late: Minute = end !== null ? Math.max(0, lot.end - end) : 0;
  if (early === 0 && late === 0) return;
  const interval: Interval = early > 0 ? [lot.start, lot.start + early] : [lot.end - late, lot.end];
  const words =
    early > 0
      ? `starts at ${at(lot.start)}, before its window opens at ${at(lot.start + early)}`
      : `ends at ${at(lot.end)}, after its window closes at ${at(lot.end - late)}`;
  write(conflictOf("outsideWindow", [lot.operation.id], null, interval, early + late, `${name(lot.operation)} ${words}.`));
}

function checkHorizon({ problem, at, name, write }: Scene, lot: Lot): void {
  const { horizon } = problem;
  if (lot.end <= horizon) return;
  const sentence = `${name(lot.operation)} ends at ${at(lot.end)}, after the last minute that is planned (${at(horizon)}).`;
  write(conflictOf("pastHorizon", [lot.operation.id], null, [horizon, lot.end], lot.end - horizon, sentence));
}
