/**
 * pinMoved, runningMoved, frozenMoved: what a planner fixed, what is on the machine now, and what was promised for the next
 * days stays. One conflict of each kind for each operation, of runningMoved for each lot. Which work is frozen: frozen.ts.
 */
import type { Minute } from "../calendar/minute.ts";
import type { Operation, RunningLot } from "../orders/operation.ts";
import type { PlannedLot } from "../problem/plan.ts";
import { machineSet } from "./links.ts";
import { isBegun, type Lot, type PhaseOfLot } from "./lots.ts";
import { pieceEnds } from "./pieces.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";
import { firstFit } from "./workable.ts";

export function checkDecided(scene: Scene): void {
  const { operations } = scene.problem;
  for (let place = 0; place < operations.length; place++) {
    const { pin, progress } = operations[place] as Operation;
    if (pin === null && progress.running.length === 0) continue;
    const planned = (scene.lots.at[place] ?? []).filter((lot) => lot.planned !== null);
    const first = planned[0];
    if (first === undefined) continue;
    checkPin(scene, planned, first);
    for (const lot of planned) if (lot.running !== null) checkRunning(scene, lot, lot.running);
  }
  checkFrozen(scene);
}

/** The start binds the first lot until the operation has begun; the machines bind every lot that has not. */
function checkPin({ look, at, name, write }: Scene, planned: readonly Lot[], first: Lot): void {
  const { operation } = first;
  if (operation.pin === null) return;
  const { machines, start } = operation.pin;
  const moved: Minute = start !== null && !isBegun(operation) ? Math.abs(first.start - start) : 0;
  const elsewhere =
    machines === null
      ? undefined
      : planned.find(
          (lot) => lot.state === "open" && lot.mode !== null && machineSet(lot.mode.machines) !== machineSet(machines),
        );
  if (moved === 0 && elsewhere === undefined) return;
  const place = machines?.map((id) => look.machines.get(id)?.name ?? id).join(" + ") || "no machine";
  const fixed = [moved > 0 && start !== null ? `at ${at(start)}` : "", elsewhere !== undefined ? `on ${place}` : ""]
    .filter((words) => words !== "")
    .join(" ");
  const lot = elsewhere !== undefined && moved === 0 ? elsewhere : first;
  const sentence = `${name(operation)} is pinned ${fixed}, but is planned otherwise at ${at(lot.start)}.`;
  write(conflictOf("pinMoved", [operation.id], null, [lot.start, lot.end], moved, sentence));
}

/** Mode, start and crews are facts; the current phase goes on at the first minute from now on that its flow allows. */
function checkRunning(scene: Scene, lot: Lot, running: RunningLot): void {
  const { at, name, write } = scene;
  const current = lot.phases.find((phase) => phase.current);
  const reasons: string[] = [];
  let amount: Minute = Math.abs(lot.start - running.start);
  if (lot.planned?.mode !== running.mode) reasons.push("in another mode");
  if (lot.start !== running.start) reasons.push("with another start");
  if (lot.pieces > running.pieces) reasons.push("with more pieces");
  if (current !== undefined && current.span !== null) {
    if (JSON.stringify(current.crews) !== JSON.stringify(running.crews)) reasons.push("with other crews");
    const expected = goesOnAt(scene, current, running);
    if (current.span[0] !== expected) {
      amount += Math.abs(current.span[0] - expected);
      reasons.push(`going on at ${at(current.span[0])} instead of ${at(expected)}`);
    }
  }
  if (reasons.length === 0) return;
  const sentence = `${name(lot.operation)} is running since ${at(running.start)}, but is planned ${reasons.join(", ")}${amount > 0 ? ` (${sayDuration(amount)})` : ""}.`;
  write(conflictOf("runningMoved", [lot.operation.id], null, [lot.start, lot.end], amount, sentence));
}

/** Solid work: now. Other work: the first minute from now on in which it, or the rest of its piece, can be worked. */
function goesOnAt(scene: Scene, current: PhaseOfLot, running: RunningLot): Minute {
  const { now, horizon } = scene.problem;
  const { flow } = current.phase;
  if (flow === "solid") return now;
  const length = flow === "piecewise" ? (pieceEnds(scene, current)[0] ?? 1) : 1;
  // What works right now just goes on: nobody need start it.
  const handedOn = running.working ? now : null;
  return firstFit(scene.look, current, { from: now, until: horizon, length, handedOn }) ?? horizon;
}

/** Frozen work keeps mode, lots, intervals and crews. */
function checkFrozen({ lots, kept, at, name, write }: Scene): void {
  for (const { operation, lots: wanted } of kept) {
    const planned = lots.ofOperation(operation).flatMap((lot) => (lot.planned === null ? [] : [lot.planned]));
    const first = planned[0];
    const asked = wanted[0];
    if (first === undefined || asked === undefined || sameObjects(planned, wanted)) continue;
    if (shapeOf(planned) === shapeOf(wanted)) continue;
    const moved = Math.abs(first.start - asked.start);
    const words = moved > 0 ? `is planned at ${at(first.start)}` : "is planned with other machines, lots, times or crews";
    const sentence = `${name(operation)} is frozen as published, to start at ${at(asked.start)}, but ${words}.`;
    write(conflictOf("frozenMoved", [operation], null, [first.start, first.end], moved, sentence));
  }
}

/** What was taken over untouched needs no second look. */
const sameObjects = (a: readonly PlannedLot[], b: readonly PlannedLot[]): boolean =>
  a.length === b.length && a.every((lot, i) => lot === b[i]);

const shapeOf = (lots: readonly PlannedLot[]): string =>
  JSON.stringify(
    lots.map(({ mode, pieces, start, end, phases }) => [
      mode,
      pieces,
      start,
      end,
      phases.filter(({ work }) => work.length > 0).map(({ phase, work, crews }) => [phase, work, crews]),
    ]),
  );
