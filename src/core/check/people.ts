/**
 * nobodyThere: an attended phase works only while each serving crew's headcount is at least what the phase alone needs of it
 * (amount = minutes without); an unattended phase begins, and goes on after a rest, only while somebody can start it, or
 * exactly where the phase before it ended, or by itself when the operation is `selfStart` (amount = such begins).
 * One conflict for each phase. Not its affair: sums over phases (capacity.ts), unattended minutes (unattended.ts).
 */
import { contains, totalMinutes } from "../calendar/intervals.ts";
import { isUnattended, liesInside, type Served, together, workOutside } from "./look-up.ts";
import type { Lot, PhaseOfLot } from "./lots.ts";
import { conflictOf, type Scene } from "./scene.ts";
import { sayDuration } from "./wording.ts";

export function checkPeople(scene: Scene, { phases }: Lot): void {
  for (const phase of phases) {
    if (isUnattended(phase.mode, phase.phase.needs)) checkStarts(scene, phase);
    else checkHeadcount(scene, phase);
  }
}

function checkHeadcount({ at, name, write }: Scene, { lot, ahead, served }: PhaseOfLot): void {
  if (served.every(({ crew, enough }: Served) => crew === null || liesInside(ahead, enough))) return;
  const missing = served.flatMap(({ crew, enough }) => (crew === null ? [] : [{ crew, without: workOutside(ahead, enough) }]));
  const without = together(missing.map((entry) => entry.without));
  const first = without[0];
  if (first === undefined) return;
  const crew = missing.find((entry) => entry.without[0]?.[0] === first[0])?.crew;
  const minutes = totalMinutes(without);
  const sentence = `${name(lot.operation)} works ${sayDuration(minutes)} while ${crew?.name} is not there in the number it needs, first at ${at(first[0])}.`;
  write(conflictOf("nobodyThere", [lot.operation.id], crew?.id ?? null, first, minutes, sentence));
}

function checkStarts({ problem, look, at, name, write }: Scene, phase: PhaseOfLot): void {
  const { lot, current, work } = phase;
  const startable = look.startable(lot.operation);
  if (startable === null) return;
  const alone = work.filter(([begin], i) => {
    if (begin < problem.now || contains(startable, begin)) return false;
    if (i > 0) return true;
    if (current) return !(lot.running?.working === true && begin === problem.now);
    return !(phase.endBeforeExact && phase.endBefore === begin);
  });
  const first = alone[0];
  if (first === undefined) return;
  const begins = phase.work[0] === first ? "begins" : "goes on after a rest";
  const sentence = `${name(lot.operation)} ${begins} unattended at ${at(first[0])}, when nobody is there to start it.`;
  write(conflictOf("nobodyThere", [lot.operation.id], null, [first[0], first[0] + 1], alone.length, sentence));
}
