/**
 * unattendedNotAllowed and unattendedTooLong: while nobody is on site, a phase that needs nobody works only inside a window
 * of each machine's unattended rule, and only while fewer than m minutes have passed since the site emptied.
 * One conflict of each kind for each phase; amount = minutes worked that way. Who starts it: people.ts.
 */
import { type Intervals, totalMinutes } from "../calendar/intervals.ts";
import type { ConflictKind } from "./conflict.ts";
import { isUnattended, together, touches, workInside } from "./look-up.ts";
import type { Lot, PhaseOfLot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkUnattended(scene: Scene, { phases }: Lot): void {
  const { look } = scene;
  for (const phase of phases) {
    if (!isUnattended(phase.mode, phase.phase.needs)) continue;
    write(scene, phase, "unattendedNotAllowed", look.noWindow, "nobody is on site and it may not run alone");
    write(scene, phase, "unattendedTooLong", look.tooLong, "the site has been empty for longer than it may run alone");
  }
}

function write(
  scene: Scene,
  phase: PhaseOfLot,
  kind: ConflictKind,
  forbidden: (machine: string) => Intervals,
  because: string,
): void {
  const { lot, mode, ahead } = phase;
  if (!mode.machines.some((id) => touches(ahead, forbidden(id)))) return;
  const machines = mode.machines.map((id) => ({ id, wrong: workInside(ahead, forbidden(id)) }));
  const wrong = together(machines.map((machine) => machine.wrong));
  const first = wrong[0];
  if (first === undefined) return;
  const id = machines.find((machine) => machine.wrong[0]?.[0] === first[0])?.id ?? "";
  const minutes = totalMinutes(wrong);
  const called = scene.look.machines.get(id)?.name ?? id;
  const sentence = `${scene.name(lot.operation)} works ${sayDuration(minutes)} unattended on ${called}, first at ${scene.at(first[0])}, when ${because}.`;
  scene.write(conflictOf(kind, [lot.operation.id], id, first, minutes, sentence));
}
